"""Recording what was measured at an opening, and accepting it."""

from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.arithmetic.errors import UnusableInput
from jobs.code_labels import code_label
from jobs.errors import Conflict, GateClosed, InvalidField, named
from jobs.figures import number
from jobs.frozen import extended
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Opening, Person, Visit
from jobs.rules import Rules
from jobs.services.diary import begin_visit, tolerance_of
from jobs.services.journal import append_new, date_new
from jobs.services.records import store_change
from surveys.arithmetic.findings import condition_findings
from surveys.arithmetic.head_findings import allowance_findings
from surveys.arithmetic.threshold_findings import RECORDED, threshold_findings
from surveys.frozen import SurveyAssessment
from surveys.gates import removal_gate_of
from surveys.models import Instrument, Reading, Survey
from surveys.services.clearing import check_clearance
from surveys.services.fit_rules import (
    clearance_wanted,
    finding_limits,
    lintel_limit,
    measurement_of,
    opening_width,
    read_opening,
    surfaces_of,
    threshold_limits,
)
from surveys.services.readings import reading_rows, refuse_repeated_places
from surveys.services.survey_instruments import check_instruments, measured_with
from surveys.suspects import suspects_of

VISIT_OF_STAGE = {
    Survey.Stage.FIRST: Visit.Kind.SURVEY,
    Survey.Stage.BEFORE_REMOVAL: Visit.Kind.FITTING,
    Survey.Stage.AFTER_REMOVAL: Visit.Kind.FITTING,
}
# Clocks of phones differ a little; one that is further ahead is wrong.
CLOCK_DIFFERENCE = timedelta(minutes=5)

# Of the frame, as long as none is chosen: a doorset's own counts when its fit is decided.
USUAL_MATERIAL = "aluminium"


@transaction.atomic
def record_survey(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    opening: Opening,
    visit: Visit,
    stage: str,
    instrument: Instrument,
    readings: dict[str, Any],
    conditions: dict[str, Any],
    taken_at: datetime | None = None,
    surfaces: dict[str, str] | None = None,
    **other_instruments: Instrument | None,
) -> Survey:
    """Store one set of readings with what it says about its opening.

    Where no `taken_at` is given it was taken when its phone says, or now.
    `readings` are those of `opening-fit`, mm; `other_instruments` by the name of their field. A set
    that contradicts itself is stored too, with its suspects: it was taken, and it says what to read
    again. Raises `InvalidField` for what
    cannot have been measured like this, and `GateClosed` for a survey with the old door out while
    that door may not come out yet.
    """
    # As it is now, and stays: somebody may be moving or cancelling it.
    visit = Visit.objects.select_for_update(of=("self",), no_key=True).get(pk=visit.pk)
    _check_visit(visit, stage, opening)
    if stage == Survey.Stage.AFTER_REMOVAL and (blockers := removal_gate_of(opening)):
        raise GateClosed("removal", blockers)
    check_clearance(conditions, actor=actor, opening=opening, rules=opening.job.rule_set.rules)
    refuse_repeated_places(readings)
    taken_at = taken_at or _recorded_at(idempotency_key)
    _check_moment(taken_at, visit, opening.job.rule_set.rules)
    begin_visit(actor=actor, visit=visit, at=min(taken_at, timezone.now()))
    survey = Survey(
        id=idempotency_key.id,
        creation_digest=idempotency_key.digest,
        opening=opening,
        visit=visit,
        surveyor=actor,
        stage=stage,
        taken_at=taken_at,
        instrument=instrument,
        conditions=conditions,
        surfaces=surfaces or {},
        higher_end=readings.get("higher_end", {}),
        **other_instruments,
    )
    check_instruments(survey, readings)
    survey.assessment = _assess(survey, readings, opening.job.rule_set.rules)
    date_new(survey)
    survey.save(force_insert=True)
    Reading.objects.bulk_create(reading_rows(survey, readings))
    append_new(survey, actor=actor, entry_type=JournalType.SURVEY_RECORDED)
    return survey


@transaction.atomic
def accept_survey(*, actor: Person, survey: Survey, expected_version: int) -> Survey:
    """Accept a first survey as what may be ordered by.

    Raises `Conflict` for a set that contradicts itself, and for one that needs no acceptance.
    """
    if survey.stage != Survey.Stage.FIRST:
        raise Conflict(_("only a first survey is accepted; this one counts as it was taken"))
    if survey.accepted_at:
        raise Conflict(_("the survey is accepted already"), named(survey))
    if not survey.agrees_with_itself:
        raise Conflict(
            _("the readings contradict each other; read again: {readings}").format(
                readings="; ".join(suspects_of(survey))
            ),
            named(survey),
        )
    return store_change(
        survey,
        {"accepted_at": timezone.now()},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.SURVEY_ACCEPTED,
    )


def _check_visit(visit: Visit, stage: str, opening: Opening) -> None:
    wanted = VISIT_OF_STAGE[Survey.Stage(stage)]
    if visit.kind != wanted:
        raise InvalidField(
            "/visit",
            _("a survey of the stage “{stage}” needs a visit of the kind “{kind}”").format(
                stage=code_label(stage), kind=code_label(wanted)
            ),
        )
    if visit.cancelled_at:
        raise InvalidField("/visit", _("this visit was cancelled"))
    if opening.job_id != visit.job_id:
        raise InvalidField("/opening", _("this opening belongs to another job than the visit"))


def _recorded_at(idempotency_key: IdempotencyKey) -> datetime:
    """A clock that is right enough for the queue may be some minutes ahead."""
    now = timezone.now()
    return min(idempotency_key.recorded_at or now, now)


def _check_moment(taken_at: datetime, visit: Visit, rules: Rules) -> None:
    """An instrument whose calibration ran out would be good again, and a wall as it was, if a
    survey could be dated as anybody likes."""
    moment = taken_at.isoformat()
    if taken_at > timezone.now() + CLOCK_DIFFERENCE:
        raise InvalidField("/taken_at", _("{moment} is in the future").format(moment=moment))
    if taken_at < visit.created_at - CLOCK_DIFFERENCE:
        message = _("{moment} is before the visit was booked")
        raise InvalidField("/taken_at", message.format(moment=moment))
    tolerance, end = tolerance_of(rules), visit.ended_at or visit.end
    if not visit.start - tolerance <= taken_at <= end + tolerance:
        message = _(
            "{moment} is not within {minutes} minutes of the visit, {start} to {end}{note}; have "
            "the visit moved, or give another"
        )
        detail = message.format(
            moment=moment,
            minutes=number(tolerance / timedelta(minutes=1)),
            start=visit.start.isoformat(timespec="minutes"),
            end=end.isoformat(timespec="minutes"),
            note=rules.note("visit.tolerance"),
        )
        raise InvalidField("/taken_at", detail)


def _assess(survey: Survey, readings: dict[str, Any], rules: Rules) -> SurveyAssessment:
    """What the readings say of the opening, frozen with the instruments as they were."""
    # Loaded here: most processes never assess one, and numpy is slow to load.
    from surveys.arithmetic.opening_fit import assess_opening  # noqa: PLC0415

    used = measured_with(survey)
    clearance = clearance_wanted(rules, opening_width(readings), survey.conditions, USUAL_MATERIAL)
    try:
        assessment = assess_opening(
            measurement_of(
                read_opening(readings),
                *used.accuracies,
                rules,
                surfaces=surfaces_of(survey.surfaces, survey.conditions),
                check=used.check_accuracy,
            ),
            clearance,
            rules["decision.confidence"],
        )
    except UnusableInput as error:
        pointer = error.pointer.replace("/opening/", "/readings/", 1)
        raise InvalidField(pointer, error.detail) from error
    findings = condition_findings(survey.conditions, finding_limits(rules))
    if "lintel_span" in survey.conditions:
        findings += allowance_findings(survey.conditions, lintel_limit(rules))
    if survey.conditions.keys() & set(RECORDED):
        findings += threshold_findings(survey.conditions, threshold_limits(rules))
    return extended(
        SurveyAssessment,
        assessment,
        **rules.signature(),
        measured_with=used,
        findings=findings,
    )
