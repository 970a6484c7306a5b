"""What a sealed unit is made of, and what follows from that alone: mass and emissivity."""

from dataclasses import dataclass, field
from typing import Any, Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.gases import GASES
from jobs.sentences import sentence

Safety = Literal["toughened", "laminated", "none"]
UNCOATED_NORMAL_EMISSIVITY = 0.89
UNCOATED_EMISSIVITY = 0.837
"""Of uncoated soda lime glass: normal, as it is measured, and corrected, as EN 673 wants it."""
NORMAL_TO_CORRECTED = (1.1887, -0.4967, 0.2452)
"""Factors of the first, second and third power of the normal emissivity (EN 12898:2019)."""
SHARE_ROUNDING = 0.001
GLASS_DENSITY_KG_PER_M2_MM = 2.5
"""2500 kg/m3, EN 572-1 (from memory), so 2.5 kg/m2 for each mm."""


@dataclass(frozen=True, slots=True)
class Pane:
    """`glass` in mm. `emissivity` is the normal one of the coated face, which looks into a cavity,
    as data sheets give it."""

    glass: float
    safety: Safety = "none"
    emissivity: float = UNCOATED_NORMAL_EMISSIVITY
    coated_face: Literal["outward", "inward"] | None = None

    @property
    def coated(self) -> bool:
        """Whether its emissivity is another than that of bare glass, however that was given."""
        return self.emissivity not in (UNCOATED_NORMAL_EMISSIVITY, UNCOATED_EMISSIVITY)


@dataclass(frozen=True, slots=True)
class Cavity:
    """`cavity` in mm; `gas` maps names of gases to their shares, which add up to 1."""

    cavity: float
    gas: dict[str, float] = field(default_factory=lambda: {"air": 1.0})


@dataclass(frozen=True, slots=True)
class Glazing:
    """Layers from outside to inside; `u_glass` in W/(m2 K) where it is declared."""

    layers: tuple[Pane | Cavity, ...]
    u_glass: float | None = None

    @property
    def panes(self) -> tuple[Pane, ...]:
        return tuple(layer for layer in self.layers if isinstance(layer, Pane))

    @property
    def cavities(self) -> tuple[Cavity, ...]:
        return tuple(layer for layer in self.layers if isinstance(layer, Cavity))

    @property
    def glass_thickness(self) -> float:
        """Thickness of all panes together, mm."""
        return sum(pane.glass for pane in self.panes)

    def mass_per_m2(self) -> float:
        """kg/m2 of the panes."""
        return self.glass_thickness * GLASS_DENSITY_KG_PER_M2_MM


def corrected_emissivity(pane: Pane) -> float:
    """The corrected emissivity of a pane's coated face, for what it exchanges in all directions.

    By the polynomial of EN 12898:2019; bare glass has its 0.837 whether 0.89 or that was given.
    """
    if not pane.coated:
        return UNCOATED_EMISSIVITY
    first, second, third = NORMAL_TO_CORRECTED
    normal = pane.emissivity
    return normal * (first + normal * (second + normal * third))


def read_glazing(data: dict[str, Any]) -> Glazing:
    """Glazing from its JSON form. Raises `UnusableInput` below `/glazing` where it cannot be."""
    layers = tuple(_layer(layer) for layer in data["layers"])
    _check_order(layers)
    glazing = Glazing(layers, data.get("u_glass"))
    for index, layer in enumerate(layers):
        if isinstance(layer, Cavity):
            _check_gas(layer, index)
        elif index in (0, len(layers) - 1):
            _check_outer_pane(layer, index, "inward" if index == 0 else "outward")
        elif layer.coated:
            _check_middle_pane(layer, index)
    return glazing


def check_physical(glazing: Glazing) -> None:
    """Raises `UnusableInput` for a layer that no heat could pass by the rules of EN 673."""
    for index, layer in enumerate(glazing.layers):
        if isinstance(layer, Cavity):
            if layer.cavity <= 0:
                raise UnusableInput(f"/glazing/layers/{index}/cavity", sentence("give more than 0"))
        elif not 0 < layer.emissivity <= 1:
            detail = sentence(
                "{emissivity:g} is no emissivity; give more than 0 and at most 1",
                emissivity=layer.emissivity,
            )
            raise UnusableInput(f"/glazing/layers/{index}/emissivity", detail)


def _layer(data: dict[str, Any]) -> Pane | Cavity:
    return Pane(**data) if "glass" in data else Cavity(**data)


def _check_order(layers: tuple[Pane | Cavity, ...]) -> None:
    """Panes and cavities alternate, with a pane outside and a pane inside."""
    for index, layer in enumerate(layers):
        expected = Cavity if index % 2 else Pane
        if not isinstance(layer, expected):
            detail = sentence("panes and cavities alternate, with a pane first and last")
            raise UnusableInput(f"/glazing/layers/{index}", detail)
    if len(layers) % 2 == 0:
        detail = sentence("a pane is first and last; the last is a cavity")
        raise UnusableInput("/glazing/layers", detail)


def _check_gas(cavity: Cavity, index: int) -> None:
    pointer = f"/glazing/layers/{index}/gas"
    unknown = set(cavity.gas) - set(GASES)
    if unknown:
        detail = sentence(
            "{gases} is not known; known: {known}",
            gases=", ".join(sorted(unknown)),
            known=", ".join(GASES),
        )
        raise UnusableInput(pointer, detail)
    total = sum(cavity.gas.values())
    if abs(total - 1) > SHARE_ROUNDING:
        detail = sentence("shares add up to {total:g}, not to 1", total=total)
        raise UnusableInput(pointer, detail)


def _check_outer_pane(pane: Pane, index: int, looks_in: str) -> None:
    """A coating outside the unit is weathered off, or condenses; it counts for nothing."""
    if pane.coated_face not in (None, looks_in):
        raise UnusableInput(
            f"/glazing/layers/{index}/coated_face",
            sentence(
                "the coated face looks into a cavity; of this pane that is {face}", face=looks_in
            ),
        )


def _check_middle_pane(pane: Pane, index: int) -> None:
    if pane.coated_face is None:
        raise UnusableInput(
            f"/glazing/layers/{index}/coated_face",
            sentence("say which face of a middle pane is coated"),
        )
