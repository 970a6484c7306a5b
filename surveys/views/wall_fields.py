"""What a survey asks of the walls besides numbers: what they are made of, which end is higher."""

from collections.abc import Iterator

from django import forms
from django.utils.translation import gettext_lazy

from surveys.api.opening_serializers import SURFACES
from surveys.arithmetic.readings import SIDES
from surveys.views.condition_fields import choice

ENDS = ("left", "right", "level")


class WallFields(forms.Form):
    surface_left = choice(gettext_lazy("Left jamb"), SURFACES)
    surface_right = choice(gettext_lazy("Right jamb"), SURFACES)
    surface_head = choice(gettext_lazy("Head"), SURFACES)
    surface_sill = choice(gettext_lazy("Sill"), SURFACES)

    higher_end_sill = choice(gettext_lazy("Higher end of the sill, by eye"), ENDS)
    higher_end_head = choice(gettext_lazy("Higher end of the head, by eye"), ENDS)

    def say_where(self) -> None:
        """Where each stands in the JSON of a survey."""
        for side in SIDES:
            self.fields[f"surface_{side}"].widget.attrs["data-path"] = f"surfaces.{side}"
        for side in ("sill", "head"):
            path = f"readings.higher_end.{side}"
            self.fields[f"higher_end_{side}"].widget.attrs["data-path"] = path

    def surfaces(self) -> dict[str, str]:
        """By side, those that were chosen."""
        return self._chosen("surface", SIDES)

    def higher_end(self) -> dict[str, str]:
        return self._chosen("higher_end", ("sill", "head"))

    def _chosen(self, name: str, sides: tuple[str, ...]) -> dict[str, str]:
        chosen = {side: self.cleaned_data.get(f"{name}_{side}") for side in sides}
        return {side: value for side, value in chosen.items() if value}

    @property
    def surface_fields(self) -> Iterator[forms.BoundField]:
        return (self[f"surface_{side}"] for side in SIDES)

    @property
    def higher_end_fields(self) -> Iterator[forms.BoundField]:
        return (self[f"higher_end_{side}"] for side in ("sill", "head"))
