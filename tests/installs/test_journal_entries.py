"""Every change of a fitting says in the journal what it was."""

import pytest
from django.utils import timezone

from installs.services import defects, fitting, packing, replanning, running_gear
from installs.services.concessions import concede
from installs.services.leaving_out import leave_out, take_up_again
from installs.services.still_to_come import leave_to_come
from jobs.idempotency import IdempotencyKey
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db


def test_a_plan_that_is_made_again(office, installation):
    written = types_written_by(
        lambda: replanning.replan_installation(
            actor=office, installation=installation, expected_version=1, reason="Another crew."
        )
    )
    assert written == ["installation.replanned"]


def test_a_fitting_up_to_its_sealing(fitter, installation):
    written = types_written_by(lambda: factories.fitted(fitter, installation, "seal"))
    assert set(written) == {
        "step.inspected",
        "fixing.recorded",
        "gap.recorded",
        "sash.recorded",
        "photo.added",
        "bead.taken_off",
        "bead.put_back",
        "instrument.added",
    }
    sash = installation.sashes.get(leaf=1)
    assert types_written_by(
        lambda: fitting.change_sash(
            actor=fitter, sash=sash, expected_version=1, glass_marking="EN 14449 2(B)2"
        )
    ) == ["sash.changed"]
    assert types_written_by(
        lambda: running_gear.record_lift(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            junction=2,
            chain="left",
            turns=0.5,
        )
    ) == ["carrier.lifted"]
    assert types_written_by(
        lambda: packing.change_packers(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            member="left",
            position=installation.fixings.filter(member="left").first().position,
            added=[2.0],
            taken=[],
        )
    ) == ["packers.changed"]


def test_an_opening_that_is_left_out_and_taken_up_again(office, job):
    opening = factories.opening(office, job)
    known = {"actor": office, "opening": opening}
    assert types_written_by(
        lambda: leave_out(**known, expected_version=1, reason="The old doors stay there")
    ) == ["opening.left_out"]
    assert types_written_by(lambda: take_up_again(**known, expected_version=2)) == [
        "opening.taken_up"
    ]


def test_a_defect_until_it_is_looked_at_again_or_conceded(office, fitter, installation):
    def found():
        return defects.record_defect(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            severity="minor",
            description="Scratch on a bead",
        )

    assert types_written_by(found) == ["defect.found"]
    defect = installation.defects.get()
    assert types_written_by(
        lambda: defects.put_right(actor=fitter, defect=defect, expected_version=1, how="polished")
    ) == ["defect.put_right"]
    assert types_written_by(
        lambda: defects.reinspect(actor=office, defect=defect, expected_version=2, accepted=True)
    ) == ["defect.reinspected"]

    other = found()
    assert types_written_by(
        lambda: concede(
            actor=office,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            code="minor_defect",
            reason="The customer accepts it as it is.",
            defect=other,
        )
    ) == ["concession.granted"]


def test_a_defect_that_is_left_to_come(office, installation):
    mark = defects.record_defect(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="minor",
        description="Mark on a handle",
    )
    assert types_written_by(
        lambda: leave_to_come(
            actor=office,
            defect=mark,
            expected_version=1,
            until=timezone.localdate(),
            promise="The handle is replaced.",
        )
    ) == ["defect.left_to_come"]
