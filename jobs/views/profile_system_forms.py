"""What the office types about a profile system: figures of its maker, and what may be ordered."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.api.doorset_serializers import (
    OrderChoicesSerializer,
    ProfileSystemDataSerializer,
    ThresholdChoiceSerializer,
)
from jobs.models import Doorset, ProfileSystem
from jobs.views.forms import ChangeableForm
from jobs.views.quantities import number, quantity_field, read_as

FIGURES = tuple(map(str, ProfileSystemDataSerializer().fields))
LISTS = tuple(map(str, OrderChoicesSerializer().fields))
ONE_A_LINE = _("One on each line.")


def _figure(name: str, label: Any, **options: Any) -> Any:
    return quantity_field(ProfileSystemDataSerializer, name, label=label, **options)


def _lines(label: Any, **options: Any) -> forms.CharField:
    area = forms.Textarea(attrs={"rows": 4})
    options.setdefault("help_text", ONE_A_LINE)
    return forms.CharField(max_length=4000, label=label, widget=area, **options)


class ProfileSystemForm(ChangeableForm):
    """Figures one by one; each list of what may be ordered as lines."""

    name = forms.CharField(max_length=80, label=_("Name"))
    material = forms.ChoiceField(choices=ProfileSystem.Material.choices, label=_("Frame made of"))

    reinforced = forms.BooleanField(
        required=False,
        label=_("Steel inside the profiles"),
        help_text=_("Of PVC-U, which then grows about half as much in the sun."),
    )

    frame_face = _figure("frame_face", _("Face of the frame"))
    frame_depth = _figure("frame_depth", _("Depth of the frame, through the wall"), required=False)
    sash_face = _figure("sash_face", _("Face of a sash"))
    leaf_gap = _figure("leaf_gap", _("Gap beside a leaf"))
    glass_edge_cover = _figure("glass_edge_cover", _("Cover of the glass edge"))

    frame_mass_per_metre = _figure("frame_mass_per_metre", _("Mass of the frame"))
    sash_mass_per_metre = _figure("sash_mass_per_metre", _("Mass of a sash profile"))
    hardware_mass_per_leaf = _figure("hardware_mass_per_leaf", _("Hardware of a leaf"))
    sashes = forms.ChoiceField(choices=ProfileSystem.Sashes.choices, label=_("Sashes come"))
    glass = forms.ChoiceField(choices=ProfileSystem.Glass.choices, label=_("Glass comes"))

    largest_leaf_width = _figure("largest_leaf_width", _("Widest leaf"))
    largest_leaf_height = _figure("largest_leaf_height", _("Tallest leaf"))
    largest_leaf_mass = _figure("largest_leaf_mass", _("Heaviest leaf"))

    carrier_adjustment_range = _figure("carrier_adjustment_range", _("Adjustment of a carrier"))
    lift_per_turn = _figure("lift_per_turn", _("Lift of a whole turn"))
    removable_track_end = _figure("removable_track_end", _("Track that stays at each end"))
    through_track = forms.BooleanField(
        required=False, label=_("Head fixed through the track, countersunk")
    )
    in_channel = forms.BooleanField(
        required=False, label=_("Head fixed in the channel behind the removable track")
    )
    toe_and_heel_device = forms.BooleanField(
        required=False, label=_("A sash has a device to toe and heel its glass")
    )

    frame_u = _figure("frame_u", _("U of frame and sash"))
    psi = _figure("psi", _("Psi of the glass edge"))

    colours = _lines(_("Colours"))
    handles = _lines(_("Handles"))
    thresholds = _lines(
        _("Thresholds"),
        help_text=_("One on each line: its name, a comma, its upstand in mm, such as low, 12."),
    )
    ventilators = _lines(_("Ventilators"), required=False)

    @classmethod
    def showing(cls, system: ProfileSystem) -> dict[str, Any]:
        """A system's figures and lists as the form writes them."""
        lists = ("colours", "handles", "ventilators")
        thresholds = system.choices.get("thresholds", [])
        return {
            **{
                name: getattr(system, name)
                for name in ("version", "name", "material", "reinforced")
            },
            **{name: getattr(system, name) for name in FIGURES},
            **{method: method in system.head_fixing for method in Doorset.HeadFixing.values},
            **{name: "\n".join(system.choices.get(name, [])) for name in lists},
            "thresholds": "\n".join(
                f"{threshold['name']}, {threshold['upstand']:g}" for threshold in thresholds
            ),
        }

    @property
    def system(self) -> dict[str, Any]:
        """The values of a profile system as its service takes them."""
        figures = {name: self.cleaned_data.get(name) for name in FIGURES}
        choices = {name: self.cleaned_data[name] for name in LISTS}
        return figures | {
            "name": self.cleaned_data["name"],
            "material": self.cleaned_data["material"],
            "reinforced": self._is_pvc_u() and self.cleaned_data["reinforced"],
            "head_fixing": self._head_fixing(),
            "choices": choices,
        }

    def _is_pvc_u(self) -> bool:
        return str(self.cleaned_data.get("material")).startswith("pvc_u")

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if not self._head_fixing():
            message = gettext("say how the head is fixed: this way, the other or both")
            self.add_error("through_track", message)
        return values

    def clean_colours(self) -> Any:
        return self._listed("colours")

    def clean_handles(self) -> Any:
        return self._listed("handles")

    def clean_ventilators(self) -> Any:
        return self._listed("ventilators")

    def clean_thresholds(self) -> list[Any]:
        return [_threshold(line) for line in _lines_of(self.cleaned_data["thresholds"])]

    def _listed(self, name: str) -> Any:
        return read_as(OrderChoicesSerializer().fields[name], _lines_of(self.cleaned_data[name]))

    def _head_fixing(self) -> list[str]:
        return [method for method in Doorset.HeadFixing.values if self.cleaned_data.get(method)]


def _lines_of(text: str) -> list[str]:
    """The text of each line, without empty ones and repeats."""
    return list(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))


def _threshold(line: str) -> Any:
    name, comma, upstand = line.rpartition(",")
    if not comma:
        message = gettext("{line}: give its upstand in mm too, such as {line}, 12")
        raise forms.ValidationError(message.format(line=line))
    return read_as(
        ThresholdChoiceSerializer(), {"name": name.strip(), "upstand": number(upstand.strip())}
    )
