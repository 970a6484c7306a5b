"""Recording a step: exactly the evidence that it asks for."""

import json
from collections.abc import Sequence

from django.http import HttpRequest
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.criteria import places_to_read
from installs.frame_places import ways_of
from installs.frozen import PlannedJoint
from installs.models import Inspection, PlanStep
from installs.operations import INSPECT_STEP, KINDS_OF_REGISTER
from installs.sealant_judgement import NO_CLASS_DOES, classes_that_do, joints_short_of
from installs.services.inspecting import criteria_of
from installs.services.lifting import crew_short_of
from installs.services.sealing import sealing_rules
from installs.views.instruments import Instruments
from installs.views.operation_form import Fixed, OperationForm
from installs.views.photo_forms import PhotoBeside
from jobs.api.fields import QuantityField
from jobs.code_labels import code_label
from jobs.figures import figure
from jobs.translation import translated
from jobs.views.access import person_of


class StepForm(OperationForm):
    operation = INSPECT_STEP
    button = gettext_lazy("Record this step")

    def __init__(self, request: HttpRequest, step: PlanStep) -> None:
        self.step = step
        self.criteria = criteria_of(step)
        self.places = places_to_read(self.criteria)
        fixed: dict[str, Fixed] = {"step": str(step.pk)}
        fixed |= {f"readings.{n}.place": place for n, place in enumerate(self.places)}
        title = f"{step.number}. {translated(step.title)}"
        instruments = self._instruments(request) if self.places else None
        since = instruments.chosen if instruments else ""
        super().__init__(request, about=str(step.pk), title=title, since=since, fixed=fixed)
        if kinds := KINDS_OF_REGISTER.get(step.register):
            self.follows = json.dumps(kinds)
        if instruments:
            self._add_readings(instruments)
        for name, check in step.in_order(step.checks).items():
            label = translated(check)
            self.add(f"checks.{name}", label, yes=_("in order"), no=_("not in order"))
        if "acknowledgement" in step.evidence:
            label, done = translated(step.title), _("done and in order")
            self.add("acknowledged", label, yes=done, no=_("not in order"))
        self._add_particulars(step)
        needed = _("Required where something is not in order: what, and where.")
        if step.register == "survey_after_removal":
            needed = _(
                "Required where something is not in order, and where no survey could be recorded "
                "with the old door out: what was measured by hand."
            )
        self.add("note", _("Note"), rows=2, help_text=needed)

    def _instruments(self, request: HttpRequest) -> Instruments:
        person = person_of(request)
        used = Inspection.objects.filter(inspector=person)
        step = self.step
        return Instruments.of(person, used, self.criteria, step.instruments, step.installation)

    def _add_readings(self, instruments: Instruments) -> None:
        instruments.add_to(self)
        ways = ways_of(self.criteria)
        for number, (place, criterion) in enumerate(self.places.items()):
            limits = QuantityField(criterion.unit, criterion.lowest, criterion.highest)
            self.add(
                f"readings.{number}.value",
                capfirst(code_label(place)),
                of=limits,
                help_text=translated(ways.get(place, "")),
            )

    def _add_particulars(self, step: PlanStep) -> None:
        """What a step asks for besides its evidence."""
        if "sealant_class" in step.asks:
            self._add_sealant_class(step)
        if "surface_temperature" in step.asks:
            self._add_sealing(step)
        if "lifted_with" in step.asks:
            self._add_lifted_with(step)
        if "return_on" in step.asks:
            self.add("return_on", _("Tape stays inside until somebody comes back on"))

    def _add_sealant_class(self, step: PlanStep) -> None:
        rules, joints = step.installation.rule_set.rules, step.installation.plan.joints
        help_text = _("It is printed on the cartridge{note}.").format(
            note=rules.note("sealant.classes")
        )
        if joints and not classes_that_do(joints):
            help_text = f"{translated(NO_CLASS_DOES)} {help_text}"
        self.add(
            "sealant_class",
            _("Movement class of the sealant"),
            choices=[
                (str(grade), _class_label(joints, grade)) for grade in rules["sealant.classes"]
            ],
            required=True,
            help_text=help_text,
        )

    def _add_lifted_with(self, step: PlanStep) -> None:
        short = crew_short_of(step.installation)
        named = _("Names, or the lifting aid. The crew of the visit need not be named.")
        if short:
            named = _("{why}. Name who helped, or the lifting aid.").format(why=capfirst(short))
        label = _("Who lifted it beside the crew, or with which aid")
        self.add("lifted_with", label, help_text=named)

    def _add_sealing(self, step: PlanStep) -> None:
        """Water between sealant and wall, frost and an old cartridge let a joint go within a
        year."""
        known = step.installation.rule_set.rules
        rules = sealing_rules(known)
        self.add("sealant_use_by", _("Sealant to be used by"))
        warm = _("{lowest:g} to {highest:g} C, and {margin:g} C above the dew point{note}.").format(
            lowest=rules.lowest,
            highest=rules.highest,
            margin=rules.above_dew_point,
            note=known.note("sealant.applied_at", "sealant.above_dew_point"),
        )
        self.add("surface_temperature", _("Faces of the joint"), help_text=warm)
        self.add("air_temperature", _("Air beside it"))
        self.add("relative_humidity", _("Humidity of the air"))


def _class_label(joints: Sequence[PlannedJoint], grade: float) -> str:
    """A class, and at which joints it is not enough: said before anything is sealed."""
    if short := joints_short_of(joints, grade):
        where = ", ".join(map(code_label, short))
        return _("{grade} %: not enough at {where}").format(grade=figure(grade), where=where)
    return f"{figure(grade)} %"


class StepRow(PhotoBeside, StepForm):
    """On a sheet of many steps, with the photo that the step asks for."""

    def __init__(self, request: HttpRequest, step: PlanStep) -> None:
        super().__init__(request, step)
        # Its title stands above it already.
        if acknowledged := self.fields.get("acknowledged"):
            acknowledged.label = _("Step {number}").format(number=step.number)
        self.fields["note"].widget.attrs["rows"] = 1
        if "photo" in step.evidence:
            self.add_photo(step.installation, "step")
