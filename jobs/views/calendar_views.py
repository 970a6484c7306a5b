"""The calendar of a crew: its secret address on a page of the office, and what stands there."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs.calendar_feed import DAYS_LOOKED_BACK, crew_calendar
from jobs.capabilities import Capability
from jobs.crew_calendars import calendar_address, crew_of
from jobs.errors import DomainError
from jobs.files import guard
from jobs.models import Crew
from jobs.services import crew_calendars as services
from jobs.views.access import capability_required, person_of
from jobs.views.forms import ChangeableForm
from jobs.views.qr import square_svg
from jobs.views.rate_limit import seconds_to_wait
from jobs.views.saving import Crumb, typed

# Of `DEFAULT_THROTTLE_RATES`: counted with every other guess at what nobody signs in for.
SCOPE = "verification"


@require_safe
def calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The visits of the crew whose secret this is, for whatever program has its address."""
    if seconds := seconds_to_wait(request, SCOPE):
        told = f"Too many requests. Ask again in {seconds} seconds."
        answer = HttpResponse(told, status=429, content_type="text/plain")
        answer["Retry-After"] = str(seconds)
        return answer
    crew = crew_of(secret)
    if crew is None:
        raise Http404
    answer = HttpResponse(crew_calendar(crew), content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="visits.ics"'
    answer["X-Robots-Tag"] = "noindex, nofollow"
    guard(answer)
    return answer


@never_cache
@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def calendar_page(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A new address with each press, shown in the answer: it is kept nowhere."""
    crew = _crew(request, pk)
    form = ChangeableForm(typed(request), initial={"version": crew.version})
    if not form.is_valid():
        return _show(request, crew, form)
    try:
        given = services.give_out_calendar(
            actor=person_of(request), crew=crew, expected_version=form.expected_version
        )
    except DomainError as refusal:
        form.refuse(refusal)
        return _show(request, crew, form)
    fresh = ChangeableForm(initial={"version": given.crew.version})
    return _show(request, given.crew, fresh, address=calendar_address(given.secret))


@capability_required(Capability.BOOK)
@require_POST
def end_calendar(request: HttpRequest, pk: UUID) -> HttpResponse:
    crew = _crew(request, pk)
    form = ChangeableForm(request.POST)
    if form.is_valid() and form.attempt(
        lambda: services.end_calendar(
            actor=person_of(request), crew=crew, expected_version=form.expected_version
        )
    ):
        messages.success(request, f"The calendar of {crew.name} has no address any more.")
        return redirect("crew-list")
    return _show(request, crew, form)


def _crew(request: HttpRequest, pk: UUID) -> Crew:
    return get_object_or_404(Crew.objects.visible_to(person_of(request)), pk=pk)


def _show(
    request: HttpRequest, crew: Crew, form: ChangeableForm, *, address: str = ""
) -> HttpResponse:
    shown = {
        "crew": crew,
        "form": form,
        "crumbs": [Crumb("Crews", reverse("crew-list"))],
        "days_back": DAYS_LOOKED_BACK,
    }
    if address:
        shown |= {"address": address, "svg": square_svg(address, "The address, for a camera")}
    return render(request, "jobs/crew_calendar.html", shown, status=400 if form.errors else 200)
