"""What the office types to book a crew for a job."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.capabilities import VisitKind, roles_making
from jobs.code_labels import code_label
from jobs.models import Crew, Visit
from jobs.views.forms import ChangeableForm, RecordForm

AS_TYPED = "%Y-%m-%dT%H:%M"


def _kinds() -> list[tuple[str, str]]:
    """Each kind of visit, with the roles of which its crew needs one."""
    return [(kind.value, _with_roles(kind)) for kind in VisitKind]


def _with_roles(kind: VisitKind) -> str:
    roles = ", ".join(code_label(role) for role in roles_making(kind))
    return gettext("{kind} (needs: {roles})").format(kind=kind.label, roles=roles)


class CrewChoice(forms.ModelChoiceField):
    """A crew with the people in it, since they are who is booked."""

    def label_from_instance(self, crew: Any) -> str:
        people = ", ".join(person.display_name for person in crew.members.all())
        return f"{crew.name}: {people or gettext('nobody is in it')}"


class MomentField(forms.DateTimeField):
    """A day and a time of day in the firm's zone."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=AS_TYPED)
    default_error_messages = {"invalid": _("give a day and a time, such as 2026-03-04T09:30")}


class Times(forms.Form):
    start = MomentField(label=_("From"), help_text=_("In the time zone of the firm."))
    end = MomentField(
        label=_("To"), help_text=_("On another day where the work goes on overnight.")
    )


class VisitForm(Times, RecordForm):
    kind = forms.ChoiceField(label=_("Kind of visit"), choices=_kinds)
    crew = CrewChoice(
        label=_("Crew"), queryset=Crew.objects.order_by("name").prefetch_related("members")
    )
    purpose = forms.ChoiceField(
        label=_("Purpose of a return"),
        choices=[("", _("what was left to do")), *Visit.Purpose.choices],
        required=False,
    )
    field_order = ("kind", "purpose", "crew", "start", "end")


class MoveForm(Times, ChangeableForm):
    @classmethod
    def showing(cls, visit: Visit) -> dict[str, Any]:
        return {"start": visit.start, "end": visit.end, "version": visit.version}
