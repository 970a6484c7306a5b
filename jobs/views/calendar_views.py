"""The calendar of a crew: its secret address on a page of the office, and its content."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
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
from jobs.views.qr import qr_code_svg
from jobs.views.rate_limit import seconds_to_wait
from jobs.views.saving import Crumb, typed

# Of `DEFAULT_THROTTLE_RATES`: counted with every other guess at what nobody signs in for.
SCOPE = "verification"


@require_safe
def calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The visits of the crew whose secret this is, for whatever program has its address."""
    if seconds := seconds_to_wait(request, SCOPE):
        text = _("Too many requests. Try again in {seconds} seconds.").format(seconds=seconds)
        answer = HttpResponse(text, status=429, content_type="text/plain")
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
    """A new address each time, in the answer alone: it is not stored."""
    crew = _crew(request, pk)
    form = ChangeableForm(typed(request), initial={"version": crew.version})
    if not form.is_valid():
        return _show(request, crew, form)
    try:
        issued = services.give_out_calendar(
            actor=person_of(request), crew=crew, expected_version=form.expected_version
        )
    except DomainError as refusal:
        form.refuse(refusal)
        return _show(request, crew, form)
    fresh = ChangeableForm(initial={"version": issued.crew.version})
    return _show(request, issued.crew, fresh, address=calendar_address(issued.secret))


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
        text = _("The calendar of {crew} no longer has an address.").format(crew=crew.name)
        messages.success(request, text)
        return redirect("crew-list")
    return _show(request, crew, form)


def _crew(request: HttpRequest, pk: UUID) -> Crew:
    return get_object_or_404(Crew.objects.visible_to(person_of(request)), pk=pk)


def _show(
    request: HttpRequest, crew: Crew, form: ChangeableForm, *, address: str = ""
) -> HttpResponse:
    context = {
        "crew": crew,
        "form": form,
        "crumbs": [Crumb(_("Crews"), reverse("crew-list"))],
        "days_back": DAYS_LOOKED_BACK,
    }
    if address:
        svg = qr_code_svg(address, _("The address as a QR code"))
        context |= {"address": address, "svg": svg}
    return render(request, "jobs/crew_calendar.html", context, status=400 if form.errors else 200)
