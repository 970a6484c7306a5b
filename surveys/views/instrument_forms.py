"""Forms of instruments: a tape is as good as its class, the others by their uncertainty."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from jobs.views.forms import ChangeableForm, RecordForm
from surveys.api.opening_serializers import InstrumentFactsSerializer
from surveys.models import Instrument

KINDS = {
    "tape": gettext_lazy("Tape"),
    "laser": gettext_lazy("Laser distance meter"),
    "level": gettext_lazy("Level"),
    "gauge": gettext_lazy("Gauge (feeler, slip or caliper)"),
}


def calibration_due() -> forms.DateField:
    return forms.DateField(
        label=gettext_lazy("Calibration due"),
        help_text=gettext_lazy("The last day on which it may be used."),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


class InstrumentForm(RecordForm):
    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=80, help_text=gettext_lazy("Such as: Tape, 8 m.")
    )
    serial = forms.CharField(label=gettext_lazy("Serial number"), max_length=60)
    kind = forms.ChoiceField(
        label=gettext_lazy("Kind"), choices=[("", gettext_lazy("Choose")), *KINDS.items()]
    )
    accuracy_class = forms.ChoiceField(
        label=gettext_lazy("Accuracy class"),
        required=False,
        choices=[("", gettext_lazy("Not a tape")), ("I", "I"), ("II", "II"), ("III", "III")],
        help_text=gettext_lazy("Of a tape; printed on its blade."),
    )
    from_end_hook = forms.BooleanField(
        label=gettext_lazy("Read from its end hook"),
        required=False,
        help_text=gettext_lazy("A tape's hook adds a little."),
    )
    expanded_uncertainty = forms.FloatField(
        label=gettext_lazy("Expanded uncertainty"),
        required=False,
        help_text=gettext_lazy("Of a laser, level or gauge; from its certificate."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    coverage_factor = forms.FloatField(
        label=gettext_lazy("Coverage factor k"),
        required=False,
        help_text=gettext_lazy("Given with the uncertainty; usually 2."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    greatest_reading = forms.FloatField(
        label=gettext_lazy("Reads up to"),
        required=False,
        min_value=1,
        max_value=100_000,
        help_text=gettext_lazy("Where it ends, such as a gauge of 20 mm."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    calibration_due = calibration_due()

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        check = InstrumentFactsSerializer(data=self.accuracy)
        if not self.errors and not check.is_valid():
            for name, errors in check.errors.items():
                self.add_error(
                    name if name in self.fields else None, [str(error) for error in errors]
                )
        return cleaned

    @property
    def accuracy(self) -> dict[str, Any]:
        """How good it is; what does not apply to its kind stayed empty."""
        given = {
            name: self.cleaned_data.get(name)
            for name in ("kind", "accuracy_class", "expanded_uncertainty", "coverage_factor")
        }
        stated = {name: value for name, value in given.items() if value not in (None, "")}
        hook = self.cleaned_data.get("kind") == Instrument.Kind.TAPE
        return stated | ({"from_end_hook": self.cleaned_data["from_end_hook"]} if hook else {})


class CalibrationForm(ChangeableForm):
    """A new calibration of an instrument."""

    calibration_due = calibration_due()
