"""Kinds of wall that a side of an opening may be, and how common each is on each surface.

Sizes come from the flatness that walls are built to: DIN 18202:2013 table 3 allows unfinished walls
5, 10 and 15 mm over 0.1, 1 and 4 m, plastered ones 3, 5 and 10 mm; NHBC Standards 2011, 1.2 S1,
allow masonry 8 mm in a height of 2.5 m. A limit is taken for about two standard deviations. How
common each kind is on each surface is common practice, no source; bulges count for more than they
are met, since three widths see few of them and a frame is not made again.
"""

from dataclasses import dataclass
from typing import Literal

from surveys.arithmetic.readings import Side, Surface

Family = Literal["straight", "coursed", "bulged", "bowed"]


@dataclass(frozen=True, slots=True)
class WallKind:
    """How far a side departs from its line, mm, one standard deviation each.

    `bow`: middle off the line, smoothly over the whole side, as a multiple of the rule set's
    straightness; `rough`: from one course of bricks to the next; `bulge`: a local bulge, centred at
    `centre`, a share of the side; `step`: one end against the other, at a step somewhere between;
    both as multiples of what is usual of the surface.
    """

    family: Family
    bow: float
    rough: float
    bulge: float = 0.0
    centre: float = 0.5
    step: float = 0.0


KINDS = (
    WallKind("straight", bow=0.25, rough=0.1),
    WallKind("coursed", bow=0.4, rough=1.3),
    WallKind("bowed", bow=1.0, rough=0.1),
    *(
        WallKind("bulged", bow=0.2, rough=0.1, bulge=1.0, centre=centre)
        for centre in (0.14, 0.38, 0.62, 0.86)
    ),
    WallKind("bulged", bow=0.2, rough=0.1, step=1.0),
)
# Shares of the families on each surface.
COMMON: dict[Surface, dict[Family, float]] = {
    "masonry": {"straight": 0.05, "coursed": 0.10, "bulged": 0.78, "bowed": 0.07},
    "plaster": {"straight": 0.35, "coursed": 0.05, "bulged": 0.35, "bowed": 0.25},
    "timber": {"straight": 0.60, "coursed": 0.02, "bulged": 0.08, "bowed": 0.30},
    "steel": {"straight": 0.70, "coursed": 0.01, "bulged": 0.04, "bowed": 0.25},
    "concrete": {"straight": 0.35, "coursed": 0.05, "bulged": 0.30, "bowed": 0.30},
    "unknown": {"straight": 0.25, "coursed": 0.15, "bulged": 0.35, "bowed": 0.25},
}
# A head is a lintel: one member, which sags or bows and seldom bulges. So much of the bulges' share
# is left to it, and bowed walls have the rest.
BULGES_OF_A_HEAD = 0.3
# Bulges and steps that are usual of each surface, mm, one standard deviation.
BULGES: dict[Surface, float] = {
    "masonry": 6.5,
    "plaster": 4.5,
    "timber": 3.0,
    "steel": 3.0,
    "concrete": 5.0,
    "unknown": 5.0,
}
# A bulge's length scale, mm: of bulges 150 to 400 mm long.
BULGE_LENGTH = 110.0
# How far the centres of a kind's bulges scatter, as a share of the side.
CENTRE_SPREAD = 0.11


def weights(surface: Surface, side: Side) -> tuple[float, ...]:
    """Of `KINDS`, in their order: a family's share is spread evenly over its kinds."""
    shares = dict(COMMON[surface])
    if side == "head":
        fewer = shares["bulged"] * (1 - BULGES_OF_A_HEAD)
        shares["bulged"] -= fewer
        shares["bowed"] += fewer
    families = [kind.family for kind in KINDS]
    return tuple(shares[family] / families.count(family) for family in families)
