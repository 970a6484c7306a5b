"""What is asked about an opening besides its readings, as fields of a form.

The limits are those of the endpoint: what is typed here becomes the same JSON and is checked there.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any, NoReturn

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.code_labels import code_label
from jobs.translation import Text
from surveys.api import conditions as asked

CHOOSE_ONE = {"required": gettext_lazy("choose one; it decides what happens on the day")}
SIDES = ("left", "right", "head", "sill")
CORNERS = re.compile(r"[;\n]")
TWO_WIDTHS = re.compile(r"(\d+(?:[.,]\d+)?)\s*[x\u00d7*/]\s*(\d+(?:[.,]\d+)?)")
STOP_FOR_ASBESTOS = gettext_lazy(
    "If anything could be asbestos, say yes and stop: do not drill, break, scrape "
    "or sweep. Keep people out until a competent person has sampled it."
)


def _labelled(choices: Iterable[str]) -> Iterator[tuple[str, str]]:
    for name in choices:
        yield name, code_label(name).capitalize()


class QuantityField(forms.FloatField):
    """A number with its unit, typed with a comma or a point. Bounds are the endpoint's; here it
    only has to be a number."""

    def __init__(self, unit: str = "mm", **options: Any) -> None:
        self.unit = unit
        super().__init__(**options)

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


def length(label: Text, *, required: bool = False, help_text: Text = "") -> QuantityField:
    """A length in mm."""
    return QuantityField(
        label=label,
        required=required,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        error_messages={
            "invalid": gettext_lazy("not a number; give mm, such as 3612"),
            "required": gettext_lazy("required; give mm"),
        },
    )


def distance(label: Text) -> QuantityField:
    """A length in m."""
    return QuantityField(
        "m",
        label=label,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        error_messages={"invalid": gettext_lazy("not a number; give m, such as 25")},
    )


def count(label: Text) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={"invalid": gettext_lazy("not a whole number; give how many, such as 3")},
    )


class CornersField(forms.CharField):
    """Corners of a way in, typed as `900 x 1000; 950 x 950`; `0` says that there is none."""

    default_error_messages = {
        "corners": gettext_lazy(
            "{typed}: give the clear widths before and after it in mm, such as 900 x 1000"
        )
    }

    def clean(self, value: Any) -> list[dict[str, float]] | None:
        typed = super().clean(value).strip()
        if not typed:
            return None
        return [] if typed == "0" else [self._corner(part) for part in CORNERS.split(typed)]

    def prepare_value(self, value: Any) -> Any:
        """As it was typed, from what a survey holds."""
        if not isinstance(value, list):
            return value
        widths = "; ".join(f"{corner['before']:g} x {corner['after']:g}" for corner in value)
        return widths or "0"

    def _corner(self, typed: str) -> dict[str, float]:
        match = TWO_WIDTHS.fullmatch(typed.strip())
        if match is None:
            message = str(self.error_messages["corners"]).format(typed=typed.strip())
            raise forms.ValidationError(message)
        before, after = (float(width.replace(",", ".")) for width in match.groups())
        return {"before": before, "after": after}


class PlacesField(forms.CharField):
    """What stands in the way of the leaves, one on each line: what, how far along, how far out, how
    wide, and whether inside, such as `downpipe, -150, 40, 110`."""

    INSIDE = "inside"
    default_error_messages = {
        "place": gettext_lazy(
            "{typed}: give what it is, mm from the left, mm out and mm wide, such as {example}"
        ),
        "what": gettext_lazy("{typed}: give one of {choices}"),
    }

    def clean(self, value: Any) -> list[dict[str, Any]] | None:
        typed = super().clean(value).strip()
        return [self._place(line) for line in typed.splitlines() if line.strip()] or None

    def prepare_value(self, value: Any) -> Any:
        """As it was typed, from what a survey holds."""
        if not isinstance(value, list):
            return value
        return "\n".join(_typed_place(place) for place in value)

    def _place(self, line: str) -> dict[str, Any]:
        what, *rest = (part.strip() for part in line.split(","))
        inside = bool(rest) and rest[-1].lower() in (self.INSIDE, code_label(self.INSIDE))
        named = {code_label(code).lower(): code for code in asked.OBSTRUCTIONS}
        obstruction = named.get(what.lower(), what.lower())
        if obstruction not in asked.OBSTRUCTIONS:
            self._refuse("what", typed=what, choices=", ".join(named))
        try:
            along, distance, *width = (float(part) for part in (rest[:-1] if inside else rest))
        except ValueError:
            self._refuse("place", typed=line.strip(), example=_example())
        if len(width) > 1:
            self._refuse("place", typed=line.strip(), example=_example())
        place = {"obstruction": obstruction, "along": along, "distance": distance}
        place |= {"width": width[0]} if width else {}
        return place | ({"side": self.INSIDE} if inside else {})

    def _refuse(self, code: str, **values: str) -> NoReturn:
        raise forms.ValidationError(str(self.error_messages[code]).format(**values))


def _example() -> str:
    return f"{code_label('downpipe')}, -150, 40, 110"


def _typed_place(place: dict[str, Any]) -> str:
    lengths = (place[name] for name in ("along", "distance", "width") if name in place)
    inside = [code_label(PlacesField.INSIDE)] if place.get("side") == PlacesField.INSIDE else []
    words = [code_label(place["obstruction"]), *(f"{length:g}" for length in lengths), *inside]
    return ", ".join(words)


def choice(
    label: Text, choices: Iterable[str], *, required: bool = False, help_text: Text = ""
) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        required=required,
        help_text=help_text,
        # Asked for by each form, in the language of whoever reads it.
        choices=lambda: [("", _("Choose")), *_labelled(choices)],
        error_messages=CHOOSE_ONE,
    )


def some_of(label: Text, choices: Iterable[str]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        required=False,
        choices=lambda: list(_labelled(choices)),
        widget=forms.CheckboxSelectMultiple,
    )


def yes_or_no(
    label: Text, *, required: bool = False, help_text: Text = ""
) -> forms.TypedChoiceField:
    """Neither is chosen in advance: what nobody looked at must not read as an answer."""
    return forms.TypedChoiceField(
        label=label,
        required=required,
        help_text=help_text,
        choices=lambda: [("", _("Choose")), ("yes", _("Yes")), ("no", _("No"))],
        error_messages=CHOOSE_ONE,
        coerce=lambda word: word == "yes",
        empty_value=None,
    )


class ConditionFields(forms.Form):
    """Fields named as in the JSON; `substrate_left` and its like are the parts of one value."""

    asbestos_suspected = yes_or_no(
        gettext_lazy("Asbestos suspected"), required=True, help_text=STOP_FOR_ASBESTOS
    )
    built = choice(
        gettext_lazy("Built"),
        asked.BUILT,
        required=True,
        help_text=gettext_lazy(
            "Before 2000, or not known: what is opened up is surveyed for asbestos first."
        ),
    )
    lintel_seen = yes_or_no(
        gettext_lazy("Lintel seen"),
        required=True,
        help_text=gettext_lazy(
            "No lintel seen: the old frame may carry the wall. An engineer decides."
        ),
    )
    damp_proof_course = choice(
        gettext_lazy("Damp-proof course"), ("ok", "damaged", "missing", "not_seen"), required=True
    )
    outside_drop = length(
        gettext_lazy("Ground outside lies lower by"),
        required=True,
        help_text=gettext_lazy(
            "From the sill down to the ground in front of it; 0 where it is level."
        ),
    )
    measured_to = choice(gettext_lazy("Measured to"), ("structural", "finished"), required=True)
    substrate_left = choice(gettext_lazy("Left jamb is of"), asked.SUBSTRATES, required=True)
    substrate_right = choice(gettext_lazy("Right jamb is of"), asked.SUBSTRATES, required=True)
    substrate_head = choice(gettext_lazy("Head is of"), asked.SUBSTRATES, required=True)
    substrate_sill = choice(gettext_lazy("Sill is of"), asked.SUBSTRATES, required=True)

    allowances_left = length(gettext_lazy("Finish still to come, left"))
    allowances_right = length(gettext_lazy("Finish still to come, right"))
    allowances_head = length(gettext_lazy("Finish still to come, head"))
    allowances_sill = length(gettext_lazy("Finish still to come, sill"))

    asbestos_cleared = forms.CharField(
        label=gettext_lazy("Asbestos cleared by"),
        required=False,
        max_length=300,
        help_text=gettext_lazy(
            "Who sampled, surveyed or removed it, when, and the number of their report. The office "
            "or a surveyor enters it."
        ),
    )
    safety_led_by = choice(
        gettext_lazy("Safety on site is led by"),
        asked.SAFETY_LED_BY,
        help_text=gettext_lazy(
            "This firm where no other contractor works there, else the principal contractor."
        ),
    )
    asbestos_papers = forms.MultipleChoiceField(
        label=gettext_lazy("Photos of that report"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    guarding_present = yes_or_no(gettext_lazy("Guarding in front of the drop"))
    lintel_span = length(gettext_lazy("Span of the lintel"))
    head_movement_allowance = length(gettext_lazy("Movement wanted at the head"))
    services_in_reveal = some_of(gettext_lazy("Services in the reveal"), asked.SERVICES)
    floor_level_inside = length(
        gettext_lazy("Floor inside, above the sill"),
        help_text=gettext_lazy("Below it: with a minus."),
    )
    floor_level_outside = length(gettext_lazy("Ground outside, above the sill"))
    threshold = choice(gettext_lazy("Threshold wanted"), ("level", "low", "stepped"))
    drainage = choice(gettext_lazy("Drainage in front"), ("none", "channel", "falls_away", "gully"))
    ground_fall = choice(gettext_lazy("Ground in front falls"), ("away", "to_the_door", "level"))
    reveal_depth = length(gettext_lazy("Depth of the reveal"))
    frame_position = length(gettext_lazy("Frame behind the wall's face"))
    cavity = choice(gettext_lazy("Cavity"), ("none", "open", "closed", "insulated"))
    stack_room = length(
        gettext_lazy("Room for the folded leaves"),
        help_text=gettext_lazy("Free depth out from the wall that they fold out of."),
    )
    obstruction_places = PlacesField(
        label=gettext_lazy("In the way of the leaves"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy(
            "What stands higher than the sill, one on each line: what it is, mm from the left edge "
            "of the opening seen from outside, mm out from the wall, mm wide, such as downpipe, "
            "-150, 40, 110. Add: inside, where it stands there."
        ),
    )
    access = some_of(gettext_lazy("Way in for the doorset"), asked.ACCESS)
    way_in_passage_width = length(gettext_lazy("Narrowest passage, clear width"))
    way_in_passage_height = length(gettext_lazy("Lowest ceiling on the way in"))
    way_in_doorway_width = length(gettext_lazy("Narrowest doorway, clear width"))
    way_in_doorway_height = length(gettext_lazy("Lowest doorway, clear height"))
    way_in_corners = CornersField(
        label=gettext_lazy("Right-angled corners"),
        required=False,
        help_text=gettext_lazy(
            "Clear widths of the passages before and after each, such as 900 x 1000; 950 x 950. A "
            "doorway in the side of a passage counts as one. None there: 0."
        ),
    )
    way_in_steps = count(gettext_lazy("Steps on the way in"))
    way_in_distance = distance(gettext_lazy("From unloading to the opening"))
    notifiable = choice(gettext_lazy("Notifiable to building control"), ("yes", "no", "not_known"))
    trickle_ventilation_present = yes_or_no(gettext_lazy("Background ventilators in the old door"))
    notes = forms.CharField(
        label=gettext_lazy("Notes"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    # What is one value in the JSON and several fields here.
    OF_SIDES = ("substrate", "allowances")
    WAY_IN = "way_in_"
    # No corner is an answer; an empty list of anything else says nothing.
    EMPTY_IS_SAID = ("way_in_corners",)

    def conditions(self) -> dict[str, Any]:
        """The conditions as the endpoint takes them; what stayed empty is not recorded."""
        given = {name: self._given(name) for name in ConditionFields.base_fields}
        given = {name: value for name, value in given.items() if value is not None}
        way_in = [name for name in given if name.startswith(self.WAY_IN)]
        if way_in:
            given["way_in"] = {name.removeprefix(self.WAY_IN): given.pop(name) for name in way_in}
        for name in self.OF_SIDES:
            sides = {side: given.pop(f"{name}_{side}", None) for side in SIDES}
            typed = {side: value for side, value in sides.items() if value is not None}
            if typed:
                # A finish that was named for one side is none on the others.
                given[name] = typed if name == "substrate" else dict.fromkeys(SIDES, 0) | typed
        return given

    def _given(self, name: str) -> Any:
        """What a field holds; None where it says nothing."""
        value = self.cleaned_data.get(name)
        if value == "" or (value == [] and name not in self.EMPTY_IS_SAID):
            return None
        return value

    @property
    def decisive(self) -> Iterator[tuple[forms.BoundField, str]]:
        """Fields that must be answered, each with its unit."""
        return ((f, unit) for f, unit in self._condition_fields() if f.field.required)

    @property
    def further(self) -> Iterator[tuple[forms.BoundField, str]]:
        """Optional fields, each with its unit."""
        return ((f, unit) for f, unit in self._condition_fields() if not f.field.required)

    @property
    def further_in_use(self) -> bool:
        return any(bound.errors or bound.value() for bound, _ in self.further)

    def _condition_fields(self) -> Iterator[tuple[forms.BoundField, str]]:
        for name, field in ConditionFields.base_fields.items():
            yield self[name], getattr(field, "unit", "")


def fields_of(conditions: dict[str, Any]) -> dict[str, Any]:
    """Stored conditions as initial values of the fields."""
    initial: dict[str, Any] = {}
    for name, value in conditions.items():
        if isinstance(value, dict):
            initial |= {f"{name}_{part}": plainly(inner) for part, inner in value.items()}
        elif isinstance(value, bool):
            initial[name] = "yes" if value else "no"
        else:
            initial[name] = plainly(value)
    return initial


def plainly(value: Any) -> Any:
    """3612.0 as 3612, as it was typed."""
    return int(value) if isinstance(value, float) and value.is_integer() else value
