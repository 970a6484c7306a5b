"""What papers record of surveys, and of the fit decisions made from them."""

from collections.abc import Iterator

from jobs.frozen import part_of
from jobs.models import Doorset
from reports.papers.frozen.survey import (
    AdjustmentFacts,
    DrawnAnswer,
    DrawnFit,
    DrawnInputs,
    FindingFacts,
    FitFacts,
    SurveyFacts,
    SurveyReading,
)
from reports.papers.plain import instant, instrument_facts
from surveys.arithmetic.answers import Residual, WholeSize
from surveys.arithmetic.readings import GREATEST_NORMALISED_RESIDUAL
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty
from surveys.frozen import InstrumentThen, MeasuredWith
from surveys.models import FitDecision, Survey
from surveys.reading_slots import Slot, slots_of
from surveys.services.readings import read_size, readings_json

# Where the readings of a survey lie, by the name that the adjustment gives them.
LISTS = ("widths", "heights", "sill_levels", "head_levels")
SIZES = ("widths", "heights", "diagonals", "checks")


def survey_records(doorset: Doorset) -> tuple[SurveyFacts, ...]:
    """The newest fit decision of each survey that counted: accepted, or made on a visit to fit."""
    decisions = (
        doorset.fit_decisions.select_related("survey__surveyor")
        .exclude(survey__stage="first", survey__accepted_at=None)
        .order_by("survey__taken_at", "created_at", "id")
    )
    newest = {decision.survey_id: decision for decision in decisions}
    return tuple(survey_record(decision.survey, decision) for decision in newest.values())


def survey_record(survey: Survey, decision: FitDecision | None) -> SurveyFacts:
    """A survey with every reading; without a decision `fit` and `standing` are None."""
    assessment = survey.assessment
    used = assessment.measured_with.all()
    findings = (*assessment.findings, *(decision.answer.findings if decision else ()))
    return SurveyFacts(
        stage=survey.stage,
        taken_at=instant(survey.taken_at),
        surveyor=survey.surveyor.display_name,
        instruments=tuple(map(instrument_facts, used)),
        consistent=not assessment.suspect_readings,
        adjustment=part_of(AdjustmentFacts, assessment.adjustment),
        readings=tuple(_readings(survey)),
        findings=tuple(part_of(FindingFacts, finding) for finding in findings),
        fit=_fit(decision) if decision else None,
        standing=_standing(decision) if decision else None,
    )


def _fit(decision: FitDecision) -> FitFacts:
    answer = decision.answer
    return FitFacts(
        verdict=answer.verdict,
        frame=WholeSize(decision.frame_width, decision.frame_height),
        probability_fits=decision.probability_fits,
        confidence=decision.inputs.confidence,
        clear_width=answer.clear_width,
        clear_height=answer.clear_height,
        joints=answer.joints,
        method=answer.method,
        walls=answer.walls,
    )


def _standing(decision: FitDecision) -> DrawnFit:
    """Where the frame is placed in the opening."""
    return DrawnFit(part_of(DrawnInputs, decision.inputs), part_of(DrawnAnswer, decision.answer))


def _readings(survey: Survey) -> Iterator[SurveyReading]:
    """Every reading with its uncertainty, and how far it is from the adjusted opening, mm."""
    residuals = survey.assessment.adjustment.residuals
    by_reading = {residual.reading: residual for residual in residuals}
    slots = slots_of(read_size(survey), readings_json(survey))
    taken = [(slot, slot.value) for slot in slots if slot.value is not None]
    # As they are stored: sizes, levels and plumb readings, then both diagonals, then the rest.
    for slot, value in sorted(taken, key=lambda one: _order(one[0])):
        instrument = _instrument(slot, survey.assessment.measured_with)
        yield _reading(slot, value, instrument, by_reading.get(slot.name))


def _reading(
    slot: Slot, value: float, instrument: InstrumentThen, residual: Residual | None
) -> SurveyReading:
    size = slot.name.startswith(SIZES)
    at, limit = slot.at, GREATEST_NORMALISED_RESIDUAL
    if residual is None:
        return SurveyReading(slot.name, at, value, instrument.serial, *(None,) * 5)
    within = abs(residual.normalised) <= limit
    accuracy = Instrument(**instrument.accuracy)
    return SurveyReading(
        reading=slot.name,
        at=at,
        value=value,
        serial=instrument.serial,
        standard_uncertainty=standard_uncertainty(accuracy, value if size else 0.0),
        residual=residual.residual,
        normalised_residual=residual.normalised,
        limit=limit,
        verdict="pass" if within else "fail",
    )


def _order(slot: Slot) -> int:
    placed = (*LISTS, "plumb")
    return 0 if slot.name.startswith(placed) else 1 if slot.kind == "diagonals" else 2


def _instrument(slot: Slot, used: MeasuredWith) -> InstrumentThen:
    """What a reading was taken with; the instrument of the sizes where there was no other."""
    if slot.name.startswith(("checks.widths", "checks.heights")):
        other = used.check_instrument
    elif slot.name.startswith(("straightedge", "splay")):
        other = used.gap_instrument
    else:
        other = None if slot.name.startswith(SIZES) else used.level_instrument
    return other or used.instrument
