"""What narrows the list of jobs, on the page and in what is taken away from it."""

from datetime import timedelta
from typing import Any, cast

from django import forms
from django.db.models import Exists, OuterRef, QuerySet
from django.utils.translation import gettext_lazy as _

from jobs.models import Crew, Job, Person, Visit
from jobs.views.lists import LONGEST_SEARCH
from office.job_search import named_like
from office.stages import Stage, at_stage
from office.views.days import DayField, begin_of

ALL_STAGES = [("", _("any stage")), *Stage.choices]


class JobFilter(forms.Form):
    """Every field is optional. Crew and day together mean a visit of that crew on that day."""

    q = forms.CharField(
        label=_("Reference, title, customer or town"), required=False, max_length=LONGEST_SEARCH
    )
    stage = forms.ChoiceField(label=_("Stage"), required=False, choices=ALL_STAGES)
    crew = forms.ModelChoiceField(
        label=_("Visited by"),
        required=False,
        queryset=Crew.objects.none(),
        empty_label=_("any crew"),
        error_messages={"invalid_choice": _("there is no such crew")},
    )
    on = DayField(label=_("Visited on"), required=False)

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        self.person = person
        crew = cast(forms.ModelChoiceField, self.fields["crew"])
        crew.queryset = Crew.objects.visible_to(person).order_by("name")

    @property
    def is_narrowing(self) -> bool:
        return any(self.data.get(name) for name in self.fields)

    @property
    def narrower(self) -> list[forms.BoundField]:
        return [self[name] for name in ("stage", "crew", "on")]

    def jobs(self) -> QuerySet[Any]:
        """Those the person may see that match; none where a field is wrong."""
        visible = Job.objects.visible_to(self.person)
        jobs: QuerySet[Job] = visible.select_related("customer", "site")
        if not self.is_valid():
            return jobs.none()
        wanted = self.cleaned_data
        if wanted["stage"]:
            jobs = at_stage(jobs, wanted["stage"])
        if wanted["crew"] or wanted["on"]:
            jobs = jobs.filter(Exists(self._visits(wanted).filter(job=OuterRef("pk"))))
        return named_like(jobs, wanted["q"]) if wanted["q"] else jobs

    def _visits(self, wanted: dict[str, Any]) -> QuerySet[Visit]:
        visits = Visit.objects.visible_to(self.person).not_cancelled()
        if wanted["crew"]:
            visits = visits.filter(crew=wanted["crew"])
        if wanted["on"]:
            day = wanted["on"]
            end = begin_of(day + timedelta(days=1))
            visits = visits.filter(start__lt=end, end__gt=begin_of(day))
        return visits
