"""Forms that record one operation: posted from a page, or kept in the queue of a phone.

A field is named by its path in the operation's body, with dots, and says by `data-as` what it is
sent as where that is no text. `fixed` is what the page itself knows of the body. A field that is
left empty is left out of the body.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar
from uuid import UUID, uuid4

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from rest_framework.exceptions import ValidationError

from installs.views.operations import nested, perform
from jobs.api.problems import complaints
from jobs.models import Record
from jobs.views.forms import ChangeableForm

R = TypeVar("R", bound=Record)
Fixed = str | int | float | bool
# Fields of the form itself, which are no part of the body.
OWN = ("id", "version")


@dataclass(frozen=True, slots=True)
class FixedInput:
    """Something of the body that the page knows; `sent_as` is its `data-as`."""

    name: str
    value: str
    sent_as: str


class OperationForm(ChangeableForm):
    """`operation` is its kind in `sync_kinds.KINDS`.

    `about` tells forms of one kind on one page apart. `title` is what an entry of it is called
    while it waits. `changes` is the record that is changed, without it the operation creates one.
    `since` is what the page fills in by itself, or the state it stands for: what was typed before
    that changed is not filled in again.
    """

    operation: str
    button = "Record it"

    def __init__(
        self,
        request: HttpRequest,
        *,
        about: str,
        title: str,
        since: object = "",
        changes: Record | None = None,
        fixed: Mapping[str, Fixed] | None = None,
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        self.request, self.title = request, title
        self.changes, self.fixed = changes, dict(fixed or {})
        self.name = f"{self.operation}-{about}"
        self.draft = f"{self.name}-{changes.version if changes else since}"
        sent = request.method == "POST" and request.POST.get("form") == self.name
        own = {"id": changes.pk, "version": changes.version} if changes else {"id": uuid4()}
        super().__init__(
            request.POST if sent else None,
            request.FILES if sent else None,
            auto_id=f"{self.name}_%s",
            initial={**(initial or {}), **own},
        )
        for name in OWN:
            self.fields[name].widget.attrs["data-not-sent"] = True

    @property
    def record(self) -> UUID | str:
        """Which record it creates or changes, for the queue; the same until it is stored."""
        found: UUID | str = self["id"].value()
        return found

    @property
    def base_version(self) -> Any:
        """Of what was shown, also after a refusal; nothing where a record is created."""
        return (self["version"].value() or "") if self.changes else ""

    @property
    def fixed_inputs(self) -> list[FixedInput]:
        return [FixedInput(name, str(value), _sent_as(value)) for name, value in self.fixed.items()]

    @property
    def body(self) -> dict[str, Any]:
        typed = {name: value for name, value in self.values.items() if value not in (None, "")}
        plain = {name: _plain(value) for name, value in typed.items()}
        return nested(self.fixed | plain)

    def perform(self) -> Record | None:
        """What was stored; None where the form was not sent, or is refused with its reasons."""
        if not self.is_valid():
            return None
        return self.attempt(
            lambda: perform(
                self.request,
                kind=self.operation,
                record=self.changes.pk if self.changes else self.cleaned_data["id"],
                base_version=self.expected_version if self.changes else None,
                body=self.body,
            )
        )

    def kept(self, told: str, address: str) -> HttpResponse:
        """Onwards once it is stored; what was typed is forgotten on the device."""
        messages.success(self.request, told, extra_tags=self.draft)
        return redirect(address)

    def attempt(self, do: Callable[[], R]) -> R | None:
        """Complaints of the body come back beside their fields, too."""
        try:
            return super().attempt(do)
        except ValidationError as wrong:
            for complaint in complaints(wrong.detail):
                self.add_error(self._field_of(complaint["pointer"]), complaint["detail"])
            return None

    def _field_of(self, pointer: str) -> str | None:
        named = pointer.strip("/").replace("/", ".")
        return named if named in self.fields else None


def sent_as(field: forms.Field, kind: str) -> forms.Field:
    """The field, saying that it is sent as a `number`, an `integer`, a `boolean` or as `json`."""
    field.widget.attrs["data-as"] = kind
    return field


def _sent_as(value: Fixed) -> str:
    if isinstance(value, bool):
        return "boolean"
    if isinstance(value, int):
        return "integer"
    return "number" if isinstance(value, float) else ""


def _plain(value: Any) -> Any:
    """As JSON holds it."""
    return value.isoformat() if isinstance(value, date) else value
