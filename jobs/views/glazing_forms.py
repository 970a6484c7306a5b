"""Glazing as plain fields: panes from outside to inside, and the cavities between them."""

import re
from collections.abc import Iterator
from typing import Any

from django import forms

from jobs.api.doorset_serializers import GlazingLayerSerializer, GlazingSerializer
from jobs.api.fields import QuantityField
from jobs.views.forms import ChangeableForm
from jobs.views.quantities import QuantityFormField, quantity_field

# As many as a body of the API can hold; the usual two are in sight, more are a click away.
PANES = 4
USUAL_PANES = 2
SAFETY = (
    ("", "choose"),
    ("toughened", "toughened"),
    ("laminated", "laminated"),
    ("none", "neither"),
)
COATED_FACES = (("", "none, or to the cavity"), ("outward", "outward"), ("inward", "inward"))
OF_A_PANE = ("glass", "safety", "emissivity", "coated_face")
OF_A_CAVITY = ("cavity", "argon", "krypton")


class GlazedForm(ChangeableForm):
    """Adds `pane_1_glass` ... `cavity_1_cavity` ..., and gathers them as `glazing` of the API."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for number in range(1, PANES + 1):
            self.fields |= _pane_fields(number)
            if number < PANES:
                self.fields |= _cavity_fields(number)
        self.fields["u_glass"] = quantity_field(
            GlazingSerializer,
            "u_glass",
            required=False,
            label="U of the glass, declared",
            help_text="Empty: worked out to EN 673.",
        )

    @classmethod
    def showing_glazing(cls, glazing: dict[str, Any]) -> dict[str, Any]:
        """The fields' values for glazing as it is stored."""
        found = {"u_glass": glazing.get("u_glass")}
        for index, layer in enumerate(glazing["layers"]):
            found |= _shown_cavity(index, layer) if index % 2 else _shown_pane(index, layer)
        return found

    def clean(self) -> dict[str, Any]:
        found: dict[str, Any] = super().clean() or self.cleaned_data
        panes = [n for n in range(1, PANES + 1) if found.get(f"pane_{n}_glass") is not None]
        self._check_panes(panes)
        self._check_cavities(len(panes))
        found["glazing"] = {"layers": list(self._layers(len(panes)))}
        if found.get("u_glass") is not None:
            found["glazing"]["u_glass"] = found["u_glass"]
        return found

    def layers_shown(self) -> list[dict[str, Any]]:
        """The bound fields of each pane with the cavity before it, from outside."""
        return [
            {
                "pane": [self[f"pane_{n}_{name}"] for name in OF_A_PANE],
                "cavity": [self[f"cavity_{n - 1}_{name}"] for name in OF_A_CAVITY if n > 1],
            }
            for n in range(1, PANES + 1)
        ]

    def usual_layers(self) -> list[dict[str, Any]]:
        return self.layers_shown()[:USUAL_PANES]

    def further_layers(self) -> list[dict[str, Any]]:
        return self.layers_shown()[USUAL_PANES:]

    def has_further_layers(self) -> bool:
        """Whether anything stands in the fields that are out of sight."""
        fields = (bound for layer in self.further_layers() for bound in layer["pane"])
        cavities = (bound for layer in self.further_layers() for bound in layer["cavity"])
        return any(bound.value() or bound.errors for bound in (*fields, *cavities))

    def _check_panes(self, panes: list[int]) -> None:
        last = max(panes, default=1)
        for number in range(1, last + 1):
            if number not in panes:
                self._missing(f"pane_{number}_glass", "panes follow each other; this one is empty")
            elif not self.cleaned_data.get(f"pane_{number}_safety"):
                self._missing(f"pane_{number}_safety", "say whether it is safety glass")

    def _check_cavities(self, panes: int) -> None:
        for number in range(1, PANES):
            given = self.cleaned_data.get(f"cavity_{number}_cavity") is not None
            if number < panes and not given:
                told = f"give the cavity between panes {number} and {number + 1}"
                self._missing(f"cavity_{number}_cavity", told)
            elif number >= panes and given:
                told = f"pane {number + 1} is missing, which closes this cavity"
                self._missing(f"cavity_{number}_cavity", told)
            if self._air_share(number) < 0:
                told = "argon and krypton are more than 100 % together"
                self._missing(f"cavity_{number}_argon", told)

    def _missing(self, name: str, told: str) -> None:
        """Unless the field has its own complaint already."""
        if name not in self.errors:
            self.add_error(name, told)

    def _layers(self, panes: int) -> Iterator[dict[str, Any]]:
        for number in range(1, panes + 1):
            if number > 1:
                yield self._cavity(number - 1)
            yield self._pane(number)

    def _pane(self, number: int) -> dict[str, Any]:
        given = {name: self.cleaned_data.get(f"pane_{number}_{name}") for name in OF_A_PANE}
        return {name: value for name, value in given.items() if value not in (None, "")}

    def _cavity(self, number: int) -> dict[str, Any]:
        shares = {
            "argon": self._share(number, "argon"),
            "krypton": self._share(number, "krypton"),
            "air": self._air_share(number),
        }
        width = self.cleaned_data.get(f"cavity_{number}_cavity")
        return {"cavity": width, "gas": {gas: share for gas, share in shares.items() if share}}

    def _share(self, number: int, gas: str) -> float:
        percent: float | None = self.cleaned_data.get(f"cavity_{number}_{gas}")
        return round((percent or 0.0) / 100, 6)

    def _air_share(self, number: int) -> float:
        return round(1 - self._share(number, "argon") - self._share(number, "krypton"), 6)

    def _field_of(self, pointer: str) -> str | None:
        found = re.fullmatch(r"/glazing/layers/(\d+)(?:/(\w+))?", pointer)
        if not found:
            return super()._field_of(pointer)
        index, name = int(found[1]), found[2]
        if index % 2:
            return f"cavity_{(index + 1) // 2}_{'argon' if name == 'gas' else 'cavity'}"
        return f"pane_{index // 2 + 1}_{name or 'glass'}"


def _pane_fields(number: int) -> dict[str, forms.Field]:
    place = f"Pane {number}"
    glass = quantity_field(
        GlazingLayerSerializer,
        "glass",
        required=number == 1,
        label=f"{place}, outermost" if number == 1 else place,
    )
    emissivity = quantity_field(
        GlazingLayerSerializer,
        "emissivity",
        required=False,
        label=f"{place}, emissivity",
        help_text="Empty: uncoated.",
    )
    emissivity.unit = ""
    return {
        f"pane_{number}_glass": glass,
        f"pane_{number}_safety": forms.ChoiceField(
            choices=SAFETY, required=False, label=f"{place}, safety"
        ),
        f"pane_{number}_emissivity": emissivity,
        f"pane_{number}_coated_face": forms.ChoiceField(
            choices=COATED_FACES, required=False, label=f"{place}, coated face"
        ),
    }


def _cavity_fields(number: int) -> dict[str, forms.Field]:
    place = f"Cavity {number}"
    width = quantity_field(GlazingLayerSerializer, "cavity", required=False, label=place)
    return {
        f"cavity_{number}_cavity": width,
        f"cavity_{number}_argon": _percentage(f"{place}, argon"),
        f"cavity_{number}_krypton": _percentage(f"{place}, krypton"),
    }


def _percentage(label: str) -> QuantityFormField:
    rest = "The rest is air."
    return QuantityFormField(
        QuantityField("%", 0, 100), required=False, label=label, help_text=rest
    )


def _shown_pane(index: int, layer: dict[str, Any]) -> dict[str, Any]:
    filled = {"safety": "none"} | layer
    return {f"pane_{index // 2 + 1}_{name}": value for name, value in filled.items()}


def _shown_cavity(index: int, layer: dict[str, Any]) -> dict[str, Any]:
    number = (index + 1) // 2
    gas = layer.get("gas", {})
    shares = {
        f"cavity_{number}_{name}": round(100 * gas[name], 4)
        for name in ("argon", "krypton")
        if gas.get(name)
    }
    return {f"cavity_{number}_cavity": layer["cavity"]} | shares
