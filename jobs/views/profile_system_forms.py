"""What the office types about a profile system: figures of its maker, and what may be ordered."""

from typing import Any

from django import forms

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
ONE_A_LINE = "One on each line."


def _figure(name: str, label: str) -> Any:
    return quantity_field(ProfileSystemDataSerializer, name, label=label)


def _lines(label: str, **options: Any) -> forms.CharField:
    area = forms.Textarea(attrs={"rows": 4})
    options.setdefault("help_text", ONE_A_LINE)
    return forms.CharField(max_length=4000, label=label, widget=area, **options)


class ProfileSystemForm(ChangeableForm):
    """Figures one by one; each list of what may be ordered as lines."""

    name = forms.CharField(max_length=80, label="Name")
    material = forms.ChoiceField(choices=ProfileSystem.Material.choices, label="Frame made of")

    frame_face = _figure("frame_face", "Face of the frame")
    sash_face = _figure("sash_face", "Face of a sash")
    leaf_gap = _figure("leaf_gap", "Gap beside a leaf")
    glass_edge_cover = _figure("glass_edge_cover", "Cover of the glass edge")

    frame_mass_per_metre = _figure("frame_mass_per_metre", "Mass of the frame")
    sash_mass_per_metre = _figure("sash_mass_per_metre", "Mass of a sash profile")
    hardware_mass_per_leaf = _figure("hardware_mass_per_leaf", "Hardware of a leaf")
    sashes = forms.ChoiceField(choices=ProfileSystem.Sashes.choices, label="Sashes come")
    glass = forms.ChoiceField(choices=ProfileSystem.Glass.choices, label="Glass comes")

    largest_leaf_width = _figure("largest_leaf_width", "Widest leaf")
    largest_leaf_height = _figure("largest_leaf_height", "Tallest leaf")
    largest_leaf_mass = _figure("largest_leaf_mass", "Heaviest leaf")

    carrier_adjustment_range = _figure("carrier_adjustment_range", "Adjustment of a carrier")
    lift_per_turn = _figure("lift_per_turn", "Lift of a whole turn")
    removable_track_end = _figure("removable_track_end", "Track that stays at each end")
    through_track = forms.BooleanField(
        required=False, label="Head fixed through the track, countersunk"
    )
    in_channel = forms.BooleanField(
        required=False, label="Head fixed in the channel behind the removable track"
    )
    toe_and_heel_device = forms.BooleanField(
        required=False, label="A sash has a device to toe and heel its glass"
    )

    frame_u = _figure("frame_u", "U of frame and sash")
    psi = _figure("psi", "Psi of the glass edge")

    colours = _lines("Colours")
    handles = _lines("Handles")
    thresholds = _lines(
        "Thresholds",
        help_text="One on each line: its name, a comma, its upstand in mm, such as low, 12.",
    )
    ventilators = _lines("Ventilators", required=False)

    @classmethod
    def showing(cls, system: ProfileSystem) -> dict[str, Any]:
        """A system's figures and lists as the form writes them."""
        lists = ("colours", "handles", "ventilators")
        thresholds = system.choices.get("thresholds", [])
        return {
            **{name: getattr(system, name) for name in ("version", "name", "material")},
            **{name: getattr(system, name) for name in FIGURES},
            **{method: method in system.head_fixing for method in Doorset.HeadFixing.values},
            **{name: "\n".join(system.choices.get(name, [])) for name in lists},
            "thresholds": "\n".join(f"{one['name']}, {one['upstand']:g}" for one in thresholds),
        }

    @property
    def system(self) -> dict[str, Any]:
        """The values of a profile system as its service takes them."""
        figures = {name: self.cleaned_data.get(name) for name in FIGURES}
        choices = {name: self.cleaned_data[name] for name in LISTS}
        return figures | {
            "name": self.cleaned_data["name"],
            "material": self.cleaned_data["material"],
            "head_fixing": self._head_fixing(),
            "choices": choices,
        }

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if not self._head_fixing():
            self.add_error(
                "through_track", "say how the head is fixed: this way, the other or both"
            )
        return found

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
    """What stands on each line, without empty ones and repeats."""
    return list(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))


def _threshold(line: str) -> Any:
    name, comma, upstand = line.rpartition(",")
    if not comma:
        raise forms.ValidationError(f"{line}: give its upstand in mm too, such as {line}, 12")
    return read_as(
        ThresholdChoiceSerializer(), {"name": name.strip(), "upstand": number(upstand.strip())}
    )
