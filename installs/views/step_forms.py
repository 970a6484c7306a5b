"""Recording a step: exactly the evidence that it asks for."""

from django.http import HttpRequest

from installs.arithmetic.criteria import places_to_read
from installs.models import Inspection, PlanStep
from installs.operations import INSPECT_STEP
from installs.services.inspecting import criteria_of
from installs.views.instruments import Instruments
from installs.views.operation_form import Fixed, OperationForm
from jobs.api.fields import QuantityField
from jobs.code_labels import code_label
from jobs.views.access import person_of


class StepForm(OperationForm):
    operation = INSPECT_STEP
    button = "Record this step"

    def __init__(self, request: HttpRequest, step: PlanStep) -> None:
        person = person_of(request)
        self.instruments = Instruments.of(
            person, Inspection.objects.filter(inspector=person), kinds=step.instruments
        )
        self.places = places_to_read(criteria_of(step))
        fixed: dict[str, Fixed] = {"step": str(step.pk)}
        fixed |= {f"readings.{n}.place": place for n, place in enumerate(self.places)}
        title = f"{step.number}. {step.title}"
        since = self.instruments.last
        super().__init__(request, about=str(step.pk), title=title, since=since, fixed=fixed)
        if self.places:
            self._add_readings()
        for name, words in step.in_order(step.checks).items():
            self.add(f"checks.{name}", words, yes="in order", no="not in order")
        if "acknowledgement" in step.evidence:
            self.add("acknowledged", step.title, yes="done and in order", no="not in order")
        self._add_particulars(step)
        needed = "Needed where something is not in order: what, and where."
        self.add("note", "Note", rows=2, help_text=needed)

    def _add_readings(self) -> None:
        self.instruments.add_to(self)
        for number, (place, criterion) in enumerate(self.places.items()):
            limits = QuantityField(criterion.unit, criterion.lowest, criterion.highest)
            self.add(f"readings.{number}.value", code_label(place).capitalize(), of=limits)

    def _add_particulars(self, step: PlanStep) -> None:
        """What a step asks for besides its evidence."""
        if "sealant_class" in step.asks:
            rules = step.installation.rule_set.rules
            self.add(
                "sealant_class",
                "Movement class of the sealant",
                choices=[(str(one), f"{one:g} %") for one in rules["sealant.classes"]],
                required=True,
                help_text=f"It is printed on the cartridge{rules.note('sealant.classes')}.",
            )
        if "return_on" in step.asks:
            self.add("return_on", "Tape stays inside until somebody comes back on")
