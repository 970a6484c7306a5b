"""What the office types to draft a doorset."""

from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.api.doorset_serializers import FrameSizeSerializer
from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import parse_fold
from jobs.models import Doorset, ProfileSystem
from jobs.services.doorsets import CHOSEN_FROM_LISTS
from jobs.translation import translated
from jobs.views.glazing_forms import GlazedForm
from jobs.views.quantities import quantity_field

# What may be ordered depends on the profile system; none of it changes the drawing.
OFFERED = ("head_fixing", "threshold", *CHOSEN_FROM_LISTS)
UNDRAWN = ("keyed_alike", "energy_band", "security_evidence")
Choices = list[tuple[str, str]]


def _offered(label: Any, **options: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, **options)


class DoorsetForm(GlazedForm):
    """Fields of the drawing first, then those that depend on the profile system."""

    profile_system = forms.ModelChoiceField(
        queryset=ProfileSystem.objects.none(), label=_("Profile system"), empty_label=_("choose")
    )
    fold = forms.CharField(
        max_length=9,
        label=_("Fold"),
        help_text=_("Leaves-left-right, seen from outside, such as 5-3-2."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    opens = forms.ChoiceField(
        choices=[("", _("choose")), ("out", _("outwards")), ("in", _("inwards"))],
        label=_("Opens"),
    )
    frame_width = quantity_field(FrameSizeSerializer, "width", label=_("Frame width"))
    frame_height = quantity_field(FrameSizeSerializer, "height", label=_("Frame height"))
    head_fixing = _offered(_("Head fixing"))
    threshold = _offered(_("Threshold"))
    colour_inside = _offered(_("Colour inside"))
    colour_outside = _offered(_("Colour outside"))
    handle = _offered(_("Handle"))
    ventilator = _offered(_("Ventilator"), required=False)
    keyed_alike = forms.BooleanField(required=False, label=_("Keyed alike"))
    energy_band = forms.ChoiceField(
        choices=[("", _("not asked for")), *Doorset.EnergyBand.choices],
        required=False,
        label=_("Energy rating, declared band"),
        help_text=_("For a replacement another way to keep to the regulations than its U."),
    )
    security_evidence = forms.CharField(
        max_length=120,
        required=False,
        label=_("Security, evidence of the maker"),
        help_text=_("Asked of new dwellings: a test by PAS 24, say, and its number."),
    )

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
        names = ("opens", "frame_width", "frame_height", *UNDRAWN, "fold", *OFFERED)
        return {
            **{name: getattr(doorset, name) for name in names},
            "profile_system": doorset.profile_system_id,
            **cls.showing_glazing(doorset.glazing),
        }

    @property
    def order(self) -> dict[str, Any]:
        """What is to be ordered, as the service takes it."""
        names = ("profile_system", "fold", "opens", "glazing", *UNDRAWN, *OFFERED)
        frame = {side: self.cleaned_data[f"frame_{side}"] for side in ("width", "height")}
        return {name: self.cleaned_data[name] for name in names} | {"frame": frame}

    @property
    def upstand(self) -> float | None:
        """Of the chosen threshold, mm; None while none is chosen."""
        offered = self.chosen_system.choices.get("thresholds", []) if self.chosen_system else []
        upstands = {threshold["name"]: float(threshold["upstand"]) for threshold in offered}
        return upstands.get(self.cleaned_data["threshold"])

    @property
    def shows_other_choices(self) -> bool:
        """Whether another system was chosen since the page's choices were written down; the page
        says in `offered_by` whose they are."""
        chosen = str(self.chosen_system.pk) if self.chosen_system else ""
        return chosen != self.data.get("offered_by", "")

    def clean_fold(self) -> str:
        fold: str = self.cleaned_data["fold"]
        try:
            parse_fold(fold)
        except UnusableInput as error:
            raise forms.ValidationError(translated(error.detail)) from error
        return fold


def _chosen(systems: QuerySet[ProfileSystem], key: Any) -> ProfileSystem | None:
    return next((system for system in systems if str(system.pk) == str(key)), None)


def _choices(system: ProfileSystem | None) -> dict[str, Choices]:
    """What a system offers, for each field that chooses from it."""
    if system is None:
        return {name: [("", gettext("choose the profile system first"))] for name in OFFERED}
    methods = dict(Doorset.HeadFixing.choices)
    fixings = [(method, str(methods[method])) for method in system.head_fixing]
    thresholds = [
        (threshold["name"], f"{threshold['name']}, {threshold['upstand']:g} mm")
        for threshold in system.choices.get("thresholds", [])
    ]
    lists = {
        field: [(choice, choice) for choice in system.choices.get(offered, [])]
        for field, offered in CHOSEN_FROM_LISTS.items()
    }
    offered = {"head_fixing": fixings, "threshold": thresholds, **lists}
    return {name: _with_none(name, choices) for name, choices in offered.items()}


def _with_none(name: str, choices: Choices) -> Choices:
    """Where there is only one to choose, it is chosen."""
    if name == "ventilator":
        return [("", gettext("none")), *choices]
    return choices if len(choices) == 1 else [("", gettext("choose")), *choices]
