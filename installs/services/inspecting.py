"""Recording what was found at a step of the plan."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from installs.arithmetic.criteria import (
    Criterion,
    Judged,
    PlacedValue,
    judge_step,
    overall,
    readings_by_place,
)
from installs.models import Defect, Inspection, PlanStep, Reading
from installs.services.defects import record_defect
from installs.services.on_record import on_record_short_of, require_register
from installs.services.recording import (
    instrument_facts,
    lock_installation,
    reading_day,
    require_gate,
    require_hold_points,
    require_in_plan,
)
from installs.state import InstallationState
from jobs.arithmetic.errors import pointer_to
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.journal import append_new
from surveys.models import Instrument
from surveys.services.instruments import facts_on


@transaction.atomic
def inspect_step(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    step: PlanStep,
    readings: Iterable[PlacedValue] = (),
    instrument: Instrument | None = None,
    acknowledged: bool | None = None,
    checks: Mapping[str, bool] | None = None,
    sealant_class: float | None = None,
    return_on: date | None = None,
    note: str = "",
) -> Inspection:
    """Judge what was found at a step and store it; a failure opens a defect by itself.

    Every piece of evidence that the step asks for is given, and no other. Raises `GateClosed`
    while the gate of the step's phase or a hold point before it is closed, `InvalidField` and
    `UnusableInput` for evidence that does not answer the step.
    """
    installation = step.installation = lock_installation(step.installation_id)
    require_in_plan(step)
    if step.phase == PlanStep.Phase.HANDOVER:
        raise InvalidField("/step", "it is recorded by the handover of the job")
    state = InstallationState(installation)
    require_gate(state, step.phase)
    require_hold_points(state, step)
    day = reading_day(installation, idempotency_key.recorded_at)
    measured = _measured(step, list(readings), instrument)
    _check_checks(step, checks or {}, note)
    _check_acknowledgement(step, acknowledged, note)
    _check_sealant(step, sealant_class)
    _check_return(step, return_on, idempotency_key.recorded_at)
    if acknowledged:
        require_register(step)
    inspection = Inspection(
        **idempotency_key.columns,
        step=step,
        inspector=actor,
        instrument=instrument,
        measured_with=facts_on(instrument, day) if instrument else None,
        acknowledged=bool(acknowledged),
        checks=dict(checks or {}),
        sealant_class=sealant_class,
        return_on=return_on,
        note=note,
    )
    return store_inspection(inspection, measured)


def store_inspection(inspection: Inspection, measured: dict[str, float]) -> Inspection:
    """Judge and store an inspection whose evidence is complete, inside the caller's transaction."""
    step = inspection.step
    rules = step.installation.rule_set.rules
    instrument = inspection.instrument
    day = reading_day(step.installation, inspection.recorded_at)
    judged = judge_step(
        criteria_of(step),
        measured,
        instrument_facts(instrument, day) if instrument else None,
        rules["decision.confidence"],
    )
    shortfalls = on_record_short_of(step)
    inspection.outcome = _outcome(inspection, judged, shortfalls)
    inspection.save(force_insert=True)
    Reading.objects.bulk_create(Reading(inspection=inspection, **asdict(j)) for j in judged)
    verdicts = [asdict(j) for j in judged]
    append_new(
        inspection,
        actor=inspection.inspector,
        entry_type=JournalType.STEP_INSPECTED,
        readings=verdicts,
    )
    if inspection.outcome == Inspection.Outcome.FAIL:
        _open_defect(inspection, judged, shortfalls)
    return inspection


def criteria_of(step: PlanStep) -> dict[str, Criterion]:
    """The step's criteria as the arithmetic takes them."""
    return {
        name: Criterion(**criterion | {"of": tuple(criterion["of"])})
        for name, criterion in step.in_order(step.criteria).items()
    }


def _measured(
    step: PlanStep, readings: list[PlacedValue], instrument: Instrument | None
) -> dict[str, float]:
    measured = readings_by_place(criteria_of(step), readings)
    if measured and instrument is None:
        raise InvalidField("/instrument", "name the instrument that the readings were taken with")
    if instrument and not measured:
        raise InvalidField("/instrument", "this step takes no readings")
    if instrument and step.instruments and instrument.kind not in step.instruments:
        usable = " or ".join(step.instruments)
        raise InvalidField("/instrument", f"a {instrument.kind} cannot read this; use a {usable}")
    return measured


def _check_acknowledgement(step: PlanStep, acknowledged: bool | None, note: str) -> None:
    asked = "acknowledgement" in step.evidence
    if asked and acknowledged is None:
        raise InvalidField("/acknowledged", "say true when it is done and in order, else false")
    if not asked and acknowledged is not None:
        raise InvalidField("/acknowledged", "this step is decided by what is read or counted")
    if acknowledged is False and not note:
        raise InvalidField("/note", "say what is not in order")


def _check_checks(step: PlanStep, checks: Mapping[str, bool], note: str) -> None:
    if stray := [name for name in checks if name not in step.checks]:
        known = ", ".join(step.checks) or "nothing is checked by name"
        pointer = pointer_to("checks", stray[0])
        raise InvalidField(pointer, f"this step has no such check; it has: {known}")
    if missing := [name for name in step.checks if name not in checks]:
        raise InvalidField("/checks", f"still to be checked: {', '.join(missing)}")
    if not all(checks.values()) and not note:
        raise InvalidField("/note", "say what is not in order")


def _check_sealant(step: PlanStep, sealant_class: float | None) -> None:
    """What the joint can follow is known by the class of its sealant alone."""
    if "sealant_class" not in step.asks:
        if sealant_class is not None:
            raise InvalidField("/sealant_class", "nothing is sealed at this step")
        return
    rules = step.installation.rule_set.rules
    known = rules["sealant.classes"]
    if sealant_class not in known:
        classes = ", ".join(f"{one:g}" for one in known) + rules.note("sealant.classes")
        raise InvalidField("/sealant_class", f"give the class of the sealant: {classes}")


def _check_return(step: PlanStep, return_on: date | None, recorded_at: datetime | None) -> None:
    """Only protective tape is left for later, and only on a day that is named; one that came while
    the phone had no network was named in time."""
    if return_on is None:
        return
    if "return_on" not in step.asks:
        raise InvalidField("/return_on", "nothing of this step is left for another day")
    if return_on < timezone.localdate(recorded_at):
        raise InvalidField("/return_on", f"{return_on} is over; name the day to come back on")


def _outcome(inspection: Inspection, judged: Iterable[Judged], shortfalls: Sequence[str]) -> str:
    if shortfalls or not all(inspection.checks.values()):
        return str(Inspection.Outcome.FAIL)
    if "acknowledgement" in inspection.step.evidence and not inspection.acknowledged:
        return str(Inspection.Outcome.FAIL)
    return overall(judgement.decision for judgement in judged)


def _open_defect(
    inspection: Inspection, judged: Iterable[Judged], shortfalls: Sequence[str]
) -> None:
    """One defect of a step stands at a time: a second failure of it is the same defect, still."""
    step = inspection.step
    if step.defects.open().exists():
        return
    record_defect(
        actor=inspection.inspector,
        idempotency_key=IdempotencyKey(inspection.pk, recorded_at=inspection.recorded_at).derived(
            "defect"
        ),
        installation=step.installation,
        step=step,
        severity=Defect.Severity.CRITICAL if step.critical else Defect.Severity.MAJOR,
        description=_failure(inspection, judged, shortfalls),
    )


def _failure(inspection: Inspection, judged: Iterable[Judged], shortfalls: Sequence[str]) -> str:
    failed = [*shortfalls, *(_told(j) for j in judged if j.decision == "fail")]
    words = inspection.step.in_order(inspection.step.checks)
    failed += [
        told + ": no" for name, told in words.items() if not inspection.checks.get(name, True)
    ]
    what = "; ".join(failed) or inspection.note
    return f"{inspection.step.title}: {what}"[:500]


def _told(judged: Judged) -> str:
    limits = {"at least": judged.lower, "at most": judged.upper}
    allowed = " and ".join(
        f"{word} {limit:g}" for word, limit in limits.items() if limit is not None
    )
    name = judged.place.replace("_", " ")
    return f"{name} {judged.value:g} {judged.unit}; allowed is {allowed}"
