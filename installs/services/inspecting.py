"""Recording the inspection of a step of the plan."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.arithmetic.criteria import (
    Criterion,
    Judged,
    PlacedValue,
    judge_step,
    overall,
    readings_by_place,
)
from installs.frame_advice import next_act
from installs.models import Defect, Inspection, PlanStep, Reading
from installs.services.defects import record_defect
from installs.services.instrument_fit import require_fit
from installs.services.lifting import check_lifted_with
from installs.services.on_record import (
    on_record_short_of,
    require_register,
    require_square,
)
from installs.services.open_wall import plan_for_open_wall
from installs.services.recording import (
    arithmetic_facts,
    lock_installation,
    reading_day,
    require_gate,
    require_hold_points,
    require_in_plan,
)
from installs.services.sealing import check_sealing, sealed_short_of
from installs.state import InstallationState
from jobs.arithmetic.errors import pointer_to
from jobs.errors import InvalidField
from jobs.figures import day as write_day
from jobs.figures import number
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.sentences import sentence
from jobs.services.journal import append_new, date_new
from surveys.models import Instrument
from surveys.services.instruments import facts_on, require_reach


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
    lifted_with: str = "",
    note: str = "",
    **sealed: float | date | None,
) -> Inspection:
    """Judge the evidence of a step and store it; a failure opens a defect by itself.

    Every piece of evidence that the step asks for is given, and no other; `sealed` are the fields
    of `installs.services.sealing`. Raises `GateClosed`
    while the gate of the step's phase or a hold point before it is closed, `InvalidField` and
    `UnusableInput` for evidence that does not answer the step.
    """
    installation = step.installation = lock_installation(step.installation_id)
    require_in_plan(step)
    if step.phase == PlanStep.Phase.HANDOVER:
        raise InvalidField("/step", _("it is recorded by the handover of the job"))
    state = InstallationState(installation)
    require_gate(state, step.phase)
    require_hold_points(state, step)
    day = reading_day(installation, idempotency_key.recorded_at)
    measured = _measured(step, list(readings), instrument, day)
    _check_checks(step, checks or {}, note)
    _check_acknowledgement(step, acknowledged, note)
    _check_sealant(step, sealant_class)
    check_sealing(step, sealed)
    _check_return(step, return_on, idempotency_key.recorded_at)
    check_lifted_with(step, lifted_with, checks or {})
    if acknowledged:
        require_register(step, note)
    require_square(step, checks or {}, confirmed=bool(acknowledged))
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
        lifted_with=lifted_with,
        note=note,
        **sealed,
    )
    stored = store_inspection(inspection, measured)
    if step.register == "survey_after_removal" and stored.outcome == Inspection.Outcome.PASS:
        plan_for_open_wall(actor=actor, installation=installation)
    return stored


def store_inspection(inspection: Inspection, measured: dict[str, float]) -> Inspection:
    """Judge and store an inspection whose evidence is complete, inside the caller's transaction."""
    step = inspection.step
    rules = step.installation.rule_set.rules
    instrument = inspection.instrument
    judged = judge_step(
        criteria_of(step),
        measured,
        arithmetic_facts(instrument) if instrument else None,
        rules["decision.confidence"],
    )
    inspection.shortfalls = on_record_short_of(step) | sealed_short_of(inspection)
    inspection.outcome = _outcome(inspection, judged)
    date_new(inspection)
    readings = [Reading(inspection=inspection, **asdict(judgement)) for judgement in judged]
    inspection.next_act = next_act(inspection, readings)
    inspection.save(force_insert=True)
    Reading.objects.bulk_create(readings)
    append_new(inspection, actor=inspection.inspector, entry_type=JournalType.STEP_INSPECTED)
    if inspection.outcome == Inspection.Outcome.FAIL:
        _open_defect(inspection, judged)
    return inspection


def criteria_of(step: PlanStep) -> dict[str, Criterion]:
    """The step's criteria as the arithmetic takes them."""
    return {
        name: Criterion(**criterion | {"of": tuple(criterion["of"])})
        for name, criterion in step.in_order(step.criteria).items()
    }


def _measured(
    step: PlanStep, readings: list[PlacedValue], instrument: Instrument | None, day: date
) -> dict[str, float]:
    measured = readings_by_place(criteria_of(step), readings)
    if measured and instrument is None:
        raise InvalidField(
            "/instrument", _("name the instrument that the readings were taken with")
        )
    if instrument and not measured:
        raise InvalidField("/instrument", _("this step takes no readings"))
    if instrument:
        rules = step.installation.rule_set.rules
        require_fit(criteria_of(step), step.instruments, instrument, rules, day)
        require_reach(
            instrument,
            {f"/readings/{n}/value": reading.value for n, reading in enumerate(readings)},
        )
    return measured


def _check_acknowledgement(step: PlanStep, acknowledged: bool | None, note: str) -> None:
    asked = "acknowledgement" in step.evidence
    if asked and acknowledged is None:
        raise InvalidField("/acknowledged", _("say true when it is done and in order, else false"))
    if not asked and acknowledged is not None:
        raise InvalidField("/acknowledged", _("this step is decided by what is read or counted"))
    if acknowledged is False and not note:
        raise InvalidField("/note", _("say what is not in order"))


def _check_checks(step: PlanStep, checks: Mapping[str, bool], note: str) -> None:
    if stray := [name for name in checks if name not in step.checks]:
        known = ", ".join(step.checks) or _("none")
        pointer = pointer_to("checks", stray[0])
        raise InvalidField(
            pointer, _("this step has no such check; it has: {checks}").format(checks=known)
        )
    if missing := [name for name in step.checks if name not in checks]:
        raise InvalidField(
            "/checks", _("still to be checked: {checks}").format(checks=", ".join(missing))
        )
    if not all(checks.values()) and not note:
        raise InvalidField("/note", _("say what is not in order"))


def _check_sealant(step: PlanStep, sealant_class: float | None) -> None:
    """What the joint can follow is known by the class of its sealant alone."""
    if "sealant_class" not in step.asks:
        if sealant_class is not None:
            raise InvalidField("/sealant_class", _("nothing is sealed at this step"))
        return
    rules = step.installation.rule_set.rules
    known = rules["sealant.classes"]
    if sealant_class not in known:
        classes = ", ".join(map(number, known)) + rules.note("sealant.classes")
        raise InvalidField(
            "/sealant_class", _("give the class of the sealant: {classes}").format(classes=classes)
        )


def _check_return(step: PlanStep, return_on: date | None, recorded_at: datetime | None) -> None:
    """Only protective tape is left for later, and only on a day that is named; one that came while
    the phone had no network was named in time."""
    if return_on is None:
        return
    if "return_on" not in step.asks:
        raise InvalidField("/return_on", _("nothing of this step is left for another day"))
    if return_on < timezone.localdate(recorded_at):
        raise InvalidField(
            "/return_on",
            _("{day} is over; name the day to come back on").format(day=write_day(return_on)),
        )


def _outcome(inspection: Inspection, judged: Iterable[Judged]) -> str:
    if inspection.shortfalls or not all(inspection.checks.values()):
        return str(Inspection.Outcome.FAIL)
    if "acknowledgement" in inspection.step.evidence and not inspection.acknowledged:
        return str(Inspection.Outcome.FAIL)
    return overall(judgement.decision for judgement in judged)


def _open_defect(inspection: Inspection, judged: Iterable[Judged]) -> None:
    """The failures of a step are one open defect: a second one is the same defect, still. What
    somebody reported there, or accepted, is another matter, and so is a lesser one."""
    step = inspection.step
    severity = Defect.Severity.CRITICAL if step.critical else Defect.Severity.MAJOR
    of_failures = step.defects.open().filter(inspection__isnull=False, concession=None)
    if of_failures.filter(severity=severity).exists():
        return
    record_defect(
        actor=inspection.inspector,
        idempotency_key=IdempotencyKey(inspection.pk, recorded_at=inspection.recorded_at).derived(
            "defect"
        ),
        installation=step.installation,
        step=step,
        severity=severity,
        description=_failure(inspection, judged),
        inspection=inspection,
    )


def _failure(inspection: Inspection, judged: Iterable[Judged]) -> str:
    """The description of the defect, in English as records are."""
    short = (why for whys in inspection.shortfalls.values() for why in whys)
    failed = [*short, *(_deviation(j) for j in judged if j.decision == "fail")]
    checks = inspection.step.in_order(inspection.step.checks)
    failed += [
        sentence("{check}: no", check=check)
        for name, check in checks.items()
        if not inspection.checks.get(name, True)
    ]
    what = "; ".join(failed) or inspection.note
    return f"{inspection.step.title}: {what}"[:500]


def _deviation(judged: Judged) -> str:
    values = {
        "place": judged.place.replace("_", " "),
        "value": judged.value,
        "unit": judged.unit,
        "lower": judged.lower,
        "upper": judged.upper,
    }
    if judged.lower is None:
        return sentence("{place} {value:g} {unit}; allowed is at most {upper:g}", **values)
    if judged.upper is None:
        return sentence("{place} {value:g} {unit}; allowed is at least {lower:g}", **values)
    return sentence(
        "{place} {value:g} {unit}; allowed is at least {lower:g} and at most {upper:g}", **values
    )
