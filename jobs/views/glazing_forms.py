"""Glazing as plain fields: panes from outside to inside, and the cavities between them."""

import re
from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.api.doorset_serializers import GlazingLayerSerializer, GlazingSerializer
from jobs.api.fields import QuantityField
from jobs.views.forms import ChangeableForm
from jobs.views.quantities import QuantityFormField, quantity_field

# As many as a body of the API can hold; the usual two are in sight, more are a click away.
PANES = 4
USUAL_PANES = 2
SAFETY = (
    ("", gettext_lazy("choose")),
    ("toughened", gettext_lazy("toughened")),
    ("laminated", gettext_lazy("laminated")),
    ("none", gettext_lazy("neither")),
)
COATED_FACES = (
    ("", gettext_lazy("none, or to the cavity")),
    ("outward", gettext_lazy("outward")),
    ("inward", gettext_lazy("inward")),
)
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
            label=_("U of the glass, declared"),
            help_text=_("Empty: calculated to EN 673."),
        )

    @classmethod
    def showing_glazing(cls, glazing: dict[str, Any]) -> dict[str, Any]:
        """The fields' values for glazing as it is stored."""
        values = {"u_glass": glazing.get("u_glass")}
        for index, layer in enumerate(glazing["layers"]):
            values |= _cavity_values(index, layer) if index % 2 else _pane_values(index, layer)
        return values

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        panes = [n for n in range(1, PANES + 1) if values.get(f"pane_{n}_glass") is not None]
        self._check_panes(panes)
        self._check_cavities(len(panes))
        values["glazing"] = {"layers": list(self._layers(len(panes)))}
        if values.get("u_glass") is not None:
            values["glazing"]["u_glass"] = values["u_glass"]
        return values

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
        """Whether the fields that are out of sight have a value or an error."""
        fields = (bound for layer in self.further_layers() for bound in layer["pane"])
        cavities = (bound for layer in self.further_layers() for bound in layer["cavity"])
        return any(bound.value() or bound.errors for bound in (*fields, *cavities))

    def _check_panes(self, panes: list[int]) -> None:
        last = max(panes, default=1)
        for number in range(1, last + 1):
            if number not in panes:
                message = _("panes follow each other; this one is empty")
                self._missing(f"pane_{number}_glass", message)
            elif not self.cleaned_data.get(f"pane_{number}_safety"):
                self._missing(f"pane_{number}_safety", _("say whether it is safety glass"))

    def _check_cavities(self, panes: int) -> None:
        for number in range(1, PANES):
            width, argon = f"cavity_{number}_cavity", f"cavity_{number}_argon"
            has_width = self.cleaned_data.get(width) is not None
            if number < panes and not has_width:
                message = _("give the cavity between panes {before} and {after}")
                self._missing(width, message.format(before=number, after=number + 1))
            elif number >= panes and has_width:
                message = _("pane {number} is missing, which closes this cavity")
                self._missing(width, message.format(number=number + 1))
            if self._air_share(number) < 0:
                self._missing(argon, _("argon and krypton are more than 100 % together"))

    def _missing(self, name: str, message: str) -> None:
        """Unless the field has an error already."""
        if name not in self.errors:
            self.add_error(name, message)

    def _layers(self, panes: int) -> Iterator[dict[str, Any]]:
        for number in range(1, panes + 1):
            if number > 1:
                yield self._cavity(number - 1)
            yield self._pane(number)

    def _pane(self, number: int) -> dict[str, Any]:
        values = {name: self.cleaned_data.get(f"pane_{number}_{name}") for name in OF_A_PANE}
        return {name: value for name, value in values.items() if value not in (None, "")}

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
        match = re.fullmatch(r"/glazing/layers/(\d+)(?:/(\w+))?", pointer)
        if not match:
            return super()._field_of(pointer)
        index, name = int(match[1]), match[2]
        if index % 2:
            return f"cavity_{(index + 1) // 2}_{'argon' if name == 'gas' else 'cavity'}"
        return f"pane_{index // 2 + 1}_{name or 'glass'}"


def _pane_fields(number: int) -> dict[str, forms.Field]:
    place = _("Pane {number}").format(number=number)
    outermost = _("Pane {number}, outermost").format(number=number)
    glass = quantity_field(
        GlazingLayerSerializer,
        "glass",
        required=number == 1,
        label=outermost if number == 1 else place,
    )
    emissivity = quantity_field(
        GlazingLayerSerializer,
        "emissivity",
        required=False,
        label=_("Pane {number}, emissivity").format(number=number),
        help_text=_("The normal emissivity, as its data sheet gives it. Empty: uncoated."),
    )
    emissivity.unit = ""
    return {
        f"pane_{number}_glass": glass,
        f"pane_{number}_safety": forms.ChoiceField(
            choices=SAFETY, required=False, label=_("Pane {number}, safety").format(number=number)
        ),
        f"pane_{number}_emissivity": emissivity,
        f"pane_{number}_coated_face": forms.ChoiceField(
            choices=COATED_FACES,
            required=False,
            label=_("Pane {number}, coated face").format(number=number),
        ),
    }


def _cavity_fields(number: int) -> dict[str, forms.Field]:
    place = _("Cavity {number}").format(number=number)
    width = quantity_field(GlazingLayerSerializer, "cavity", required=False, label=place)
    return {
        f"cavity_{number}_cavity": width,
        f"cavity_{number}_argon": _percentage(_("Cavity {number}, argon").format(number=number)),
        f"cavity_{number}_krypton": _percentage(
            _("Cavity {number}, krypton").format(number=number)
        ),
    }


def _percentage(label: str) -> QuantityFormField:
    rest = _("The rest is air.")
    return QuantityFormField(
        QuantityField("%", 0, 100), required=False, label=label, help_text=rest
    )


def _pane_values(index: int, layer: dict[str, Any]) -> dict[str, Any]:
    filled = {"safety": "none"} | layer
    return {f"pane_{index // 2 + 1}_{name}": value for name, value in filled.items()}


def _cavity_values(index: int, layer: dict[str, Any]) -> dict[str, Any]:
    number = (index + 1) // 2
    gas = layer.get("gas", {})
    shares = {
        f"cavity_{number}_{name}": round(100 * gas[name], 4)
        for name in ("argon", "krypton")
        if gas.get(name)
    }
    return {f"cavity_{number}_cavity": layer["cavity"]} | shares
