"""The firm's instruments: which may be used, which not any more, and new ones."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of
from jobs.views.saving import typed
from surveys.models import Instrument
from surveys.services.instruments import add_instrument, change_instrument
from surveys.views.instrument_forms import KINDS, CalibrationForm, InstrumentForm

# Days before a calibration runs out from which the list says so.
NOTICE_DAYS = 30


@capability_required(Capability.READ)
@require_GET
def instrument_list(request: HttpRequest) -> HttpResponse:
    """In the order in which their calibrations run out."""
    known = Instrument.objects.visible_to(person_of(request)).order_by("calibration_due", "name")
    context = {
        "instruments": [_state_of(instrument) for instrument in known],
        "may_add": person_of(request).has_capability(Capability.MANAGE_CATALOGUE),
    }
    return render(request, "surveys/survey_instruments.html", context)


def _state_of(instrument: Instrument) -> dict[str, Any]:
    days = (instrument.calibration_due - timezone.localdate()).days
    state, words = "open", _("in calibration")
    if days < 0:
        state, words = "closed", _("out of calibration: not to be used")
    elif days < NOTICE_DAYS:
        state = "attention"
        words = ngettext(
            "in calibration for {days} more day", "in calibration for {days} more days", days
        ).format(days=days)
    return {
        "instrument": instrument,
        "kind": KINDS[instrument.kind],
        "state": state,
        "words": words,
    }


@capability_required(Capability.MANAGE_CATALOGUE)
@require_http_methods(["GET", "POST"])
def new_instrument(request: HttpRequest) -> HttpResponse:
    form = InstrumentForm(typed(request))
    if form.is_valid():
        names = ("name", "serial", "greatest_reading", "calibration_due")
        named = {name: form.cleaned_data[name] for name in names}
        added = form.create(
            Instrument, person_of(request), add_instrument, **named, **form.accuracy
        )
        if added:
            messages.success(request, _("{instrument} is added.").format(instrument=added))
            return redirect("instruments")
    context = {"form": form}
    status = 400 if form.errors else 200
    return render(request, "surveys/survey_instrument_new.html", context, status=status)


@capability_required(Capability.MANAGE_CATALOGUE)
@require_http_methods(["GET", "POST"])
def calibrate_instrument(request: HttpRequest, instrument: UUID) -> HttpResponse:
    """Enter a new calibration; surveys taken before keep what was true of it then."""
    calibrated = get_object_or_404(Instrument.objects.visible_to(person_of(request)), pk=instrument)
    form = CalibrationForm(typed(request), initial={"version": calibrated.version})
    if form.is_valid():
        changed = form.attempt(
            lambda: change_instrument(
                actor=person_of(request),
                instrument=calibrated,
                expected_version=form.expected_version,
                calibration_due=form.cleaned_data["calibration_due"],
            )
        )
        if changed:
            messages.success(
                request, _("The calibration of {instrument} is saved.").format(instrument=changed)
            )
            return redirect("instruments")
    context = {"form": form, "instrument": calibrated}
    status = 400 if form.errors else 200
    return render(request, "surveys/survey_instrument_calibration.html", context, status=status)
