"""A long job: eight leaves, sixty photos, forty defects, in every state that they can be in; and
two more openings, of which nothing was decided and nothing surveyed."""

from typing import Any

from installs.models import Defect, Installation
from installs.services.concessions import concede
from installs.services.defects import put_right, record_defect, reinspect
from installs.services.installing import plan_installation
from installs.services.photos import add_site_photo
from jobs.idempotency import IdempotencyKey
from jobs.models import Job, Person
from surveys.services.orders import order_doorset
from surveys.services.photos import add_photo
from tests import factories
from tests.pictures import picture

DEFECTS, PHOTOS = 40, 60
MINOR, MAJOR, CRITICAL = "minor", "major", "critical"

# An opening of 6012 x 2115 for a frame of 5990 x 2100; the left jamb leans 4 mm.
READINGS: dict[str, Any] = {
    "widths": [{"at": at, "value": 6012} for at in (100, 1050, 2000)],
    "heights": [
        {"at": 100, "value": 2115},
        {"at": 3000, "value": 2116},
        {"at": 5900, "value": 2117},
    ],
    "diagonals": {"rising": 6376, "falling": 6371},
    "sill_levels": [{"at": 0, "value": 0}, {"at": 3000, "value": 2}, {"at": 6012, "value": -1}],
    "head_levels": [],
    "plumb": {
        "left": [{"at": 0, "value": 0}, {"at": 2100, "value": 4}],
        "right": [{"at": 0, "value": 0}, {"at": 2100, "value": 3}],
    },
    "checks": {"known_lengths": [{"length": 1000, "value": 1000}]},
    **factories.flat_and_square(6012, 2115),
}
CONDITIONS = factories.CONDITIONS | {
    "outside_drop": 750,
    "guarding_present": False,
    "services_in_reveal": ["electricity"],
    "damp_proof_course": "damaged",
    "lintel_span": 6300,
    "access": ["through_house", "steps", "lifting_gear_needed"],
    "way_in": {
        "passage_height": 2400,
        "doorway_width": 900,
        "corners": [{"before": 900, "after": 1000}],
        "steps": 3,
        "distance": 25,
    },
    "notes": "The gate sticks.",
}


def long_job() -> Job:
    """Planned and surveyed, with its defects."""
    office, surveyor = factories.person("office"), factories.person("surveyor")
    fitter, mate = factories.person("fitter"), factories.person("fitter")
    job = factories.job(office)
    installation = _planned(office, surveyor, fitter, job)
    for number in range(DEFECTS):
        _defect(number, installation, fitter, mate)
    concede(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        code="minor_defect",
        reason="It cannot be seen from the room",
        defect=installation.defects.filter(severity=MINOR, closed_at=None).first(),
    )
    undecided = factories.opening(office, job, "Side return")
    factories.survey(office, undecided, readings=READINGS, conditions=CONDITIONS)
    factories.opening(office, job, "Not visited yet")
    return job


def _planned(office: Person, surveyor: Person, fitter: Person, job: Job) -> Installation:
    opening = factories.opening(office, job, "Garden wall")
    tape = factories.instrument(office, name="Tape, 8 m", serial="T-0815")
    laser = factories.instrument(office, name="Line laser", serial="L-0042", **factories.LASER)
    told: dict[str, Any] = {
        "conditions": CONDITIONS,
        "surveyor": surveyor,
        "instrument": tape,
        "level_instrument": laser,
    }
    swapped = READINGS | {"diagonals": {"rising": 6736, "falling": 6371}}
    factories.survey(office, opening, readings=swapped, **told)
    doorset = factories.doorset(
        office, opening, fold="8-5-3", frame={"width": 5990, "height": 2100}
    )
    first = factories.accepted_survey(office, opening, readings=READINGS, **told)
    factories.fit_decision(office, first, doorset)
    for number in range(PHOTOS):
        add_photo(
            actor=surveyor,
            idempotency_key=IdempotencyKey(),
            survey=first,
            content=picture(size=(640, 480) if number % 2 else (480, 640)),
            caption=f"Reveal {number + 1}",
        )
    ordered = order_doorset(actor=office, doorset=doorset, expected_version=doorset.version)
    factories.delivery(office, ordered)
    again = factories.survey(office, opening, stage="before_removal", readings=READINGS, **told)
    factories.fit_decision(office, again, ordered)
    return plan_installation(
        actor=office,
        idempotency_key=IdempotencyKey(),
        doorset=ordered,
        visit=factories.visit(office, job, "fitting", fitter),
    )


def _defect(number: int, installation: Installation, fitter: Person, mate: Person) -> None:
    defect = record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        step=installation.steps.get(number=number % 30 + 1) if number % 2 else None,
        place=(None, "sash 2", "junction 3", "left 850")[number % 4],
        severity=(MINOR, MAJOR, CRITICAL)[number % 3],
        description=f"Defect that was found as number {number + 1}",
        responsible="maker" if number % 2 else "crew",
    )
    for _ in range(number % 4):
        add_site_photo(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            defect=defect,
            content=picture(),
        )
    if number % 4 == 0:
        _mend(defect, fitter, mate)


def _mend(defect: Defect, fitter: Person, mate: Person) -> None:
    mended = put_right(
        actor=fitter, defect=defect, expected_version=defect.version, how="packed anew"
    )
    reinspect(actor=mate, defect=mended, expected_version=mended.version, accepted=True)
