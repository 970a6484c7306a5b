"""Every code of a blocker comes of something, leads somewhere, and is conceded or never."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from installs.conditions import may_be_conceded
from installs.models import Defect, Installation
from installs.services.defects import record_defect
from installs.services.handing_over import hand_over
from installs.services.inspecting import inspect_step
from jobs.blockers import BlockerCode
from jobs.errors import Blocker
from jobs.idempotency import IdempotencyKey
from jobs.models import Job, Person
from office.blocker_links import InTheWay, Places
from reports.gates import all_gates
from tests import factories
from tests.installs.test_replanning import without_layout

pytestmark = pytest.mark.django_db

UNSAFE = {"layers": [{"glass": 6}, {"cavity": 16, "gas": {"argon": 1.0}}, {"glass": 4}]}


@pytest.fixture
def fitter() -> Person:
    return factories.person("fitter")


def untouched(office: Person, fitter: Person, job: Job) -> None:
    """Taken on, and nothing else."""


def opening_alone(office: Person, fitter: Person, job: Job) -> None:
    factories.opening(office, job)


def wrongly_drafted(office: Person, fitter: Person, job: Job) -> None:
    """Leaves too heavy, glass that breaks, and a survey with a tape out of calibration."""
    opening = factories.opening(office, job)
    system = factories.profile_system(office, largest_leaf_mass=30)
    factories.doorset(office, opening, profile_system=system, glazing=UNSAFE)
    tape = factories.instrument(office, calibration_due=date(2020, 1, 1))
    laser = factories.instrument(office, **factories.LASER)
    factories.accepted_survey(office, opening, instrument=tape, level_instrument=laser)


def wide_and_unchecked(office: Person, fitter: Person, job: Job) -> None:
    """A frame of six metres, every size of its opening read with one tape."""
    opening = factories.opening(office, job)
    factories.doorset(office, opening, fold="8-5-3", frame={"width": 5990, "height": 2100})
    factories.accepted_survey(office, opening)


def ordered(office: Person, fitter: Person, job: Job) -> None:
    factories.ordered_doorset(office, factories.opening(office, job))


def booked_ahead(office: Person, fitter: Person, job: Job) -> None:
    """A crew is still to come to fit."""
    start = timezone.now() + timedelta(days=9)
    factories.visit(office, job, "fitting", fitter, start=start)


def wrongly_delivered(office: Person, fitter: Person, job: Job) -> None:
    """Too wide, a leaf short, before a wall that may hold asbestos."""
    opening = factories.opening(office, job)
    suspected = factories.CONDITIONS | {"asbestos_suspected": True}
    factories.survey(office, opening, conditions=suspected)
    wide = {"width": 3599, "height": 2100}
    doorset = factories.ordered_doorset(office, opening)
    factories.delivery(office, doorset, frame=wide, leaves_counted=4)


def badly_fitted(office: Person, fitter: Person, job: Job) -> None:
    """A jamb out of plumb, beads off, a screw off its place, no photos, a scratch, no gaps read."""
    installation = factories.installation(office, fitter, job)
    factories.fitted(fitter, installation, until="fixing")
    plumb = installation.steps.get(code="plumb")
    factories.fixing(fitter, installation, position=700)
    factories.inspection(fitter, plumb, **dict.fromkeys(plumb.criteria, 9.0))
    installation.photos.all().delete()
    record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity=Defect.Severity.MINOR,
        description="Scratch on a bead of leaf 3",
    )
    without_layout(installation)


def unevenly_hung(office: Person, fitter: Person, job: Job) -> None:
    """Gaps that differ at a junction, and protective tape left inside."""
    installation = factories.fitted(
        fitter, factories.installation(office, fitter, job), until="tape_off"
    )
    factories.gap(fitter, installation, 2, head_gap=9, sill_gap=4)
    leave_tape(fitter, installation)


def leave_tape(fitter: Person, installation: Installation) -> None:
    inspect_step(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        step=installation.steps.get(code="tape_off"),
        acknowledged=True,
        return_on=timezone.localdate() + timedelta(days=20),
    )


def altered_past_the_service(office: Person, fitter: Person, job: Job) -> None:
    """Nothing is in the way of its certificate, and a screw is another than was recorded."""
    installation = factories.fitted(fitter, factories.installation(office, fitter, job))
    hand_over(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        job=job,
        customer_name="Oona Quill",
        keys={str(installation.pk): 3},
        demonstrated=True,
        care_given=True,
        signature=[[[0, 0], [10, 8], [20, 2]]],
    )
    installation.fixings.update(fitter=office)


C = BlockerCode
FITTING = {C.STEP, C.MECHANICAL_FIXING, C.FIXING_POSITION, C.FIXING_LAYOUT}
SITUATIONS = {
    untouched: {C.OPENING, C.HANDOVER},
    opening_alone: {C.DOORSET, C.SURVEY, C.ORDER, C.INSTALLATION},
    wrongly_drafted: {C.PROFILE_LIMIT, C.UNSAFE_GLASS, C.CALIBRATION, C.FIT},
    wide_and_unchecked: {C.SECOND_INSTRUMENT, C.FIT},
    ordered: {C.DELIVERY},
    booked_ahead: {C.VISIT},
    wrongly_delivered: {C.DELIVERED_SIZE, C.LEAVES, C.SURVEY_BEFORE_REMOVAL, C.ASBESTOS},
    badly_fitted: {*FITTING, C.BEAD, C.SASH, C.PHOTO, C.DEFECT, C.MINOR_DEFECT},
    unevenly_hung: {C.JUNCTION_GAP, C.RETURN_VISIT},
    altered_past_the_service: {C.JOURNAL},
}


@pytest.fixture(params=SITUATIONS, ids=lambda situation: situation.__name__)
def situation(request, office, fitter, job):
    """A job in which some conditions of its gates are not met, and the kinds of these."""
    request.param(office, fitter, job)
    return job, SITUATIONS[request.param]


def in_the_way(job: Job, kinds: set[BlockerCode]) -> list[Blocker]:
    return [b for found in all_gates(job).values() for b in found if b.kind in kinds]


def test_every_code_is_the_code_of_something_that_happens():
    assert set().union(*SITUATIONS.values()) == set(BlockerCode)


def test_what_is_wrong_stands_in_the_way_under_its_code(situation):
    job, kinds = situation
    found = in_the_way(job, kinds)
    assert {blocker.kind for blocker in found} == kinds
    assert all(b.code == b.kind for b in found if b.kind is not BlockerCode.STEP)


def links(person: Person, job: Job, kinds: set[BlockerCode]) -> list[InTheWay]:
    """What is in the way with its addresses, one of each kind that has any."""
    places = Places(person, job).of_gates({"all": in_the_way(job, kinds)})["all"]
    return [
        *{one.blocker.kind: one for one in places if one.address}.values(),
        *{one.blocker.kind: one for one in places if one.concession}.values(),
    ]


def browser_of(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_each_blocker_leads_the_office_to_a_page_that_opens(situation, office):
    job, kinds = situation
    led = links(office, job, kinds)
    assert {one.blocker.kind for one in led} == kinds
    for one in led:
        assert browser_of(office).get(one.address).status_code == 200, one.address


def test_whoever_is_led_to_a_page_of_an_own_job_may_open_it(situation, office, fitter):
    job, kinds = situation
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    factories.visit(office, job, "fitting", fitter)
    for person in (fitter, surveyor):
        for one in links(person, job, kinds):
            assert browser_of(person).get(one.address).status_code == 200, one.address


def test_the_office_is_offered_to_accept_what_can_be_accepted_and_nothing_else(situation, office):
    job, kinds = situation
    offered = [one for one in links(office, job, kinds) if one.concession]
    assert {one.blocker.kind for one in offered} == {k for k in kinds if k.condition.concedable}
    for one in offered:
        assert browser_of(office).get(one.concession).status_code == 200, one.concession


def test_what_can_hurt_somebody_is_never_conceded_whatever_a_rule_set_allows():
    everything = {"concession.allowed": list(BlockerCode)}
    accepted = {code for code in BlockerCode if may_be_conceded(code, everything)}
    assert accepted == {
        C.STEP,
        C.FIXING_LAYOUT,
        C.FIXING_POSITION,
        C.JUNCTION_GAP,
        C.PHOTO,
        C.MINOR_DEFECT,
    }
