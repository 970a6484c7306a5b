"""What a survey says: the opening as it agrees best with its readings, the verdict, what to do."""

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from jobs.capabilities import Capability
from jobs.errors import InvalidField
from jobs.models import Doorset, Opening, Person
from jobs.translation import translated
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm, RecordForm
from jobs.views.opening_views import opening_of
from surveys import labels as words
from surveys.drawings import FittedOpening, opening_svg
from surveys.frozen import DecidedFit, SurveyAssessment
from surveys.models import FitDecision, Survey
from surveys.next_readings import acts
from surveys.plan_drawing import plan_svg
from surveys.reading_drawing import guide_svg
from surveys.services.fit_decisions import Fit, fit_of, record_fit_decision
from surveys.services.leaf_space import drawn_plan
from surveys.services.readings import read_size
from surveys.services.surveys import accept_survey
from surveys.views.openings import address_of, current_doorset
from surveys.views.survey_views import STAGE_WORDS, survey_of
from surveys.wall_words import method_label, wall_labels


@capability_required(Capability.READ)
@require_GET
def survey_result(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    opening = opening_of(request, reference, number)
    measured = survey_of(request, opening, survey)
    person, rows = person_of(request), words.read_rows(measured)
    doorset = current_doorset(opening)
    context: dict[str, Any] = {
        "opening": opening,
        "survey": measured,
        "stage_words": STAGE_WORDS[measured.stage],
        "rows": rows,
        "instruments": measured.assessment.measured_with.all(),
        "photos": measured.photos.order_by("created_at"),
        "again": f"{address_of(opening, 'survey-opening')}?again={measured.pk}",
        "may_accept": _may_accept(person, measured),
        "new_id": uuid4(),
    }
    if measured.agrees_with_itself:
        context |= _clear(measured) | _fit(measured, doorset)
    else:
        context |= _contradiction(measured, rows)
    context |= _by_method(measured, context.get("fit"))
    return render(request, "surveys/survey_result.html", context)


def _by_method(survey: Survey, fit: Fit | None) -> dict[str, Any]:
    """What the newest answer asks for, makes of the walls, and how it was worked out."""
    answer: DecidedFit | SurveyAssessment = fit.answer if fit else survey.assessment
    return {
        "acts": acts(survey, answer.read_next),
        "walls": wall_labels(answer.walls),
        "method": method_label(answer.method),
    }


def _may_accept(person: Person, survey: Survey) -> bool:
    awaits = survey.stage == Survey.Stage.FIRST and not survey.accepted_at
    return awaits and survey.agrees_with_itself and person.has_capability(Capability.ORDER)


def _contradiction(survey: Survey, rows: list[words.ReadRow]) -> dict[str, Any]:
    """Readings that contradict each other have no adjusted opening worth drawing: the drawing
    shows what was read where, and which of it is doubted."""
    suspects = words.suspects_in_order(survey, rows)
    names = [row.slot.name for row in suspects]
    title = _("The opening seen from outside, with the readings that are doubted:")
    svg = guide_svg(read_size(survey), [row.slot for row in rows], title, names)
    return {"suspects": suspects, "svg": svg}


def _clear(survey: Survey) -> dict[str, Any]:
    assessment = survey.assessment
    return {
        "clear_width": words.expanded(assessment.clear_width),
        "clear_height": words.expanded(assessment.clear_height),
        "shape": words.shape_labels(assessment.shape),
    }


def _fit(survey: Survey, doorset: Doorset | None) -> dict[str, Any]:
    """The verdict about the current doorset, as recorded or as it would be, with its drawing."""
    clear = opening_svg(FittedOpening.clear(survey.assessment.outline))
    if doorset is None:
        return {"svg": clear}
    try:
        fit = fit_of(survey, doorset)
    except InvalidField as refusal:
        return {"svg": clear, "no_fit": translated(refusal.detail)}
    frame = fit.inputs.frame
    decision = survey.fit_decisions.filter(
        doorset=doorset, frame_width=frame.width, frame_height=frame.height
    ).first()
    if decision:
        fit = Fit(decision.inputs, decision.answer)
    plan = drawn_plan(doorset, survey.conditions, survey.job.rule_set.rules)
    return {
        "decision": decision,
        "fit": fit,
        "svg": opening_svg(FittedOpening.read(fit.inputs, fit.answer, fit.answer.critical_places)),
        "plan": plan_svg(plan),
    }


@capability_required(Capability.ORDER)
@require_POST
def accept(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    """The button on the survey's page; it sends the version that was looked at."""
    opening = opening_of(request, reference, number)
    measured, form = survey_of(request, opening, survey), ChangeableForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: accept_survey(
            actor=person_of(request),
            survey=measured,
            expected_version=form.expected_version,
        )
    ):
        messages.success(request, _("The survey is accepted: the draft may be ordered by it."))
    return _back(request, opening, measured, form)


@capability_required(Capability.MEASURE)
@require_POST
def decide(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    """Freeze the verdict about the current doorset; its hidden `id` makes pressing twice
    harmless."""
    opening = opening_of(request, reference, number)
    measured, form = survey_of(request, opening, survey), RecordForm(request.POST)
    doorset = current_doorset(opening)
    if doorset is None:
        messages.warning(request, _("There is no doorset to decide about; draft one first."))
    elif form.is_valid() and form.create(
        FitDecision, person_of(request), record_fit_decision, survey=measured, doorset=doorset
    ):
        messages.success(request, _("The decision is recorded."))
    return _back(request, opening, measured, form)


def _back(request: HttpRequest, opening: Opening, survey: Survey, form: RecordForm) -> HttpResponse:
    for errors in form.errors.values():
        for error in errors:
            messages.warning(request, str(error))
    return redirect(address_of(opening, "survey-result", survey.pk))
