"""What papers' records hold of a doorset as ordered and delivered; mm, kg, W/(m2 K)."""

from dataclasses import dataclass

from msgspec import UNSET, UnsetType

from jobs.arithmetic.doorset import Finding, Leaf, Thermal
from jobs.arithmetic.glass_safety import GlassFinding
from jobs.arithmetic.requirements import Requirement
from jobs.calculations import with_reported_glass
from jobs.drawings import Elevation
from jobs.frozen import Plain
from reports.papers.frozen.fitting import FittingFacts
from reports.papers.frozen.job import OpeningFacts
from reports.papers.frozen.survey import SurveyFacts
from surveys.arithmetic.answers import WholeSize


@dataclass(frozen=True, slots=True)
class OrderFacts:
    """What was ordered, but for the glass."""

    revision: int
    fold: str
    opens: str
    head_fixing: str
    colour_inside: str
    colour_outside: str
    handle: str
    threshold: str
    ventilator: str
    keyed_alike: bool
    frame: WholeSize
    profile_system: str
    ordered_at: str | None


@dataclass(frozen=True, slots=True)
class DeliveryFacts:
    """The newest delivery that was accepted, as it was measured; `declaration` of its performance
    is left out in papers from before it was asked for."""

    delivered_on: str
    frame: WholeSize
    leaves_counted: int
    declaration: str | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class GlazingLayer:
    """A pane, which has `glass`, or a cavity, which has `cavity`; what was not ordered is left
    out."""

    glass: float | UnsetType = UNSET
    safety: str | UnsetType = UNSET
    emissivity: float | UnsetType = UNSET
    coated_face: str | UnsetType | None = UNSET
    cavity: float | UnsetType = UNSET
    gas: dict[str, float] | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class GlazingFacts:
    """The glass as ordered; `u_glass` where it is declared."""

    layers: tuple[GlazingLayer, ...]
    u_glass: float | UnsetType | None = UNSET


@dataclass(frozen=True, slots=True)
class FittedDoorset(FittingFacts):
    """A doorset as ordered, delivered and fitted, with every survey that counted."""

    opening: OpeningFacts
    order: OrderFacts
    elevation: Elevation
    glazing: GlazingFacts
    thermal: Thermal
    upstand: Finding | None
    requirements: tuple[Requirement, ...]
    mass: float
    frame_mass: float
    safety_glazing: tuple[GlassFinding, ...]
    leaves: tuple[Leaf, ...]
    delivery: DeliveryFacts | None
    surveys: tuple[SurveyFacts, ...]


def with_requirements(certificate: Plain) -> Plain:
    """Format 2 held every doorset against one limit, whatever the case of the work."""
    doorsets = [
        {"requirements": _by_one_limit(doorset), **with_reported_glass(doorset)}
        for doorset in certificate["doorsets"]
    ]
    return certificate | {"doorsets": doorsets}


def _by_one_limit(doorset: Plain) -> list[Plain]:
    thermal, upstand = doorset["thermal"], doorset["upstand"]
    figures = [("threshold", upstand["value"], upstand)] if upstand else []
    figures.append(("u_value", thermal["u_value_reported"], {"unit": "W/(m2 K)", **thermal}))
    return [
        {
            "code": code,
            "standing": "kept" if finding["within"] else "broken",
            "value": value,
            "limit": finding["limit"],
            "unit": finding["unit"],
            "why": "",
            "asks": [],
            "source": finding["source"],
        }
        for code, value, finding in figures
    ]
