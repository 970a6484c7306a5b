"""Thermal transmittance of sealed units (EN 673:2011) and of doorsets (EN ISO 10077-1:2017)."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, log10, pow

from jobs.arithmetic.gases import mixture
from jobs.arithmetic.glazing import (
    UNCOATED_EMISSIVITY,
    Cavity,
    Glazing,
    check_physical,
    corrected_emissivity,
)
from jobs.sentences import sentence

# Boundary conditions of EN 673:2011 (from memory): vertical unit, mean of 283 K, 15 K between the
# panes.
STEFAN_BOLTZMANN = 5.67e-8
MEAN_K = 283.0
DIFFERENCE_K = 15.0
OUTSIDE_W_PER_M2_K = 25.0
INSIDE_W_PER_M2_K = 7.7
GLASS_CONDUCTIVITY_W_PER_M_K = 1.0
GRAVITY_M_PER_S2 = 9.81
VERTICAL_FACTOR, VERTICAL_EXPONENT = 0.035, 0.38
GLASS_SOURCES = (
    "EN 673:2011",
    sentence("EN 12898:2019, normal emissivity corrected"),
)


@dataclass(frozen=True, slots=True)
class Transmittance:
    """`u_value` unrounded and `u_value_reported` as its standard reports it, W/(m2 K): that of
    glass to one decimal (EN 673), of a doorset to two significant figures (EN ISO 10077-1)."""

    u_value: float
    u_value_reported: float
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """Glass or frame of a doorset: area in m2, u in W/(m2 K)."""

    area: float
    u: float


@dataclass(frozen=True, slots=True)
class Edge:
    """Visible perimeter of glass: length in m, psi in W/(m K)."""

    length: float
    psi: float


def two_significant(value: float) -> float:
    """Rounded half up to two significant figures, as EN ISO 10077-1 asks for."""
    step = pow(10.0, floor(log10(value)) - 1)
    # Rounded first: 1.15 is meant as a decimal, and must not fall below its half.
    return round(floor(round(value / step, 9) + 0.5) * step, 10)


def one_decimal(value: float) -> float:
    """Rounded half up to one decimal, as EN 673 asks for."""
    # Rounded first, as above.
    return floor(round(value * 10, 9) + 0.5) / 10


def glazing_u_value(glazing: Glazing) -> Transmittance:
    """Centre-pane U of a sealed unit; a declared `u_glass` goes before the computed one.

    Raises `UnusableInput` for a layer that no U follows from, such as an emissivity of 0.
    """
    if glazing.u_glass is not None:
        declared = (sentence("declared value of the glass"),)
        return Transmittance(glazing.u_glass, one_decimal(glazing.u_glass), declared)
    check_physical(glazing)
    resistance = (
        1 / OUTSIDE_W_PER_M2_K
        + sum(_cavity_resistances(glazing))
        + glazing.glass_thickness / 1000 / GLASS_CONDUCTIVITY_W_PER_M_K
        + 1 / INSIDE_W_PER_M2_K
    )
    u_value = 1 / resistance
    return Transmittance(u_value, one_decimal(u_value), GLASS_SOURCES)


def doorset_u_value(
    glass: Iterable[Part], frame: Iterable[Part], edges: Iterable[Edge]
) -> Transmittance:
    """U = (sum A_g U_g + sum A_f U_f + sum l_g psi_g) / (sum A_g + sum A_f)."""
    parts = [*glass, *frame]
    flow = sum(p.area * p.u for p in parts) + sum(e.length * e.psi for e in edges)
    u_value = flow / sum(p.area for p in parts)
    return Transmittance(u_value, two_significant(u_value), ("EN ISO 10077-1:2017, 6.4.2",))


def _cavity_resistances(glazing: Glazing) -> list[float]:
    """m2 K/W of each cavity; the 15 K are shared among them by resistance, found by iteration."""
    faces = _facing_emissivities(glazing)
    count = len(glazing.cavities)
    differences = [DIFFERENCE_K / count] * count if count else []
    resistances: list[float] = []
    for _ in range(4 if count > 1 else 1):
        resistances = [
            1 / _cavity_conductance(cavity, pair, difference)
            for cavity, pair, difference in zip(glazing.cavities, faces, differences, strict=True)
        ]
        differences = [DIFFERENCE_K * r / sum(resistances) for r in resistances]
    return resistances


def _facing_emissivities(glazing: Glazing) -> list[tuple[float, float]]:
    """Corrected emissivities of the two faces that look into each cavity, outer face first."""
    panes = glazing.panes
    pairs = []
    for outer, inner in zip(range(len(panes) - 1), range(1, len(panes)), strict=True):
        looks_in = outer == 0 or panes[outer].coated_face == "inward"
        looks_out = inner == len(panes) - 1 or panes[inner].coated_face == "outward"
        pairs.append(
            (
                corrected_emissivity(panes[outer]) if looks_in else UNCOATED_EMISSIVITY,
                corrected_emissivity(panes[inner]) if looks_out else UNCOATED_EMISSIVITY,
            )
        )
    return pairs


def _cavity_conductance(cavity: Cavity, faces: tuple[float, float], difference_k: float) -> float:
    """Radiation and gas together, W/(m2 K)."""
    width_m = cavity.cavity / 1000
    gas = mixture(cavity.gas)
    grashof = (
        GRAVITY_M_PER_S2 * width_m**3 * difference_k * gas.density**2 / (MEAN_K * gas.viscosity**2)
    )
    prandtl = gas.viscosity * gas.heat_capacity / gas.conductivity
    nusselt = max(1.0, VERTICAL_FACTOR * pow(grashof * prandtl, VERTICAL_EXPONENT))
    radiation = 4 * STEFAN_BOLTZMANN * MEAN_K**3 / (1 / faces[0] + 1 / faces[1] - 1)
    return nusselt * gas.conductivity / width_m + radiation
