"""Refusals, cures, repeats and two phones end in the same records.

`study_queue` tries a thousand."""

import pytest

from tests.installs.crew_study import crews, judged

pytestmark = pytest.mark.django_db


def test_any_schedule_of_a_crew_loses_nothing_doubles_nothing_and_never_sticks():
    for crew in crews():
        verdicts = judged(crew, range(6), seed=1)
        assert not any(verdicts.values()), verdicts
        assert {"applied", "already_applied", "refused"} <= set(crew.answered)
    assert "set_aside" in crew.answered
