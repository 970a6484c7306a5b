"""What papers record of surveys, and of the fit decisions made from them."""

from collections.abc import Iterator
from typing import Any, cast

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
from surveys.arithmetic.answers import WholeSize
from surveys.arithmetic.readings import GREATEST_NORMALISED_RESIDUAL
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty
from surveys.frozen import InstrumentThen
from surveys.models import FitDecision, Survey
from surveys.services.readings import readings_json

# Where the readings of a survey lie, by the name that the adjustment gives them.
LISTS = ("widths", "heights", "sill_levels", "head_levels")
SIZES = ("widths", "heights", "diagonals")


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
    )


def _standing(decision: FitDecision) -> DrawnFit:
    """Where the frame is placed in the opening."""
    return DrawnFit(part_of(DrawnInputs, decision.inputs), part_of(DrawnAnswer, decision.answer))


def _readings(survey: Survey) -> Iterator[SurveyReading]:
    """Every reading with its uncertainty, and how far it is from the adjusted opening, mm."""
    used = survey.assessment.measured_with
    residuals = survey.assessment.adjustment.residuals
    by_reading = {residual.reading: residual for residual in residuals}
    for name, at, value in _placed(readings_json(survey)):
        size = name.startswith(SIZES)
        # Levels are read with a level instrument alone.
        instrument = used.instrument if size else cast(InstrumentThen, used.level_instrument)
        normalised = by_reading[name].normalised
        within = abs(normalised) <= GREATEST_NORMALISED_RESIDUAL
        yield SurveyReading(
            reading=name,
            at=at,
            value=value,
            serial=instrument.serial,
            standard_uncertainty=standard_uncertainty(
                Instrument(**instrument.accuracy), value if size else 0.0
            ),
            residual=by_reading[name].residual,
            normalised_residual=normalised,
            limit=GREATEST_NORMALISED_RESIDUAL,
            verdict="pass" if within else "fail",
        )


def _placed(opening: dict[str, Any]) -> Iterator[tuple[str, float | None, float]]:
    """Name, place and value of each reading, named as the adjustment names them."""
    sides = {f"plumb.{side}": placed for side, placed in opening["plumb"].items()}
    for name, placed in {**{n: opening[n] for n in LISTS}, **sides}.items():
        for index, reading in enumerate(placed):
            yield f"{name}.{index}", reading["at"], reading["value"]
    for name, value in opening["diagonals"].items():
        yield f"diagonals.{name}", None, value
