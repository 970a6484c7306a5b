"""Switching the second factor on and off; everybody for themselves."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_otp import login as remember_device

from jobs.errors import Conflict
from jobs.models import Person
from jobs.services import second_factor as services
from jobs.views.access import person_of, sign_in_required
from jobs.views.second_factor_forms import CodeForm
from jobs.views.second_factor_secret import secret_in_groups, secret_svg


@never_cache
@sign_in_required
@require_GET
def second_factor(request: HttpRequest) -> HttpResponse:
    """Whether it is on, and what can be done about it."""
    return _overview(request, person_of(request))


@never_cache
@sign_in_required
@require_http_methods(["GET", "POST"])
def enrol(request: HttpRequest) -> HttpResponse:
    """The secret as a QR code and as letters; the first code made with it switches it on."""
    person = person_of(request)
    device = services.begun_enrolment(person)
    if device is None:
        return redirect("second-factor")
    form = CodeForm(request.POST or None)
    if request.method == "POST":
        codes = form.attempt(lambda code: services.confirm_enrolment(person=person, code=code))
        if codes:
            remember_device(request, device)
            return _recovery_codes(request, codes, new=True)
    context = {"form": form, "svg": secret_svg(device), "secret": secret_in_groups(device)}
    return render(request, "jobs/second_factor_enrol.html", context)


@sign_in_required
@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    try:
        services.begin_enrolment(person=person_of(request))
    except Conflict as refusal:
        messages.warning(request, str(refusal))
        return redirect("second-factor")
    return redirect("second-factor-enrol")


@never_cache
@sign_in_required
@require_POST
def renew_codes(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    form = CodeForm(request.POST, prefix="renew")
    codes = form.attempt(lambda code: services.renew_recovery_codes(person=person, code=code))
    if codes:
        return _recovery_codes(request, codes, new=False)
    return _overview(request, person, renew=form)


@sign_in_required
@require_POST
def switch_off(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    form = CodeForm(request.POST, prefix="off")
    form.attempt(lambda code: services.switch_off(person=person, code=code))
    if form.errors:
        return _overview(request, person, off=form)
    text = _("The second factor is off: your password alone signs you in.")
    messages.success(request, text)
    return redirect("second-factor")


def _overview(request: HttpRequest, person: Person, **forms: CodeForm) -> HttpResponse:
    context = {
        "device": services.enrolled_device(person),
        "codes_left": services.recovery_codes_left(person),
        "needed": services.needs_second_factor(person),
        "renew": forms.get("renew") or CodeForm(prefix="renew"),
        "off": forms.get("off") or CodeForm(prefix="off"),
    }
    return render(request, "jobs/second_factor.html", context)


def _recovery_codes(request: HttpRequest, codes: list[str], *, new: bool) -> HttpResponse:
    """In this answer alone: only their hashes are stored."""
    context = {"codes": [f"{code[:4]} {code[4:]}" for code in codes], "new": new}
    return render(request, "jobs/second_factor_codes.html", context)
