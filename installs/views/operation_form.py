"""Forms that record something on site: posted from a page, or kept in the queue of a phone.

A field is named by its path in the body, with dots, and says by `data-as` what it is sent as where
that is no text. `fixed` is what the page itself knows of the body. A field that is left empty is
left out of the body.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar, TypeVar, cast
from uuid import UUID, uuid4

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy
from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request

from installs.api.operation_handler import ApiOperationHandler
from installs.services.signing import require_signature
from installs.services.sync import SentOperation
from installs.views.body_fields import body_field, nested, sent_as
from installs.views.fields import form_field
from jobs.api.problems import complaints
from jobs.models import Person, Record
from jobs.operations import Operation
from jobs.services.phone_clock import PhoneTime
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


class SiteForm(ChangeableForm):
    """`entry_kind` names what it records, `serializer` is its body.

    `about` tells forms of one kind on one page apart. `title` is what an entry of it is called
    while it waits. `changes` is the record that is changed, without it one is created.
    `since` is what the page fills in by itself, or the state it belongs to: what was typed before
    that changed is not filled in again.
    """

    entry_kind: str
    serializer: type[serializers.Serializer]
    button: str | Promise = gettext_lazy("Record it")

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
        self.name = f"{self.entry_kind}-{about}"
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

    def add(
        self, name: str, label: str, *, of: serializers.Field | None = None, **options: Any
    ) -> None:
        """Add the form's field for the body's `name`; `of` in place of the body's own field, where
        the page knows its limits. See `fields.form_field`."""
        field = of or body_field(self.serializer, name)
        self.fields[name] = form_field(
            field, label=label, **{"required": bool(field.required), **options}
        )
        if kind := sent_as(field):
            self.fields[name].widget.attrs["data-as"] = kind

    def add_box(self, label: str) -> None:
        """For a form with nothing to fill in on a sheet of many: the box says that it is meant."""
        self.fields["meant"] = forms.BooleanField(
            label=label,
            required=False,
            widget=forms.CheckboxInput(attrs={"data-not-sent": True, "data-row": True}),
        )

    @property
    def fixed_inputs(self) -> list[FixedInput]:
        return [
            FixedInput(name, str(value), sent_as(body_field(self.serializer, name)))
            for name, value in self.fixed.items()
        ]

    def kept(self, message: str, address: str) -> HttpResponse:
        """Onwards once it is stored; what was typed is forgotten on the device."""
        messages.success(self.request, message, extra_tags=self.draft)
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


class OperationForm(SiteForm):
    """Records one operation, as the queue of a phone would: with the same body, service and
    refusals. So whatever was posted from a page and is sent again by the queue, under the same
    identity, is stored once."""

    operation: ClassVar[Operation]
    # Kinds that it is judged by, and so comes after in the queue, as JSON.
    follows = ""

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        if operation := getattr(cls, "operation", None):
            cls.entry_kind, cls.serializer = operation.name, operation.body

    @property
    def record(self) -> UUID | str:
        """Which record it creates or changes, for the queue; the same until it is stored."""
        identity: UUID | str = self["id"].value()
        return identity

    @property
    def base_version(self) -> Any:
        """Of what the page showed, also after a refusal; nothing where a record is created."""
        return (self["version"].value() or "") if self.changes else ""

    @property
    def body(self) -> dict[str, Any]:
        typed = {
            name: value
            for name, value in self.values.items()
            if value not in (None, "") and "data-not-sent" not in self.fields[name].widget.attrs
        }
        return nested(self.fixed | {name: _plain(value) for name, value in typed.items()})

    def apply(self) -> Record | None:
        """What was stored; None where the form was not sent, or is refused with its reasons."""
        return self.attempt(self._apply) if self.is_valid() else None

    def _apply(self) -> Record:
        require_signature(cast(Person, self.request.user))
        sent = SentOperation(
            id=uuid4(),
            kind=self.entry_kind,
            record=self.changes.pk if self.changes else self.cleaned_data["id"],
            base_version=self.expected_version if self.changes else None,
            after=None,
            time=PhoneTime(timezone.now()),
            digest="",
        )
        record, _ = ApiOperationHandler(cast(Request, self.request), sent, self.body).apply()
        return record


def _plain(value: Any) -> Any:
    """As JSON holds it."""
    return value.isoformat() if isinstance(value, date) else value
