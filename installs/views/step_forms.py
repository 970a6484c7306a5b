"""Recording a step: exactly the evidence that it asks for."""

from django import forms
from django.http import HttpRequest

from installs.arithmetic.criteria import places_to_read
from installs.labels import in_words
from installs.models import Inspection, PlanStep
from installs.services.inspecting import SEAL_STEP, TAPE_STEP, criteria_of
from installs.views import fields
from installs.views.instruments import Instruments
from installs.views.operation_form import Fixed, OperationForm, sent_as
from jobs.views.access import person_of


class StepForm(OperationForm):
    operation = "inspect_step"
    button = "Record this step"

    def __init__(self, request: HttpRequest, step: PlanStep) -> None:
        person = person_of(request)
        self.instruments = Instruments.of(person, Inspection.objects.filter(inspector=person))
        self.places = places_to_read(criteria_of(step))
        fixed: dict[str, Fixed] = {"step": str(step.pk)}
        fixed |= {f"readings.{n}.place": place for n, place in enumerate(self.places)}
        title = f"{step.number}. {step.title}"
        since = self.instruments.last
        super().__init__(request, about=str(step.pk), title=title, since=since, fixed=fixed)
        if self.places:
            self._add_readings()
        for name, told in step.in_order(step.checks).items():
            self.fields[f"checks.{name}"] = fields.either(told, yes="in order", no="not in order")
        if "acknowledgement" in step.evidence:
            self.fields["acknowledged"] = fields.either(
                step.title, yes="done and in order", no="not in order"
            )
        self._add_particulars(step)
        self.fields["note"] = fields.words(
            "Note",
            500,
            required=False,
            help_text="Needed where something is not in order: what, and where.",
        )

    def _add_readings(self) -> None:
        self.fields["instrument"] = self.instruments.field()
        for number, (place, criterion) in enumerate(self.places.items()):
            words = in_words(place).capitalize()
            self.fields[f"readings.{number}.value"] = fields.reading(
                words, criterion.unit, criterion.lowest, criterion.highest
            )

    def _add_particulars(self, step: PlanStep) -> None:
        """What two steps ask for besides."""
        if step.code == SEAL_STEP:
            rules = step.installation.rule_set.rules
            classes = rules["sealant.classes"]
            choice = forms.TypedChoiceField(
                label="Movement class of the sealant",
                choices=[
                    ("", "choose"),
                    *((str(one), f"{one:g} %") for one in classes),
                ],
                coerce=float,
                empty_value=None,
                help_text=f"It is printed on the cartridge{rules.note('sealant.classes')}.",
            )
            self.fields["sealant_class"] = sent_as(choice, "number")
        if step.code == TAPE_STEP:
            self.fields["return_on"] = forms.DateField(
                label="Tape stays inside until somebody comes back on",
                required=False,
                widget=forms.DateInput(attrs={"type": "date"}),
                error_messages={"invalid": "give a day, such as 2026-03-02"},
            )
