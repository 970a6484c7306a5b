"""What is asked about an opening besides its readings, as fields of a form.

The limits are those of the endpoint: what is typed here becomes the same JSON and is checked there.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms

from surveys.api import conditions as asked

CHOOSE_ONE = {"required": "choose one; it decides what happens on the day"}
SIDES = ("left", "right", "head", "sill")
STOP_FOR_ASBESTOS = (
    "If anything could be asbestos, say yes and stop: do not drill, break, scrape or sweep. Keep "
    "people out until a competent person has sampled it."
)


def _in_words(choices: Iterable[str]) -> Iterator[tuple[str, str]]:
    for name in choices:
        yield name, name.replace("_", " ").capitalize()


def length(label: str, *, required: bool = False, help_text: str = "") -> forms.FloatField:
    """A length in mm. Bounds are the endpoint's; here it only has to be a number."""
    return forms.FloatField(
        label=label,
        required=required,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        error_messages={
            "invalid": "not a number; give mm, such as 3612",
            "required": "still empty; give mm",
        },
    )


def choice(label: str, choices: Iterable[str], *, required: bool = False) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        required=required,
        choices=[("", "Choose"), *_in_words(choices)],
        error_messages=CHOOSE_ONE,
    )


def some_of(label: str, choices: Iterable[str]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        required=False,
        choices=list(_in_words(choices)),
        widget=forms.CheckboxSelectMultiple,
    )


def yes_or_no(label: str, *, required: bool = False, help_text: str = "") -> forms.TypedChoiceField:
    """Neither is chosen beforehand: what nobody looked at must not read as an answer."""
    return forms.TypedChoiceField(
        label=label,
        required=required,
        help_text=help_text,
        choices=[("", "Choose"), ("yes", "Yes"), ("no", "No")],
        error_messages=CHOOSE_ONE,
        coerce=lambda word: word == "yes",
        empty_value=None,
    )


class ConditionFields(forms.Form):
    """Fields named as in the JSON; `substrate_left` and its like are the parts of one value."""

    asbestos_suspected = yes_or_no("Asbestos suspected", required=True, help_text=STOP_FOR_ASBESTOS)
    lintel_seen = yes_or_no(
        "Lintel seen",
        required=True,
        help_text="No lintel seen: the old frame may carry the wall. An engineer decides.",
    )
    damp_proof_course = choice(
        "Damp-proof course", ("ok", "damaged", "missing", "not_seen"), required=True
    )
    outside_drop = length(
        "Ground outside lies lower by",
        required=True,
        help_text="From the sill down to the ground in front of it; 0 where it is level.",
    )
    measured_to = choice("Measured to", ("structural", "finished"), required=True)
    substrate_left = choice("Left jamb is of", asked.SUBSTRATES, required=True)
    substrate_right = choice("Right jamb is of", asked.SUBSTRATES, required=True)
    substrate_head = choice("Head is of", asked.SUBSTRATES, required=True)
    substrate_sill = choice("Sill is of", asked.SUBSTRATES, required=True)

    allowances_left = length("Finish still to come, left")
    allowances_right = length("Finish still to come, right")
    allowances_head = length("Finish still to come, head")
    allowances_sill = length("Finish still to come, sill")

    asbestos_cleared = forms.CharField(
        label="Asbestos cleared by",
        required=False,
        max_length=300,
        help_text="Who sampled or removed it, and the number of their report.",
    )
    guarding_present = yes_or_no("Guarding in front of the drop")
    lintel_span = length("Span of the lintel")
    head_movement_allowance = length("Movement wanted at the head")
    services_in_reveal = some_of("Services in the reveal", asked.SERVICES)
    floor_level_inside = length("Floor inside, above the sill", help_text="Below it: with a minus.")
    floor_level_outside = length("Ground outside, above the sill")
    threshold = choice("Threshold wanted", ("level", "low", "stepped"))
    drainage = choice("Drainage in front", ("none", "channel", "falls_away", "gully"))
    reveal_depth = length("Depth of the reveal")
    frame_position = length("Frame behind the wall's face")
    sill_projection = length("Projection of the sill")
    cavity = choice("Cavity", ("none", "open", "closed", "insulated"))
    stack_room = length("Room for the folded leaves")
    obstructions = some_of("In the way of the leaves", asked.OBSTRUCTIONS)
    access = some_of("Way in for the doorset", asked.ACCESS)
    notifiable = choice("Notifiable to building control", ("yes", "no", "not_known"))
    trickle_ventilation_present = yes_or_no("Background ventilators in the old door")
    notes = forms.CharField(
        label="Notes", required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 3})
    )

    # What is one value in the JSON and several fields here.
    OF_SIDES = ("substrate", "allowances")

    def conditions(self) -> dict[str, Any]:
        """The conditions as the endpoint takes them; what stayed empty is not recorded."""
        given = {
            name: value
            for name in ConditionFields.base_fields
            if (value := self.cleaned_data.get(name)) not in (None, "", [])
        }
        for name in self.OF_SIDES:
            sides = {side: given.pop(f"{name}_{side}", None) for side in SIDES}
            typed = {side: value for side, value in sides.items() if value is not None}
            if typed:
                # A finish that was named for one side is none on the others.
                given[name] = typed if name == "substrate" else dict.fromkeys(SIDES, 0) | typed
        return given

    @property
    def decisive(self) -> Iterator[tuple[forms.BoundField, str]]:
        """Fields that must be answered, each with its unit."""
        return ((f, unit) for f, unit in self._condition_fields() if f.field.required)

    @property
    def further(self) -> Iterator[tuple[forms.BoundField, str]]:
        """Fields that may stay empty, each with its unit."""
        return ((f, unit) for f, unit in self._condition_fields() if not f.field.required)

    @property
    def further_in_use(self) -> bool:
        return any(bound.errors or bound.value() for bound, _ in self.further)

    def _condition_fields(self) -> Iterator[tuple[forms.BoundField, str]]:
        for name, field in ConditionFields.base_fields.items():
            yield self[name], "mm" if isinstance(field, forms.FloatField) else ""


def fields_of(conditions: dict[str, Any]) -> dict[str, Any]:
    """Stored conditions as initial values of the fields."""
    found: dict[str, Any] = {}
    for name, value in conditions.items():
        if isinstance(value, dict):
            found |= {f"{name}_{side}": inner for side, inner in value.items()}
        elif isinstance(value, bool):
            found[name] = "yes" if value else "no"
        else:
            found[name] = plainly(value)
    return found


def plainly(value: Any) -> Any:
    """3612.0 as 3612, as it was typed."""
    return int(value) if isinstance(value, float) and value.is_integer() else value
