"""The phones that sign what their people record, and enrolling and ending them."""

from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.models import EnrolledKey
from jobs.services.device_keys import end_key, enrol_key
from jobs.views.access import person_of, sign_in_required
from jobs.views.forms import ChangeableForm, RecordForm
from jobs.views.saving import Crumb, FormPage, typed


class PublicKeyField(forms.JSONField):
    """The public key as a JWK, which a script of the page fills in."""

    widget = forms.HiddenInput
    default_error_messages = {
        "required": gettext_lazy(
            "this browser made no key: open this page in the browser that you record with, with "
            "scripts switched on"
        )
    }

    def to_python(self, value: Any) -> Any:
        jwk = super().to_python(value)
        if jwk is not None and not isinstance(jwk, dict):
            raise forms.ValidationError(_("this is no key"))
        return jwk


class EnrolForm(RecordForm):
    device = forms.CharField(
        label=gettext_lazy("What you call this phone"),
        max_length=EnrolledKey._meta.get_field("device").max_length,
        help_text=gettext_lazy("Such as “Work phone”. It stays in the journal."),
    )
    password = forms.CharField(
        label=gettext_lazy("Your password"),
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text=gettext_lazy("As a confirmation that it is you."),
    )
    public_key = PublicKeyField()

    def _plain(self) -> dict[str, str]:
        """Nobody finds a password out by trying guesses at the digest of what made a record."""
        return {name: text for name, text in super()._plain().items() if name != "password"}


class EndForm(ChangeableForm):
    because = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=EnrolledKey._meta.get_field("ended_because").max_length,
        help_text=gettext_lazy("Such as “lost” or “a new phone”. It stays in the journal."),
    )


@never_cache
@sign_in_required
@require_http_methods(["GET", "POST"])
def phones(request: HttpRequest) -> HttpResponse:
    """One's own, and those of all for whoever manages people; a script knows which is this one."""
    person = person_of(request)
    form = EnrolForm(typed(request))
    if form.is_valid() and form.create(EnrolledKey, person, enrol_key, **form.values):
        return redirect("phones")
    keys = EnrolledKey.objects.visible_to(person).select_related("person", "ended_by")
    context = {
        "form": form,
        "keys": keys,
        "of_all": person.has_capability(Capability.MANAGE_PEOPLE),
    }
    return render(request, "installs/phones.html", context, status=400 if form.errors else 200)


@sign_in_required
@require_http_methods(["GET", "POST"])
def end_phone(request: HttpRequest, pk: UUID) -> HttpResponse:
    """From now on its signatures count no more."""
    keys = EnrolledKey.objects.visible_to(person_of(request)).not_ended()
    key = get_object_or_404(keys.select_related("person"), pk=pk)
    form = EndForm(typed(request), initial={"version": key.version})
    page = FormPage(
        title=_("End the signatures of “{device}”").format(device=key.device),
        crumbs=[Crumb(_("Phones that sign"), reverse("phones"))],
        draft=f"end-phone-{pk}",
        button=_("End them"),
        lead=_(
            "It belongs to {person}. What it signed until now goes on counting; what it signs from "
            "now on does not, and this cannot be undone. It can be enrolled again with a new key."
        ).format(person=key.person.display_name),
    )
    if form.is_valid() and form.attempt(
        lambda: end_key(
            actor=person_of(request),
            key=key,
            expected_version=form.expected_version,
            because=form.cleaned_data["because"],
        )
    ):
        message = _("Signatures of “{device}” count no more.").format(device=key.device)
        return page.leave(request, message, "phones")
    return page.show(request, form)
