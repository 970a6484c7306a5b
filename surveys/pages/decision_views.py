"""What a survey says: the opening as it agrees best with its readings, the verdict, what to do."""

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from jobs.models import Doorset, Opening, Role
from jobs.pages.access import page_for, person_of
from jobs.pages.forms import RecordForm
from jobs.refusals import InvalidField
from surveys.drawings import FittedOpening, opening_svg
from surveys.models import FitDecision, Survey
from surveys.pages import survey_words as words
from surveys.pages.decision_forms import AcceptForm
from surveys.pages.openings import address_of, current_doorset, opening_of
from surveys.pages.survey_views import DRAFT_DONE, STAGE_WORDS, survey_of
from surveys.services.fit_decisions import Fit, fit_of, record_fit_decision
from surveys.services.surveys import accept_survey


@page_for()
@require_GET
def survey_result(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    opening = opening_of(request, reference, number)
    found = survey_of(request, opening, survey)
    person, rows = person_of(request), words.read_rows(found)
    suspects = words.suspects_in_order(found, rows)
    assessment = found.assessment
    shown = {
        "opening": opening,
        "survey": found,
        "stage_words": STAGE_WORDS[found.stage],
        "rows": rows,
        "suspects": suspects,
        "clear_width": words.expanded(assessment["clear_width"]),
        "clear_height": words.expanded(assessment["clear_height"]),
        "shape": words.shape_in_words(assessment["shape"]),
        "instruments": words.measured_with(found),
        "may_accept": person.acts_as(Role.OFFICE)
        and found.stage == Survey.Stage.FIRST
        and not found.accepted_at
        and found.agrees_with_itself,
        "photos": found.photos.order_by("created_at"),
        "new_id": uuid4(),
        "draft_done": request.session.pop(DRAFT_DONE, ""),
        **_fit(found, current_doorset(opening), suspects),
    }
    return render(request, "surveys/survey_result.html", shown)


def _fit(survey: Survey, doorset: Doorset | None, suspects: list[words.ReadRow]) -> dict[str, Any]:
    """The drawing, and the verdict about the current doorset: as recorded, or as it would be."""
    pointed = [row.slot for row in suspects]
    found: dict[str, Any] = {"doorset": doorset, "decision": None, "no_fit": ""}
    if doorset is None:
        clear = FittedOpening.clear(survey.assessment["outline"])
        return found | {"svg": opening_svg(clear, pointed)}
    try:
        fit = fit_of(survey, doorset)
    except InvalidField as refusal:
        clear = FittedOpening.clear(survey.assessment["outline"])
        return found | {"svg": opening_svg(clear, pointed), "no_fit": refusal.detail}
    frame = fit.inputs["frame"]
    decision: FitDecision | None = survey.fit_decisions.filter(
        doorset=doorset, frame_width=frame["width"], frame_height=frame["height"]
    ).first()
    if decision:
        fit = Fit(decision.inputs, decision.answer)
    return found | {
        "decision": decision,
        "fit": fit,
        "svg": opening_svg(FittedOpening.read(fit.inputs, fit.answer), pointed),
        "warnings": [] if suspects else fit.answer["warnings"],
    }


@page_for(Role.OFFICE)
@require_POST
def accept(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    """The button on the survey's page; it sends the version that was looked at."""
    opening = opening_of(request, reference, number)
    found, form = survey_of(request, opening, survey), AcceptForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: accept_survey(
            actor=person_of(request),
            survey=found,
            expected_version=form.cleaned_data["version"],
        )
    ):
        messages.success(request, "Accepted: what is drafted may be ordered by this survey.")
    return _back(request, opening, found, form)


@page_for()
@require_POST
def decide(request: HttpRequest, reference: str, number: int, survey: UUID) -> HttpResponse:
    """Freeze the verdict about the current doorset; its hidden `id` makes pressing twice
    harmless."""
    opening = opening_of(request, reference, number)
    found, form = survey_of(request, opening, survey), RecordForm(request.POST)
    doorset = current_doorset(opening)
    if doorset is None:
        messages.warning(request, "There is no doorset to decide about; draft one first.")
    elif form.is_valid() and form.create(
        FitDecision, person_of(request), record_fit_decision, survey=found, doorset=doorset
    ):
        messages.success(request, "The decision is recorded.")
    return _back(request, opening, found, form)


def _back(request: HttpRequest, opening: Opening, survey: Survey, form: RecordForm) -> HttpResponse:
    for errors in form.errors.values():
        for error in errors:
            messages.warning(request, str(error), extra_tags="warning")
    return redirect(address_of(opening, "survey-result", survey.pk))
