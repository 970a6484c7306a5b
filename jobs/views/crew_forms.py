"""What the office types about a crew."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.models import Crew, Person
from jobs.views.forms import ChangeableForm


class PeopleChoice(forms.ModelMultipleChoiceField):
    """People with the roles that decide what a crew can be booked for."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, person: Any) -> str:
        roles = sorted(record.get_role_display() for record in person.role_records.all())
        return f"{person.display_name}: {', '.join(roles) or gettext('no role')}"


class CrewForm(ChangeableForm):
    name = forms.CharField(label=_("Name"), max_length=Crew._meta.get_field("name").max_length)
    members = PeopleChoice(
        label=_("People"),
        queryset=Person.objects.filter(is_active=True)
        .order_by("first_name", "username")
        .prefetch_related("role_records"),
        help_text=_("Visits already booked keep the people they were booked with."),
    )

    @classmethod
    def showing(cls, crew: Crew) -> dict[str, Any]:
        return {"name": crew.name, "members": crew.members.all(), "version": crew.version}
