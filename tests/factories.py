"""Records for tests, made through the services wherever there is one.

One section per app; each function fills in what a test does not care about.
"""

from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from itertools import count
from typing import Any

from django.db.models import Max
from django.utils import timezone

from installs.models import (
    Bead,
    Fixing,
    Inspection,
    Installation,
    JunctionGap,
    MakerInstruction,
    PlanStep,
    SashRecord,
    SitePhoto,
)
from installs.services import fitting
from installs.services.beads import put_bead_back, take_bead_off
from installs.services.inspecting import inspect_step
from installs.services.installing import plan_installation
from installs.services.instructions import add_instruction
from installs.services.photos import add_site_photo
from jobs.idempotency import IdempotencyKey
from jobs.models import (
    Crew,
    Customer,
    Delivery,
    Doorset,
    Job,
    Opening,
    Person,
    ProfileSystem,
    RuleSet,
    Site,
    Visit,
)
from jobs.services import catalogue, diary, doorsets, jobs, people
from reports.models import JournalWitness
from reports.services.journal_witnesses import add_witness
from surveys.models import FitDecision, Instrument, Photo, Survey
from surveys.services import fit_decisions, instruments, orders, surveys
from surveys.services.photos import add_photo
from tests import walker
from tests.journal import made_at
from tests.pictures import picture, picture_number, picture_that_shows_something
from tests.snapshots import built_once

_numbers = count(1)

# ---------------------------------------------------------------------------------------------
# jobs

NEWEST_RULE_SET = "folding-2026-5"
PASSWORD = "a-door-in-the-rain-42"


@built_once
def person(*roles: str, username: str = "") -> Person:
    return people.add_person(
        actor=None,
        username=username or f"person-{next(_numbers)}",
        password=PASSWORD,
        full_name=("Robin", f"Example{next(_numbers)}"),
        email="robin@example.com",
        roles=roles,
    )


@built_once
def rule_set(name: str = NEWEST_RULE_SET) -> RuleSet:
    catalogue.load_shipped_rule_sets()
    return RuleSet.objects.get(name=name)


@built_once
def customer(actor: Person, **values: Any) -> Customer:
    filled = {"name": "Customer Example", "email": "customer@example.com"} | values
    return jobs.add_customer(actor=actor, idempotency_key=IdempotencyKey(), **filled)


@built_once
def site(actor: Person, **values: Any) -> Site:
    filled = {
        "address_line_1": "1 Example Lane",
        "town": "Sampleton",
        "postcode": "ZZ1 1ZZ",
    }
    return jobs.add_site(actor=actor, idempotency_key=IdempotencyKey(), **(filled | values))


@built_once
def job(actor: Person, **values: Any) -> Job:
    filled = {"title": "Garden doors"} | values
    filled.setdefault("rule_set", rule_set())
    filled.setdefault("customer", customer(actor))
    filled.setdefault("site", site(actor))
    taken_on = jobs.take_on_job(actor=actor, idempotency_key=IdempotencyKey(), **filled)
    # As long ago as anything may be dated that a phone kept back.
    made_at(taken_on, taken_on.created_at - timedelta(days=90))
    return Job.objects.get(pk=taken_on.pk)


@built_once
def opening(actor: Person, job: Job, name: str = "Rear wall") -> Opening:
    return jobs.add_opening(actor=actor, idempotency_key=IdempotencyKey(), job=job, name=name)


PROFILE_DATA: dict[str, Any] = {
    "frame_face": 60,
    "sash_face": 62,
    "leaf_gap": 4,
    "glass_edge_cover": 15,
    "frame_mass_per_metre": 2.4,
    "sash_mass_per_metre": 2.2,
    "hardware_mass_per_leaf": 3.0,
    "largest_leaf_width": 1000,
    "largest_leaf_height": 2500,
    "largest_leaf_mass": 100,
    "carrier_adjustment_range": 3,
    "lift_per_turn": 1,
    "removable_track_end": 400,
    "head_fixing": ["through_track", "in_channel"],
    "toe_and_heel_device": True,
    "frame_u": 1.4,
    "psi": 0.05,
}

ORDER_CHOICES: dict[str, Any] = {
    "colours": ["slate", "chalk"],
    "handles": ["lever"],
    "thresholds": [
        {"name": "low", "upstand": 12},
        {"name": "weathered", "upstand": 45},
    ],
    "ventilators": ["none fitted"],
}

GLAZING: dict[str, Any] = {
    "layers": [
        {
            "glass": 6,
            "safety": "toughened",
            "emissivity": 0.03,
            "coated_face": "inward",
        },
        {"cavity": 16, "gas": {"argon": 0.9, "air": 0.1}},
        {"glass": 4, "safety": "toughened"},
    ]
}


@built_once
def profile_system(actor: Person, **values: Any) -> ProfileSystem:
    filled = {
        "name": f"System {next(_numbers)}",
        "choices": ORDER_CHOICES,
        **PROFILE_DATA,
    }
    return catalogue.add_profile_system(
        actor=actor, idempotency_key=IdempotencyKey(), **(filled | values)
    )


def maker_instruction(
    actor: Person, system: ProfileSystem, content: bytes | None = None, **values: Any
) -> MakerInstruction:
    """A picture, unless something else is given."""
    return add_instruction(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        profile_system=system,
        content=content or picture_that_shows_something(),
        **({"title": "Where the screws go"} | values),
    )


def doorset_order(**values: Any) -> dict[str, Any]:
    """What is ordered besides the profile system, as the service takes it."""
    return {
        "fold": "5-5-0",
        "opens": "out",
        "frame": {"width": 3590, "height": 2100},
        "glazing": GLAZING,
        "head_fixing": "in_channel",
        "colour_inside": "chalk",
        "colour_outside": "slate",
        "handle": "lever",
        "threshold": "low",
    } | values


@built_once
def doorset(actor: Person, opening: Opening, **values: Any) -> Doorset:
    order = doorset_order(**values)
    order.setdefault("profile_system", profile_system(actor))
    return doorsets.draft_doorset(
        actor=actor, idempotency_key=IdempotencyKey(), opening=opening, **order
    )


@built_once
def crew(actor: Person, *members: Person) -> Crew:
    return diary.add_crew(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        name=f"Crew {next(_numbers)}",
        members=members,
    )


@built_once
def visit(actor: Person, job: Job, kind: str, *members: Person, **values: Any) -> Visit:
    """One that has not begun and is so near that its records may be made now."""
    people = list(values["crew"].members.all()) if "crew" in values else members
    start = _free_from(timezone.now() + timedelta(minutes=60), people)
    filled: dict[str, Any] = {"start": start} | values
    filled.setdefault("end", filled["start"] + timedelta(minutes=5))
    filled.setdefault("crew", crew(actor, *members))
    return diary.book_visit(
        actor=actor, idempotency_key=IdempotencyKey(), job=job, kind=kind, **filled
    )


def _free_from(start: datetime, members: Iterable[Person]) -> datetime:
    booked = Visit.objects.not_cancelled().filter(people__in=members, end__gt=start)
    return booked.aggregate(last=Max("end"))["last"] or start


@built_once
def visit_about_now(actor: Person, job: Job, kind: str, *members: Person) -> Visit:
    """One that is today, and not over while any test lasts."""
    start = timezone.now() + timedelta(minutes=1)
    end = start + timedelta(minutes=50)
    return visit(actor, job, kind, *members, start=start, end=end)


# ---------------------------------------------------------------------------------------------
# surveys

TAPE: dict[str, Any] = {"kind": "tape", "accuracy_class": "II"}
LASER: dict[str, Any] = {
    "kind": "laser",
    "expanded_uncertainty": 1.0,
    "coverage_factor": 2,
}


def flat_and_square(width: float, height: float) -> dict[str, Any]:
    """Sides that nowhere stand in beyond the line through their ends, and reveals that are square:
    what a straightedge and a square read of them."""
    lengths = {"left": height, "right": height, "head": width, "sill": width}
    return {
        "straightedge": [{"side": side, "hump": 0} for side in lengths],
        "splay": [
            {"side": side, "at": at, "value": 0}
            for side, length in lengths.items()
            for at in (50, length - 50)
        ],
    }


# A sound opening, 3612 x 2115, that takes a frame of 3590 x 2100 with 7.5 mm on either side.
READINGS: dict[str, Any] = {
    "widths": [
        {"at": 100, "value": 3612},
        {"at": 1050, "value": 3612},
        {"at": 2000, "value": 3612},
    ],
    "heights": [
        {"at": 100, "value": 2115},
        {"at": 1800, "value": 2115},
        {"at": 3500, "value": 2115},
    ],
    "diagonals": {"rising": 4186, "falling": 4186},
    "sill_levels": [{"at": 0, "value": 0}, {"at": 1806, "value": 0}, {"at": 3612, "value": -1}],
    "head_levels": [],
    "plumb": {
        "left": [{"at": 0, "value": 0}, {"at": 2100, "value": 1}],
        "right": [{"at": 0, "value": 0}, {"at": 2100, "value": 1}],
    },
    **flat_and_square(3612, 2115),
}

CONDITIONS: dict[str, Any] = {
    "measured_to": "structural",
    "substrate": {"left": "brick", "right": "brick", "head": "steel", "sill": "concrete"},
    "damp_proof_course": "ok",
    "lintel_seen": True,
    "asbestos_suspected": False,
    "outside_drop": 150,
}


@built_once
def instrument(actor: Person, **values: Any) -> Instrument:
    number = next(_numbers)
    filled = {"name": "Tape", "serial": f"T-{number}", "calibration_due": date(2099, 1, 1)}
    good = {} if "kind" in values else TAPE
    return instruments.add_instrument(
        actor=actor, idempotency_key=IdempotencyKey(), **(filled | good | values)
    )


def contradictory_readings() -> dict[str, Any]:
    """The rising diagonal with two digits swapped."""
    return READINGS | {"diagonals": {"rising": 4816, "falling": 4186}}


@built_once
def survey(actor: Person, opening: Opening, **values: Any) -> Survey:
    """A survey of the stage `first` unless said otherwise, taken by `surveyor` or the actor."""
    taker = values.pop("surveyor", actor)
    filled: dict[str, Any] = {
        "stage": "first",
        "taken_at": timezone.now(),
        "readings": READINGS,
        "conditions": CONDITIONS,
    } | values
    if "visit" not in filled:
        kind, role = {"first": ("survey", "surveyor")}.get(filled["stage"], ("fitting", "fitter"))
        filled["visit"] = visit(actor, opening.job, kind, person(role))
    if "instrument" not in filled:
        filled["instrument"] = instrument(actor)
        filled["level_instrument"] = instrument(actor, name="Laser", **LASER)
    return surveys.record_survey(
        actor=taker, idempotency_key=IdempotencyKey(), opening=opening, **filled
    )


@built_once
def accepted_survey(actor: Person, opening: Opening, **values: Any) -> Survey:
    taken = survey(actor, opening, **values)
    return surveys.accept_survey(actor=actor, survey=taken, expected_version=taken.version)


@built_once
def survey_photo(actor: Person, survey: Survey, caption: str = "") -> Photo:
    return add_photo(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        survey=survey,
        content=picture(),
        caption=caption,
    )


@built_once
def fit_decision(actor: Person, survey: Survey, doorset: Doorset) -> FitDecision:
    return fit_decisions.record_fit_decision(
        actor=actor, idempotency_key=IdempotencyKey(), survey=survey, doorset=doorset
    )


@built_once
def ordered_doorset(actor: Person, opening: Opening, **values: Any) -> Doorset:
    """Surveyed, accepted, decided and ordered."""
    drafted = doorset(actor, opening, **values)
    fit_decision(actor, accepted_survey(actor, opening), drafted)
    return orders.order_doorset(actor=actor, doorset=drafted, expected_version=drafted.version)


@built_once
def delivery(actor: Person, doorset: Doorset, **values: Any) -> Delivery:
    """All that was ordered, in its size, unless said otherwise."""
    filled = {
        "delivered_on": timezone.localdate(),
        "frame": {"width": doorset.frame_width, "height": doorset.frame_height},
        "leaves_counted": doorset.leaves,
        "accepted": True,
    } | values
    return doorsets.record_delivery(
        actor=actor, idempotency_key=IdempotencyKey(), doorset=doorset, **filled
    )


@built_once
def released_doorset(actor: Person, opening: Opening, **values: Any) -> Doorset:
    """Ordered, delivered, and measured again: the old door may come out."""
    ordered = ordered_doorset(actor, opening, **values)
    delivery(actor, ordered)
    fit_decision(actor, survey(actor, opening, stage="before_removal"), ordered)
    return ordered


# ---------------------------------------------------------------------------------------------
# installs


@built_once
def installation(actor: Person, fitter: Person, of_job: Job, **order: Any) -> Installation:
    """Planned for a visit of `fitter`, its doorset ordered, delivered and measured again."""
    return planned(actor, fitter, released_doorset(actor, opening(actor, of_job), **order))


@built_once
def planned(actor: Person, fitter: Person, doorset: Doorset) -> Installation:
    """The fitting of a released doorset, planned for a visit of `fitter`."""
    fitting_visit = visit(actor, doorset.job, "fitting", fitter)
    return plan_installation(
        actor=actor, idempotency_key=IdempotencyKey(), doorset=doorset, visit=fitting_visit
    )


def evidence(actor: Person, step: PlanStep, **readings: float) -> dict[str, Any]:
    """What a step asks for, all of it in order, save the `readings` that are named."""
    given = walker.evidence(step, **readings)
    return given | ({"instrument": instrument(actor)} if "readings" in given else {})


@built_once
def inspection(actor: Person, step: PlanStep, **readings: float) -> Inspection:
    return inspect_step(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        step=step,
        **evidence(actor, step, **readings),
    )


@built_once
def fixing(actor: Person, installation: Installation, **values: Any) -> Fixing:
    filled = {"member": "left", "position": 150} | walker.FIXING | values
    return fitting.record_fixing(
        actor=actor, idempotency_key=IdempotencyKey(), installation=installation, **filled
    )


@built_once
def gap(actor: Person, installation: Installation, junction: int, **values: Any) -> JunctionGap:
    filled = walker.GAP | values
    filled.setdefault("instrument", instrument(actor))
    return fitting.record_gap(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        junction=junction,
        **filled,
    )


@built_once
def sash(actor: Person, installation: Installation, leaf: int, **values: Any) -> SashRecord:
    return fitting.record_sash(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        leaf=leaf,
        **(walker.SASH | values),
    )


@built_once
def bead_off(actor: Person, installation: Installation, leaf: int, side: str) -> Bead:
    return take_bead_off(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        number=f"{leaf}{side[0]}",
        leaf=leaf,
        side=side,
    )


@built_once
def bead_back(actor: Person, installation: Installation, leaf: int, side: str) -> Bead:
    bead = installation.beads.get(leaf=leaf, side=side)
    return put_bead_back(actor=actor, bead=bead, expected_version=1, leaf=leaf, side=side)


@built_once
def site_photo(actor: Person, step: PlanStep) -> SitePhoto:
    return add_site_photo(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        installation=step.installation,
        step=step,
        content=picture_number(next(_numbers)),
    )


# ---------------------------------------------------------------------------------------------
# reports


@built_once
def witness(actor: Person, email: str = "insurer@example.com") -> JournalWitness:
    return add_witness(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        name="Harbour Insurance",
        email=email,
        standing="insurer",
    )


# ---------------------------------------------------------------------------------------------
# whole fittings


@built_once
def fitted(actor: Person, installation: Installation, until: str = "handover") -> Installation:
    """Everything recorded and in order, up to the phase or step named by `until`."""
    for step in walker.steps_before(installation, until):
        done(actor, step)
    return installation


@built_once
def done(actor: Person, step: PlanStep) -> None:
    """One step with all that is recorded before and after it."""
    for entry in walker.entries(step):
        record(actor, entry)


@built_once
def done_beside(actor: Person, step: PlanStep) -> None:
    """All that is recorded before a step, and not the step."""
    for entry in walker.entries_beside(step):
        record(actor, entry)


def record(actor: Person, entry: walker.Entry) -> Any:
    return THROUGH_SERVICES[entry.kind](actor, entry.subject, **entry.place)


THROUGH_SERVICES: dict[str, Callable[..., Any]] = {
    "take_bead_off": bead_off,
    "put_bead_back": bead_back,
    "record_fixing": fixing,
    "record_gap": gap,
    "record_sash": sash,
    "inspect_step": inspection,
    "add_photo": site_photo,
}
