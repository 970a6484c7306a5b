"""A job that has been fitted from survey to handover, through the services of every app."""

from typing import Any

from installs.arithmetic.criteria import PlacedValue, places_to_read
from installs.models import Installation, PlanStep
from installs.services.fitting import record_fixing, record_gap, record_sash
from installs.services.handing_over import hand_over
from installs.services.inspecting import criteria_of, inspect_step
from installs.services.installing import plan_installation
from jobs.idempotency import IdempotencyKey
from jobs.models import Doorset, Job, Person, RuleSet
from surveys.models import Instrument
from tests import factories
from tests.snapshots import built_once

KEYS = 3


@built_once
def fitted_installation(office: Person, fitter: Person, doorset: Doorset) -> Installation:
    """Everything of the plan of a released doorset but its handover."""
    visit = factories.visit(office, doorset.job, "fitting", fitter)
    installation = plan_installation(
        actor=fitter, idempotency_key=IdempotencyKey(), doorset=doorset, visit=visit
    )
    laser = factories.instrument(office, name="Line laser", **factories.LASER)
    done: set[str] = set()
    for step in installation.steps.exclude(phase="handover").order_by("number"):
        if step.phase == PlanStep.Phase.FIXING and "fixings" not in done:
            fix(fitter, installation)
            done.add("fixings")
        if step.code == "beads_off":
            factories.beads_off(fitter, installation)
        if step.code == "beads_back":
            factories.beads_back(fitter, installation)
        if step.code in ("running_gear", "gaps_again"):
            read_gaps(office, fitter, installation)
        if step.code == "glass_in":
            finish_leaves(fitter, installation)
        inspect(fitter, step, laser)
    return installation


def inspect(fitter: Person, step: PlanStep, instrument: Instrument, **evidence: Any) -> Any:
    """Record a step as it should be, unless said otherwise: nothing is off, however it is read."""
    criteria = criteria_of(step)
    if "reading" in step.evidence:
        evidence.setdefault("instrument", instrument)
        evidence.setdefault(
            "readings",
            [
                PlacedValue(place, max(of.lowest, 0.0))
                for place, of in places_to_read(criteria).items()
            ],
        )
    if step.checks:
        evidence.setdefault("checks", dict.fromkeys(step.checks, True))
    if "acknowledgement" in step.evidence:
        evidence.setdefault("acknowledged", True)
    if step.code == "seal":
        evidence.setdefault("sealant_class", 25)
    if "photo" in step.evidence:
        factories.site_photo(fitter, step)
    return inspect_step(actor=fitter, idempotency_key=IdempotencyKey(), step=step, **evidence)


def fix(fitter: Person, installation: Installation) -> None:
    for member in installation.plan["fixing_layout"]["members"]:
        for position in member["positions"]:
            record_fixing(
                actor=fitter,
                idempotency_key=IdempotencyKey(),
                installation=installation,
                member=member["name"],
                position=position,
                kind="frame_screw",
                packers=[5, 2],
            )


def read_gaps(office: Person, fitter: Person, installation: Installation) -> None:
    gauge = factories.instrument(
        office, name="Gap gauge", kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
    )
    for junction in installation.plan["junctions"]:
        record_gap(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            junction=junction["number"],
            head_gap=4.5,
            sill_gap=4.5,
            instrument=gauge,
        )


def finish_leaves(fitter: Person, installation: Installation) -> None:
    for leaf in installation.plan["leaves"]:
        record_sash(
            actor=fitter,
            idempotency_key=IdempotencyKey(),
            installation=installation,
            leaf=leaf["number"],
            blocks_set=True,
            brace_set=True,
            glass_marking=f"EN 12150-1 toughened, pane {leaf['number']}",
        )


@built_once
def handed_over_job(
    office: Person, fitter: Person, rule_set: RuleSet | None = None, **customer: Any
) -> Job:
    """One opening, one doorset, fitted without a fault and handed over."""
    told = {"name": "Oona Quill", "email": "oona.quill@example.org"} | customer
    job = factories.job(
        office,
        customer=factories.customer(office, **told),
        rule_set=rule_set or factories.rule_set(),
    )
    doorset = factories.released_doorset(office, factories.opening(office, job, "Garden wall"))
    installation = fitted_installation(office, fitter, doorset)
    hand_over(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        job=job,
        customer_name=told["name"],
        keys={str(installation.pk): KEYS},
        demonstrated=True,
        care_given=True,
        signature=[[[0, 0], [10, 8], [20, 2]]],
    )
    return job
