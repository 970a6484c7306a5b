"""Deciding whether a doorset's frame fits its opening."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from jobs.frozen import extended
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Doorset, Person
from jobs.rules import Rules
from jobs.services.records import store_new
from surveys.arithmetic.answers import FitAnswer, WholeSize
from surveys.arithmetic.edge_findings import edge_findings
from surveys.arithmetic.findings import Finding, ordered_ventilation_findings, way_in_findings
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.head_findings import head_joint_findings, lintel_joint_findings
from surveys.arithmetic.sweep_findings import sweep_findings
from surveys.arithmetic.way_in import Plate
from surveys.frozen import DecidedFit, FitInputs
from surveys.gates import survey_before_removal
from surveys.models import FitDecision, Survey
from surveys.services.fit_rules import (
    clearance_wanted,
    edge_limits,
    fit_request,
    greatest_joint,
    lintel_limit,
    opening_width,
    read_opening,
    surfaces_of,
)
from surveys.services.leaf_space import leaf_space, stack_limit
from surveys.services.readings import readings_json
from surveys.services.way_in import frame_depth, read_way_in, survey_of_way_in, way_rules


@transaction.atomic
def record_fit_decision(
    *, actor: Person, idempotency_key: IdempotencyKey, survey: Survey, doorset: Doorset
) -> FitDecision:
    """Decide under the job's rule set, and freeze the answer with all its inputs.

    From a first survey the frame is decided as it is to be ordered, from later ones as it was
    delivered. Raises `InvalidField` for a doorset that is not this opening's current one, or
    that has not arrived.
    """
    fit = fit_of(survey, doorset)
    decision = FitDecision(
        **idempotency_key.columns,
        survey=survey,
        doorset=doorset,
        rule_set=survey.job.rule_set,
        frame_width=fit.inputs.frame.width,
        frame_height=fit.inputs.frame.height,
        inputs=fit.inputs,
        answer=fit.answer,
        verdict=fit.answer.verdict,
        probability_fits=fit.answer.probability_fits,
    )
    return store_new(decision, actor=actor, entry_type=JournalType.FIT_DECIDED)


def decide_before_removal(
    *, actor: Person, idempotency_key: IdempotencyKey, doorset: Doorset
) -> FitDecision | None:
    """Decide by the newest survey before removal, where it says something and nobody has yet: who
    measured without a network had no verdict to record."""
    survey = survey_before_removal(doorset.opening)
    if survey is None or not survey.agrees_with_itself or doorset.deliveries.first() is None:
        return None
    if survey.fit_decisions.filter(doorset=doorset).exists():
        return None
    return record_fit_decision(
        actor=actor, idempotency_key=idempotency_key, survey=survey, doorset=doorset
    )


@dataclass(frozen=True, slots=True)
class Fit:
    """The complete `opening-fit` request of a survey and a doorset, and its answer."""

    inputs: FitInputs
    answer: DecidedFit


def fit_of(survey: Survey, doorset: Doorset) -> Fit:
    """What would be decided now; stores nothing. Raises like `record_fit_decision`."""
    _check_doorset(doorset, survey)
    rules = survey.job.rule_set.rules
    inputs = fit_inputs(survey, _frame(doorset, survey), rules, doorset.profile_system.material)
    answer = answer_fit(fit_request(inputs, rules))
    findings = _head(survey, answer.joints["head"].min, rules)
    findings += _edges(doorset, survey.conditions, rules)
    findings += _leaves(doorset, survey.conditions, rules)
    findings += _way_in(doorset, inputs.frame, rules)
    findings += ordered_ventilation_findings(survey.conditions, doorset.ventilator)
    return Fit(inputs, extended(DecidedFit, answer, **rules.signature(), findings=findings))


def _head(survey: Survey, least_joint: float, rules: Rules) -> tuple[Finding, ...]:
    findings = head_joint_findings(survey.conditions, least_joint)
    if "lintel_span" in survey.conditions:
        findings += lintel_joint_findings(survey.conditions, least_joint, lintel_limit(rules))
    return findings


def _edges(doorset: Doorset, conditions: Mapping[str, Any], rules: Rules) -> tuple[Finding, ...]:
    """Whether fixings keep off the edges of the reveal, where a survey placed the frame."""
    if "frame_position" not in conditions:
        return ()
    return edge_findings(conditions, frame_depth(doorset, rules), edge_limits(rules))


def _leaves(doorset: Doorset, conditions: Mapping[str, Any], rules: Rules) -> tuple[Finding, ...]:
    """Where the leaves stand and what they sweep, where a survey said what stands there."""
    if not conditions.keys() & {"stack_room", "obstructions", "obstruction_places"}:
        return ()
    return sweep_findings(conditions, leaf_space(doorset, conditions, rules), stack_limit(rules))


def _way_in(doorset: Doorset, frame: WholeSize, rules: Rules) -> tuple[Finding, ...]:
    """By the newest survey that measured the way in, whichever that was."""
    survey = survey_of_way_in(doorset.opening)
    if survey is None:
        return ()
    way_in = read_way_in(survey.conditions["way_in"])
    plate = Plate(frame.width, frame.height, frame_depth(doorset, rules))
    return way_in_findings(plate, way_in, way_rules(rules))


def answer_fit(request: FitRequest) -> FitAnswer:
    """The answer of `opening-fit` to a complete request. Raises `UnusableInput`."""
    # Loaded here: most processes never decide a fit, and numpy is slow to load.
    from surveys.arithmetic.opening_fit import decide_fit  # noqa: PLC0415

    return decide_fit(request)


def fit_inputs(survey: Survey, frame: WholeSize, rules: Rules, material: str) -> FitInputs:
    """The complete `opening-fit` request of a survey and a frame, which gives the answer again."""
    readings = readings_json(survey)
    width = opening_width(readings)
    instrument, level_instrument = survey.assessment.measured_with.accuracies
    return FitInputs(
        opening=read_opening(readings),
        instrument=instrument,
        level_instrument=level_instrument,
        frame=frame,
        clearance=clearance_wanted(rules, width, survey.conditions, material),
        maximum_joint=greatest_joint(rules, width, survey.conditions),
        confidence=rules["decision.confidence"],
        rule_set=rules.name,
        surfaces=surfaces_of(survey.surfaces, survey.conditions),
        check_instrument=survey.assessment.measured_with.check_accuracy,
    )


def _check_doorset(doorset: Doorset, survey: Survey) -> None:
    if doorset.opening_id != survey.opening_id:
        raise InvalidField("/doorset", _("this doorset is for another opening than was surveyed"))
    if doorset.superseded_at:
        raise InvalidField("/doorset", _("a revision took this doorset's place; decide about that"))


def _frame(doorset: Doorset, survey: Survey) -> WholeSize:
    if survey.stage == Survey.Stage.FIRST:
        return WholeSize(doorset.frame_width, doorset.frame_height)
    delivery = doorset.deliveries.first()
    if delivery is None:
        raise InvalidField(
            "/doorset",
            _("once ordered, the delivered frame is decided about; record its delivery first"),
        )
    return WholeSize(delivery.frame_width, delivery.frame_height)
