"""Forms of pages: what was typed stays, and every error is beside its field.

A form gathers and checks words and numbers; whether a record may be stored is for its service to
say. A service's refusal that points at a field comes back beside that field, every other one above
the form.
"""

from collections.abc import Callable
from typing import Any, TypeVar
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.arithmetic.errors import UnusableInput
from jobs.errors import DomainError, GateClosed, InvalidField, VersionConflict
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Person, Record
from jobs.translation import translated

R = TypeVar("R", bound=Record)
CHANGED_MEANWHILE = _(
    "Somebody else has changed this in the meantime. What you typed is still here; "
    "open the page again to see their change, then decide."
)


class RecordForm(forms.Form):
    """`id` is made with the form, so that pressing twice, or sending again, stores once."""

    id = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)

    # JSON pointers of the service, where they are called otherwise than the form's field.
    pointers: dict[str, str] = {}

    def create(
        self, model: type[R], actor: Person, service: Callable[..., R], **values: Any
    ) -> R | None:
        """Call `service(actor=, identity=, **values)` once for this form's `id`.

        None where it refuses; the reason is then among the form's errors.
        """
        idempotency_key = IdempotencyKey.of(self.cleaned_data["id"], self._plain())
        return self.attempt(
            lambda: create_idempotently(
                model,
                idempotency_key,
                lambda: service(actor=actor, idempotency_key=idempotency_key, **values),
            )[0]
        )

    def attempt(self, do: Callable[[], R]) -> R | None:
        """What `do` returns; None where a service refuses, with the reason among the errors."""
        try:
            return do()
        except (DomainError, UnusableInput) as refusal:
            self.refuse(refusal)
            return None

    def refuse(self, refusal: DomainError | UnusableInput) -> None:
        """Put the reason beside the field that it points at, or above the form."""
        if isinstance(refusal, InvalidField | UnusableInput):
            self.add_error(self._field_of(refusal.pointer), translated(refusal.detail))
        elif isinstance(refusal, GateClosed):
            for blocker in refusal.blockers:
                text = gettext("{what} ({why})")
                what, why = translated(blocker.what), translated(blocker.why)
                self.add_error(None, text.format(what=what, why=why))
        elif isinstance(refusal, VersionConflict):
            self.add_error(None, CHANGED_MEANWHILE)
        else:
            self.add_error(None, str(refusal))

    def _field_of(self, pointer: str) -> str | None:
        named = self.pointers.get(pointer, pointer.strip("/").replace("/", "_"))
        return named if named in self.fields else None

    @property
    def values(self) -> dict[str, Any]:
        """What was typed, without what the form carries for itself."""
        own = ("id", "version")
        return {name: value for name, value in self.cleaned_data.items() if name not in own}

    def _plain(self) -> dict[str, str]:
        """What was sent, without what differs from try to try."""
        return {name: str(self.data.get(name, "")) for name in sorted(self.fields)}


class ChangeableForm(RecordForm):
    """For adding a record, and for changing it from the `version` that the page had."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    @property
    def expected_version(self) -> int:
        """Of the page; 0, which no record is at, where somebody removed it from the form."""
        return self.cleaned_data["version"] or 0
