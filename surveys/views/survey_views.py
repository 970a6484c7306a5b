"""Measuring an opening on the spot: the form beside its drawing, and what was measured before."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from jobs.capabilities import Capability
from jobs.errors import Blocker
from jobs.models import Opening
from jobs.translation import Text
from jobs.views.access import capability_required, person_of
from jobs.views.opening_views import opening_of
from jobs.views.saving import typed
from surveys.gates import removal_gate_of
from surveys.models import Photo, Survey
from surveys.reading_drawing import guide_svg
from surveys.reading_kinds import (
    CHECKS,
    KINDS,
    OFFSETS,
    SIZES,
    SPLAYS,
    STRAIGHTEDGES,
    Kind,
    Size,
)
from surveys.reading_slots import Wanted
from surveys.said_before import facts_that_stay
from surveys.services.surveys import record_survey
from surveys.tool_drawings import square_svg, straightedge_svg
from surveys.views.openings import (
    address_of,
    known_size,
    stages_of_visits,
    stages_open_to,
    surveys_of,
    visits_for,
)
from surveys.views.survey_forms import NominalSize, SurveyForm

STAGE_WORDS: dict[str, Text] = {
    Survey.Stage.FIRST: gettext_lazy("before ordering"),
    Survey.Stage.BEFORE_REMOVAL: gettext_lazy("before the old door comes out"),
    Survey.Stage.AFTER_REMOVAL: gettext_lazy("with the old door out"),
}


@capability_required(Capability.MEASURE)
@require_http_methods(["GET", "POST"])
def survey_page(request: HttpRequest, reference: str, number: int, stage: str = "") -> HttpResponse:
    """`stage`, or `?stage=`, chooses which of the surveys, `?again=` fills in an earlier one,
    `?read=` asks for one reading, `?width=` and `?height=` place the readings of an opening that
    nothing is known of. Under the address of a stage a phone keeps the page for when there is no
    network: the one with the old door out, too, before that door may come out."""
    opening = opening_of(request, reference, number)
    earlier = list(surveys_of(request, opening).prefetch_related("readings"))
    again = _again(request, earlier)
    person = person_of(request)
    stages = stages_open_to(person, opening)
    chosen = _stage(request, stages, again, stage)
    in_the_way: list[Blocker] = []
    if chosen is None and stage in stages_of_visits(person, opening):
        chosen, in_the_way = stage, removal_gate_of(opening)
    context = {
        "opening": opening,
        "earlier": earlier,
        "again": again,
        "stage": chosen,
        "in_the_way": in_the_way,
        "stage_words": STAGE_WORDS.get(chosen or ""),
        "stages": [(name, STAGE_WORDS[name]) for name in stages],
    }
    if chosen is None:
        if request.GET.get("stage") == Survey.Stage.AFTER_REMOVAL:
            context["old_door_stays"] = removal_gate_of(opening)
        return render(request, "surveys/survey_no_visit.html", context)
    nominal = NominalSize(request.GET if "width" in request.GET else None)
    size = nominal.size if nominal.is_valid() else known_size(opening, again or _latest(earlier))
    if size is None:
        return render(request, "surveys/survey_size.html", context | {"form": nominal})
    before = _before(earlier, chosen)
    form = _form(request, opening, chosen, size, again=again, before=before)
    draft = f"survey-{again.pk if again else f'{opening.pk}-{chosen}'}"
    if form.is_valid() and (survey := _record(request, form, opening, chosen)):
        messages.success(request, _("The survey is saved."), extra_tags=draft)
        return redirect(address_of(opening, "survey-result", survey.pk))
    context |= {
        "form": form,
        "draft": draft,
        "before": before,
        "asks": form.asked_with,
        "may_queue": person.has_capability(Capability.ATTEND_VISITS),
        "splay_in_use": form.is_in_use(SPLAYS),
        "check_in_use": form.is_in_use(CHECKS),
        **_drawings(form, size),
    }
    return render(request, "surveys/survey.html", context, status=400 if form.errors else 200)


@capability_required(Capability.READ)
@require_GET
def newest_survey(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    """Leads to what was measured last, and to the form where nothing was: to measure again is an
    act of its own."""
    opening = opening_of(request, reference, number)
    newest = surveys_of(request, opening).first()
    if newest:
        return redirect(address_of(opening, "survey-result", newest.pk))
    return redirect(address_of(opening, "survey-opening"))


def _latest(earlier: list[Survey]) -> Survey | None:
    return earlier[0] if earlier else None


def _again(request: HttpRequest, earlier: list[Survey]) -> Survey | None:
    wanted = request.GET.get("again")
    if not wanted:
        return None
    again = next((survey for survey in earlier if str(survey.pk) == wanted), None)
    if again is None:
        raise Http404
    return again


def _before(earlier: list[Survey], stage: str) -> Survey | None:
    """The newest survey of a stage before this one, whose readings stand beside the fields."""
    order = list(STAGE_WORDS)
    return next((one for one in earlier if order.index(one.stage) < order.index(stage)), None)


def _stage(
    request: HttpRequest, stages: list[str], again: Survey | None, asked_for: str
) -> str | None:
    """The stage asked for, or the one that is due; None where the person has no visit for it."""
    wanted = asked_for or request.GET.get("stage") or (again.stage if again else None)
    if wanted is None:
        return next(iter(stages), None)
    return wanted if wanted in stages else None


def _form(
    request: HttpRequest,
    opening: Opening,
    stage: str,
    size: Size,
    *,
    again: Survey | None,
    before: Survey | None,
) -> SurveyForm:
    person = person_of(request)
    return SurveyForm(
        typed(request),
        person=person,
        visits=visits_for(person, opening, stage),
        size=size,
        photos=Photo.objects.filter(survey__opening=opening).select_related("survey__opening__job"),
        again=again,
        known=facts_that_stay(opening),
        wanted=_wanted(request),
        stage=stage,
        before=before,
    )


def _wanted(request: HttpRequest) -> Wanted | None:
    """The reading that an earlier survey asks for: its kind, and where it goes."""
    read, at = request.GET.get("read", ""), request.GET.get("at", "")
    if read not in KINDS and read != "diagonals.rising":
        return None
    return Wanted(read, float(at) if at.isdecimal() else None)


def _record(request: HttpRequest, form: SurveyForm, opening: Opening, stage: str) -> Survey | None:
    return form.create(
        Survey,
        person_of(request),
        record_survey,
        opening=opening,
        stage=stage,
        **form.record_values,
    )


def _drawings(form: SurveyForm, size: Size) -> dict[str, Any]:
    """Several drawings, since all numbers on one are too many for a phone; and how two tools are
    held."""
    slots = form.drawn_slots()
    parts = {
        "sizes_svg": (
            {*_names(SIZES), "diagonals"},
            _("The opening seen from outside: where sizes and diagonals are read:"),
        ),
        "offsets_svg": (
            _names(OFFSETS),
            _("The opening seen from outside: where levels and plumb are read:"),
        ),
        "walls_svg": (
            _names((*STRAIGHTEDGES, *SPLAYS)),
            _("The opening seen from outside: where straightedge and square are held:"),
        ),
    }
    asked = form.asked
    if asked:
        parts["asked_svg"] = (
            {slot.kind for slot in asked},
            _("The opening seen from outside: where this is read:"),
        )
    drawings = {
        name: guide_svg(size, [slot for slot in slots if slot.kind in kinds], words)
        for name, (kinds, words) in parts.items()
    }
    return drawings | {"straightedge_svg": straightedge_svg(), "square_svg": square_svg()}


def _names(kinds: tuple[Kind, ...]) -> set[str]:
    return {kind.name for kind in kinds}


def survey_of(request: HttpRequest, opening: Opening, pk: Any) -> Survey:
    """404 for a survey that is not of this opening, or not the person's to see."""
    wanted = surveys_of(request, opening).select_related("level_instrument", "visit")
    return get_object_or_404(wanted.prefetch_related("readings"), pk=pk)
