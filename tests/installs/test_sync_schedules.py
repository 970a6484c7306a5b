"""Cuts, repeats and reorders end in the same records. `study_queue` tries a thousand of them."""

import pytest

from tests.installs.queue_study import differing, prepare

pytestmark = pytest.mark.django_db


def test_any_schedule_of_cuts_repeats_and_reorders_ends_in_the_same_records():
    stage = prepare(until="beads_off")
    assert differing(stage, schedules=6, seed=1) == []
    assert {"already_applied", "waiting", "conflict"} <= set(stage.told)
