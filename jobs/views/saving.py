"""What happens around every form of the office: rendered, refused, or saved and redirected."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render


@dataclass(frozen=True, slots=True)
class Crumb:
    """A link to the page that this one belongs to."""

    name: str
    address: str


@dataclass(frozen=True, slots=True)
class FormPage:
    """A page that is a heading and one form. `draft` names what is kept on the device."""

    title: str
    crumbs: Sequence[Crumb]
    draft: str
    button: str
    lead: str = ""
    template: str = "jobs/record_form.html"
    more: dict[str, Any] = field(default_factory=dict)

    def show(self, request: HttpRequest, form: forms.Form) -> HttpResponse:
        """With 400 where something typed is refused."""
        context = {"page": self, "form": form, **self.more}
        return render(request, self.template, context, status=400 if form.errors else 200)

    def leave(self, request: HttpRequest, message: str, to: str, **names: Any) -> HttpResponse:
        """Redirect to the address named `to`, where the draft on the device is deleted."""
        messages.success(request, message, extra_tags=self.draft)
        return redirect(to, **names)


def typed(request: HttpRequest) -> Any:
    """What was sent with a form, or None while it is only opened."""
    return request.POST if request.method == "POST" else None
