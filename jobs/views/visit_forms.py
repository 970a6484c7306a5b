"""What the office types to book a crew for a job."""

from typing import Any

from django import forms

from jobs.capabilities import roles_making
from jobs.models import Crew, Visit
from jobs.views.forms import ChangeableForm, RecordForm

KINDS = tuple(
    (kind, f"{kind.label}, needs a {' or a '.join(roles_making(kind))}") for kind in Visit.Kind
)
AS_TYPED = "%Y-%m-%dT%H:%M"


class CrewChoice(forms.ModelChoiceField):
    """A crew with the people in it, since they are who is booked."""

    def label_from_instance(self, crew: Any) -> str:
        people = ", ".join(person.display_name for person in crew.members.all())
        return f"{crew.name}: {people or 'nobody is in it'}"


class MomentField(forms.DateTimeField):
    """A day and a time of day in the firm's zone."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=AS_TYPED)
    default_error_messages = {"invalid": "give a day and a time, such as 2026-03-04T09:30"}


class Times(forms.Form):
    start = MomentField(label="From", help_text="In the firm's own time, wherever you are.")
    end = MomentField(label="To", help_text="On another day where the work goes on overnight.")


class VisitForm(Times, RecordForm):
    kind = forms.ChoiceField(label="What the crew comes for", choices=KINDS)
    crew = CrewChoice(
        label="Crew", queryset=Crew.objects.order_by("name").prefetch_related("members")
    )
    field_order = ("kind", "crew", "start", "end")


class MoveForm(Times, ChangeableForm):
    @classmethod
    def showing(cls, visit: Visit) -> dict[str, Any]:
        return {"start": visit.start, "end": visit.end, "version": visit.version}
