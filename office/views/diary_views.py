"""Where somebody begins, and the diary of the office."""

from django import forms
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET

from jobs.capabilities import Capability
from jobs.crew_needs import crew_warnings
from jobs.models import Person, Visit
from jobs.views.access import capability_required, person_of, sign_in_required
from office.readiness import missing_for
from office.views.days import DayField
from office.views.diary_week import Known, Week, this_week


class WeekForm(forms.Form):
    """The day that a week begins on."""

    begins = DayField(label=_("Week from"))

    def add_prefix(self, field_name: str) -> str:
        """`from` is a word of Python, and the name of it in the address."""
        return "from"


@sign_in_required
@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """The office begins with its diary, everybody else with their own day."""
    person = person_of(request)
    if person.has_capability(Capability.BOOK):
        return redirect("diary")
    return redirect("today" if person.has_capability(Capability.ATTEND_VISITS) else "job-list")


@capability_required(Capability.BOOK)
@require_GET
def diary(request: HttpRequest) -> HttpResponse:
    """Visits of a week, from `?from=` or the Monday before today, and what each still lacks."""
    asked = WeekForm(request.GET if "from" in request.GET else None)
    week = Week(asked.cleaned_data["begins"]) if asked.is_valid() else this_week()
    visits = list(_visits(person_of(request), week))
    context = {
        "week": week,
        "days": week.days(visits, Known(missing_for(visits), crew_warnings(visits))),
        "visits": visits,
        "asked": asked,
    }
    return render(request, "office/diary.html", context, status=400 if asked.errors else 200)


def _visits(person: Person, week: Week) -> QuerySet[Visit]:
    within = (
        Visit.objects.visible_to(person)
        .not_cancelled()
        .filter(start__lt=week.end, end__gt=week.begin)
    )
    related = ("crew", "job__customer", "job__site", "job__rule_set")
    order = ("crew__name", "start", "id")
    return within.select_related(*related).prefetch_related("people").order_by(*order)
