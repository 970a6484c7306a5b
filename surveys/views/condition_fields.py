"""What is asked about an opening besides its readings, as fields of a form.

The limits are those of the endpoint: what is typed here becomes the same JSON and is checked there.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.code_labels import code_label
from jobs.translation import Text
from surveys.api import conditions as asked
from surveys.typed_lists import corners_as_typed, places_as_typed, read_corners, read_places

CHOOSE_ONE = {"required": gettext_lazy("choose one; it decides what happens on the day")}
SIDES = ("left", "right", "head", "sill")
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


class TypedListField(forms.CharField):
    """A list that is typed: `read` makes it of text, `as_typed` text of it."""

    def __init__(
        self,
        read: Callable[[str], list[Any]],
        as_typed: Callable[[list[Any]], str],
        **options: Any,
    ) -> None:
        self.read, self.as_typed = read, as_typed
        super().__init__(required=False, **options)

    def clean(self, value: Any) -> list[dict[str, Any]] | None:
        typed = super().clean(value).strip()
        try:
            return self.read(typed) if typed else None
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from wrong

    def prepare_value(self, value: Any) -> Any:
        """As it was typed, from what a survey holds."""
        return self.as_typed(value) if isinstance(value, list) else value


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


class SeveralOf(forms.CheckboxSelectMultiple):
    """Each box has its own place in the list that they make in the JSON."""

    def create_option(self, *given: Any, **options: Any) -> dict[str, Any]:
        option = super().create_option(*given, **options)
        if path := option["attrs"].get("data-path"):
            option["attrs"]["data-path"] = f"{path}.{option['index']}"
        return option


def some_of(label: Text, choices: Iterable[str]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        required=False,
        choices=lambda: list(_labelled(choices)),
        widget=SeveralOf,
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


@dataclass(frozen=True, slots=True)
class AskedGroup:
    """Questions that are asked for one reason; each with its unit."""

    title: Text
    why: Text
    fields: list[tuple[forms.BoundField, str]]


@dataclass(frozen=True, slots=True)
class _Group:
    title: Text
    why: Text
    names: tuple[str, ...]


GROUPS = (
    _Group(
        gettext_lazy("Safety"),
        gettext_lazy("Here somebody can be hurt: it decides whether anything is opened up at all."),
        ("asbestos_suspected", "built", "outside_drop"),
    ),
    _Group(
        gettext_lazy("The wall"),
        gettext_lazy("It decides who has to look at it before the old door comes out."),
        ("lintel_seen", "damp_proof_course", "measured_to"),
    ),
    _Group(
        gettext_lazy("What it is fixed to"),
        gettext_lazy("It decides the fixings, how deep they go, and how near to the edge."),
        ("substrate_left", "substrate_right", "substrate_head", "substrate_sill"),
    ),
)


class ConditionFields(forms.Form):
    """Fields named as in the JSON; `substrate_left` and its like are the parts of one value."""

    # Names of those that are known already.
    carried: Collection[str] = ()

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
        gettext_lazy("Damp-proof course"),
        ("ok", "damaged", "missing", "not_seen"),
        required=True,
        help_text=gettext_lazy("A damaged one is made good before anything stands on it."),
    )
    outside_drop = length(
        gettext_lazy("Ground outside lies lower by"),
        required=True,
        help_text=gettext_lazy(
            "From the sill down to the ground in front of it; 0 where it is level."
        ),
    )
    measured_to = choice(
        gettext_lazy("Measured to"),
        ("structural", "finished"),
        required=True,
        help_text=gettext_lazy("Plaster or tiles that are still to come make the opening smaller."),
    )
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
        widget=SeveralOf,
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
    obstruction_places = TypedListField(
        read_places,
        places_as_typed,
        label=gettext_lazy("In the way of the leaves"),
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
    way_in_corners = TypedListField(
        read_corners,
        corners_as_typed,
        label=gettext_lazy("Right-angled corners"),
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
                given[name] = typed
        return given

    def _given(self, name: str) -> Any:
        """What a field holds; None where it says nothing."""
        value = self.cleaned_data.get(name)
        if value == "" or (value == [] and name not in self.EMPTY_IS_SAID):
            return None
        return value

    def say_where(self) -> None:
        """Where each stands in the JSON of a survey, and as what it is sent there."""
        for name in ConditionFields.base_fields:
            field = self.fields[name]
            field.widget.attrs["data-path"] = path_of(name)
            if kind := sent_as(field):
                field.widget.attrs["data-as"] = kind

    def carry(self, names: Collection[str]) -> None:
        """These are known from an earlier survey, and not asked again unless somebody wants to."""
        known = dict.fromkeys(names)
        self.carried = [name for name in known if self.initial.get(name) not in (None, "")]

    @property
    def decisive_groups(self) -> list[AskedGroup]:
        """What must be answered and is not known yet, in groups, each with why it is asked."""
        groups = [
            AskedGroup(group.title, group.why, self._asked(group.names, self.carried))
            for group in GROUPS
        ]
        return [group for group in groups if group.fields]

    @property
    def known_groups(self) -> list[AskedGroup]:
        """What stays as it was found before."""
        known = [name for name in self.carried if self.fields[name].required]
        fields = self._asked(known, ())
        return [AskedGroup(_("As found before"), "", fields)] if fields else []

    @property
    def known_in_words(self) -> list[tuple[str, str]]:
        """Label and answer of each of them."""
        return [
            (str(bound.label), _in_words(bound)) for g in self.known_groups for bound, _ in g.fields
        ]

    @property
    def known_is_wrong(self) -> bool:
        return any(bound.errors for group in self.known_groups for bound, _ in group.fields)

    def _asked(
        self, names: Iterable[str], without: Collection[str]
    ) -> list[tuple[forms.BoundField, str]]:
        return [
            (self[name], getattr(self.fields[name], "unit", ""))
            for name in names
            if name not in without
        ]

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


def path_of(name: str) -> str:
    """`conditions.substrate.left` of the field `substrate_left`."""
    for whole in (*ConditionFields.OF_SIDES, ConditionFields.WAY_IN.removesuffix("_")):
        if name.startswith(f"{whole}_"):
            return f"conditions.{whole}.{name.removeprefix(f'{whole}_')}"
    return f"conditions.{name}"


def sent_as(field: forms.Field) -> str:
    """As what a script sends it; empty for text."""
    if isinstance(field, forms.IntegerField) and not isinstance(field, forms.FloatField):
        return "integer"
    if isinstance(field, forms.FloatField):
        return "number"
    return "boolean" if isinstance(field, forms.TypedChoiceField) else ""


def _in_words(bound: forms.BoundField) -> str:
    value = str(bound.value())
    return str(dict(getattr(bound.field, "choices", ())).get(value, value))


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
