"""What the office types to draft a doorset."""

from typing import Any, cast

from django import forms
from django.db.models import QuerySet

from jobs.api.doorset_serializers import FrameSizeSerializer
from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import parse_fold
from jobs.models import Doorset, ProfileSystem
from jobs.services.doorsets import CHOSEN_FROM_LISTS
from jobs.views.glazing_forms import GlazedForm
from jobs.views.quantities import quantity_field

# What may be ordered depends on the profile system; none of it changes the drawing.
OFFERED = ("head_fixing", "threshold", *CHOSEN_FROM_LISTS)
Choices = list[tuple[str, str]]


def _offered(label: str, **options: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, **options)


class DoorsetForm(GlazedForm):
    """Fields of the drawing first, then those that depend on the profile system."""

    profile_system = forms.ModelChoiceField(
        queryset=ProfileSystem.objects.none(), label="Profile system", empty_label="choose"
    )
    fold = forms.CharField(
        max_length=9,
        label="Fold",
        help_text="Leaves-left-right, seen from outside, such as 5-3-2.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    opens = forms.ChoiceField(
        choices=[("", "choose"), ("out", "outwards"), ("in", "inwards")], label="Opens"
    )
    frame_width = quantity_field(FrameSizeSerializer, "width", label="Frame width")
    frame_height = quantity_field(FrameSizeSerializer, "height", label="Frame height")
    head_fixing = _offered("Head fixing")
    threshold = _offered("Threshold")
    colour_inside = _offered("Colour inside")
    colour_outside = _offered("Colour outside")
    handle = _offered("Handle")
    ventilator = _offered("Ventilator", required=False)
    keyed_alike = forms.BooleanField(required=False, label="Keyed alike")

    pointers = {"/profile_system/glass_edge_cover": "profile_system"}

    def __init__(
        self,
        *args: Any,
        systems: QuerySet[ProfileSystem],
        only_drawn: bool = False,
        **options: Any,
    ) -> None:
        """`only_drawn`: what the drawing does not need may still be missing."""
        super().__init__(*args, **options)
        cast(forms.ModelChoiceField, self.fields["profile_system"]).queryset = systems
        self.chosen_system = _chosen(systems, self["profile_system"].value())
        for name, choices in _choices(self.chosen_system).items():
            field = cast(forms.ChoiceField, self.fields[name])
            field.choices = choices
            field.required = field.required and not only_drawn

    @classmethod
    def showing(cls, doorset: Doorset) -> dict[str, Any]:
        """The values of a doorset, but for its version."""
        names = ("opens", "frame_width", "frame_height", "keyed_alike", "fold", *OFFERED)
        return {
            **{name: getattr(doorset, name) for name in names},
            "profile_system": doorset.profile_system_id,
            **cls.showing_glazing(doorset.glazing),
        }

    @property
    def order(self) -> dict[str, Any]:
        """What is to be ordered, as the service takes it."""
        names = ("profile_system", "fold", "opens", "glazing", "keyed_alike", *OFFERED)
        frame = {side: self.cleaned_data[f"frame_{side}"] for side in ("width", "height")}
        return {name: self.cleaned_data[name] for name in names} | {"frame": frame}

    @property
    def upstand(self) -> float | None:
        """Of the chosen threshold, mm; None while none is chosen."""
        offered = self.chosen_system.choices.get("thresholds", []) if self.chosen_system else []
        upstands = {one["name"]: float(one["upstand"]) for one in offered}
        return upstands.get(self.cleaned_data["threshold"])

    @property
    def shows_other_choices(self) -> bool:
        """Whether another system was chosen since the page's choices were written down; the page
        says in `offered_by` whose they are."""
        chosen = str(self.chosen_system.pk) if self.chosen_system else ""
        return chosen != self.data.get("offered_by", "")

    def clean_fold(self) -> str:
        given: str = self.cleaned_data["fold"]
        try:
            parse_fold(given)
        except UnusableInput as unusable:
            raise forms.ValidationError(unusable.detail) from unusable
        return given


def _chosen(systems: QuerySet[ProfileSystem], given: Any) -> ProfileSystem | None:
    return next((system for system in systems if str(system.pk) == str(given)), None)


def _choices(system: ProfileSystem | None) -> dict[str, Choices]:
    """What a system offers, for each field that chooses from it."""
    if system is None:
        return {name: [("", "choose the profile system first")] for name in OFFERED}
    methods = dict(Doorset.HeadFixing.choices)
    fixings = [(method, str(methods[method])) for method in system.head_fixing]
    thresholds = [
        (one["name"], f"{one['name']}, {one['upstand']:g} mm")
        for one in system.choices.get("thresholds", [])
    ]
    lists = {
        field: [(one, one) for one in system.choices.get(offered, [])]
        for field, offered in CHOSEN_FROM_LISTS.items()
    }
    offered = {"head_fixing": fixings, "threshold": thresholds, **lists}
    return {name: _with_none(name, choices) for name, choices in offered.items()}


def _with_none(name: str, choices: Choices) -> Choices:
    """Where there is only one to choose, it is chosen."""
    if name == "ventilator":
        return [("", "none"), *choices]
    return choices if len(choices) == 1 else [("", "choose"), *choices]
