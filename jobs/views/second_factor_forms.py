from collections.abc import Callable
from typing import TypeVar

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.errors import InvalidField

T = TypeVar("T")


class CodeForm(forms.Form):
    """One code, with the reason where the service refuses it."""

    code = forms.CharField(
        label=_("Code"),
        max_length=20,
        help_text=_("Six digits from your app, or one of your recovery codes."),
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )

    def attempt(self, service: Callable[[str], T]) -> T | None:
        """What `service(code)` returns; None where there is no code or the service refuses it."""
        if not self.is_valid():
            return None
        try:
            return service(self.cleaned_data["code"])
        except InvalidField as refusal:
            self.add_error("code", refusal.detail)
            return None
