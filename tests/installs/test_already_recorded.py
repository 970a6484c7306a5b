"""What is on record with the same content already is done, and never recorded twice."""

from datetime import timedelta
from uuid import UUID, uuid4, uuid5

import pytest
from django.utils import timezone

from installs.models import Defect, Fixing, Inspection, JunctionGap
from tests import factories, walker
from tests.api import signed_in
from tests.installs.queue_sending import results, send
from tests.installs.queue_session import Queue, evidence

pytestmark = pytest.mark.django_db
AT_THE_FOOT = {"member": "left", "position": 199, "kind": "frame_screw"}


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def tape(office):
    return factories.instrument(office)


@pytest.fixture
def independent(queue):
    """Queues something that waits for nothing, under identities of its own."""

    def add(kind, record="", version=None, /, **body):
        operation = queue.add(kind, record or str(uuid4()), version, **body)
        return operation | {"id": str(uuid4()), "after": None}

    return add


@pytest.fixture
def at_the_gear(fitter, installation):
    return factories.fitted(fitter, installation, until="running_gear")


def test_a_fixing_that_is_recorded_as_planned_twice_counts_as_done(
    client, fitter, installation, independent
):
    factories.fitted(fitter, installation, until="fixing")
    body = {"installation": str(installation.pk), **AT_THE_FOOT}
    first, again = (independent("record_fixing", **body, packers=[10, 1]) for _ in range(2))
    other = independent("record_fixing", **body, packers=[10, 2])
    assert results(client, first, again, again, other) == [
        "applied",
        "already_applied",
        "already_applied",
        "refused",
    ]
    assert Fixing.objects.count() == 1


def test_a_step_that_says_the_same_is_recorded_once_and_another_reading_anew(
    client, fitter, step, tape, independent
):
    factories.fitted(fitter, step("diagonals").installation, until="diagonals")
    good = evidence(step("diagonals"), tape)
    bad = evidence(step("diagonals"), tape, rising=2040, falling=2000)
    sent = [independent("inspect_step", **body) for body in (good, good, bad, good)]
    assert results(client, *sent) == ["applied", "already_applied", "applied", "applied"]
    assert Inspection.objects.filter(step=step("diagonals")).count() == 3


def test_a_reading_after_packers_were_changed_is_new_though_it_says_the_same(
    client, fitter, step, tape, independent
):
    installation = step("diagonals").installation
    factories.fitted(fitter, installation, until="diagonals")
    bad = evidence(step("diagonals"), tape, rising=2040, falling=2000)
    position = installation.plan.fixing_layout.member("left").positions[-1]
    packed = {"installation": str(installation.pk), "member": "left", "position": position}
    sent = [
        independent("inspect_step", **bad),
        independent("change_packers", **packed, added=[3], taken=[]),
        independent("inspect_step", **bad),
    ]
    assert results(client, *sent) == ["applied"] * 3


def test_gaps_that_say_the_same_are_new_after_a_carrier_was_turned(
    client, at_the_gear, tape, independent
):
    chain, junction = next(
        (chain.jamb, place.junction)
        for chain in at_the_gear.plan.running_gear.chains
        for place in chain.places
        if place.support == "carrier"
    )
    own = {"installation": str(at_the_gear.pk), "junction": junction}
    gap = own | {"instrument": str(tape.pk), "head_gap": 6, "sill_gap": 4}
    sent = [
        independent("record_gap", **gap),
        independent("record_gap", **gap),
        independent("record_lift", **own, chain=chain, turns=0.5),
        independent("record_gap", **gap),
    ]
    assert results(client, *sent) == ["applied", "already_applied", "applied", "applied"]
    assert JunctionGap.objects.count() == 2


def test_what_two_of_a_crew_find_is_one_failure_and_either_puts_it_right(
    office, installation, step, tape
):
    """The second one's failure is the first one's, and so is the defect that it opens."""
    first, second = signed_in(office), signed_in(installation.visit.crew.members.get())
    factories.fitted(office, installation, until="diagonals")
    bad = evidence(step("diagonals"), tape, rising=2040, falling=2000)
    begun = timezone.now() - timedelta(minutes=5)
    mine, theirs = Queue(begun), Queue(begun)
    mine.add("inspect_step", str(uuid4()), **bad)
    record = theirs.add("inspect_step", str(uuid4()), **bad)["record"]
    defect = str(uuid5(UUID(record), "defect"))
    theirs.add("put_defect_right", defect, 1, how="eased")
    theirs.add("put_defect_right", defect, 1, how="eased")
    for number, operation in enumerate(theirs.operations):
        operation |= {"id": str(uuid4()), "after": None}
        theirs.operations[number] = operation
    assert results(first, *mine.operations) == ["applied"]
    answered = [answer["result"] for answer in send(second, *theirs.operations)]
    assert answered == ["already_applied", "applied", "already_applied"]
    assert Defect.objects.get().put_right_how == "eased"


def test_a_sash_and_a_bead_that_are_recorded_already_count_as_done(
    client, fitter, installation, independent
):
    factories.fitted(fitter, installation, until="beads_back")
    own = {"installation": str(installation.pk)}
    bead = installation.beads.get(leaf=1, side="top")
    side = {"leaf": 1, "side": "top"}
    sent = [
        independent("record_sash", **own, leaf=2, **walker.SASH),
        independent("take_bead_off", **own, number=bead.number, **side),
        independent("put_bead_back", str(bead.pk), 1, **side),
        independent("put_bead_back", str(bead.pk), 1, **side),
    ]
    done = ["already_applied", "already_applied", "applied", "already_applied"]
    assert results(client, *sent) == done


def test_a_good_reading_that_came_before_the_failure_does_not_hide_its_cure(
    client, step, tape, independent, at_the_gear
):
    """Both of a crew read the frame good after it was eased; who found it bowed sends last."""
    other, bow = factories.person("fitter"), step("bow")
    factories.visit(factories.person("office"), at_the_gear.job, "fitting", other)
    failed, good, read_too = (
        independent("inspect_step", **evidence(bow, tape, **readings))
        for readings in ({"left_jamb_middle": 5}, {}, {})
    )
    assert results(signed_in(other), read_too) == ["applied"]
    assert results(client, failed, good) == ["applied", "applied"]
    assert bow.inspections.order_by("created_at").last().outcome == "pass"
