"""What the office types to take a job on, to rename it, and to add its openings."""

from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from jobs.api.serializers import CaseSerializer
from jobs.models import Opening, RuleSet, Site
from jobs.models.catalogue import RuleSetQuerySet
from jobs.views.forms import ChangeableForm, RecordForm
from jobs.views.quantities import quantity_field

TITLE = _("What is to be done, in the words the customer would use: garden doors, kitchen wall.")
RULES = _("The limits that decide everything in this job, for good. The newest is chosen.")


class NewJobForm(RecordForm):
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), label=_("Site"), empty_label=_("choose the site")
    )
    title = forms.CharField(max_length=120, label=_("Title"), help_text=TITLE)
    rule_set = forms.ModelChoiceField(
        queryset=RuleSet.objects.none(), label=_("Rule set"), help_text=RULES, empty_label=None
    )

    def __init__(
        self,
        *args: Any,
        sites: QuerySet[Site],
        rule_sets: RuleSetQuerySet,
        site: Site | None,
        **options: Any,
    ) -> None:
        """With a `site` there is nothing to choose any more: it was added just before."""
        super().__init__(*args, **options)
        chosen = cast(forms.ModelChoiceField, self.fields["site"])
        chosen.queryset, chosen.initial = sites, site
        if site:
            chosen.widget = forms.HiddenInput()
        newest_first = rule_sets.newest_first()
        rules = cast(forms.ModelChoiceField, self.fields["rule_set"])
        rules.queryset, rules.initial = newest_first, newest_first.first()


class JobForm(ChangeableForm):
    title = forms.CharField(max_length=120, label=_("Title"), help_text=TITLE)


class OpeningForm(ChangeableForm):
    name = forms.CharField(
        max_length=80,
        label=_("Name"),
        help_text=_("Which opening in the wall it is, so that nobody on site mistakes it."),
    )
    nation = forms.ChoiceField(
        choices=[("", _("not known yet")), *Opening.Nation.choices],
        required=False,
        label=_("Nation"),
        help_text=_("Whose building regulations count."),
    )
    work = forms.ChoiceField(
        choices=[("", _("not known yet")), *Opening.Work.choices],
        required=False,
        label=_("The doorset is for a"),
        help_text=_("Decides which threshold and which U its doorset needs."),
    )
    existing_upstand = quantity_field(
        CaseSerializer,
        "existing_upstand",
        required=False,
        label=_("Upstand of the old threshold"),
        help_text=_("How far it stands up above the finished floor inside; empty: not measured."),
    )

    @classmethod
    def showing(cls, opening: Opening) -> dict[str, Any]:
        """The values of an opening, with its version."""
        names = ("version", "name", "nation", "work", "existing_upstand")
        return {name: getattr(opening, name) for name in names}
