"""Openings whose walls are known, to try opening-fit on.

Drawn here as polylines of many points, by themselves: nothing of the arithmetic that is tried is
used. Lengths in mm, seen from outside, x to the right, y up. Sizes of bulges, steps, courses and
splays are common practice, no source.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.readings import Surface

Array = npt.NDArray[np.float64]
Draw = Callable[[np.random.Generator, float], Array]

LEAN_MM, FALL_MM, BOW_MM = 6.0, 5.0, 2.5
COURSE_MM, COURSE_DEVIATION_MM = 75.0, 1.2
SPLAY_MM = 3.0
POINTS = 801
ALONG: Array = np.linspace(0.0, 1.0, POINTS)


@dataclass(frozen=True, slots=True)
class TrueSide:
    """Place along the side and how far it stands off, mm: x of a jamb by y, y of a sill or head by
    x; at the outside and the inside edge of the frame's depth."""

    places: Array
    outside: Array
    inside: Array

    def at(self, place: float) -> float:
        return float(np.interp(place, self.places, self.outside))


@dataclass(frozen=True, slots=True)
class TrueOpening:
    left: TrueSide
    right: TrueSide
    head: TrueSide
    sill: TrueSide
    width: float
    height: float

    @property
    def clear_width(self) -> float:
        """Of the widest plumb strip over the whole depth."""
        left, right = self.left, self.right
        return float(
            min(right.outside.min(), right.inside.min())
            - max(left.outside.max(), left.inside.max())
        )

    @property
    def clear_height(self) -> float:
        head, sill = self.head, self.sill
        return float(
            min(head.outside.min(), head.inside.min()) - max(sill.outside.max(), sill.inside.max())
        )


def knot(rng: np.random.Generator, _length: float) -> Array:
    """A middle off the line, straight to both ends."""
    return rng.normal(0, BOW_MM) * (1 - np.abs(2 * ALONG - 1))


def half_sine(rng: np.random.Generator, _length: float) -> Array:
    return rng.normal(0, BOW_MM) * np.sin(np.pi * ALONG)


def s_bow(rng: np.random.Generator, _length: float) -> Array:
    return rng.normal(0, BOW_MM) * np.sin(2 * np.pi * ALONG)


def bulge(rng: np.random.Generator, length: float) -> Array:
    """2 to 8 mm into the opening over 150 to 400 mm somewhere along the side."""
    long = rng.uniform(150, 400)
    middle = rng.uniform(long / 2, length - long / 2)
    off = (ALONG * length - middle) / long
    off = np.clip(off, -0.5, 0.5)
    bulged: Array = rng.uniform(2, 8) * np.cos(np.pi * off) ** 2
    return bulged


def courses(rng: np.random.Generator, length: float) -> Array:
    """Each course of bricks stands a little in or out of the wall."""
    number = (ALONG * length / COURSE_MM).astype(int)
    coursed: Array = rng.normal(0, COURSE_DEVIATION_MM, number.max() + 1)[number]
    return coursed


def step(rng: np.random.Generator, _length: float) -> Array:
    """2 to 8 mm in or out, somewhere between a fifth and four fifths of the side."""
    size, place = rng.choice((-1, 1)) * rng.uniform(2, 8), rng.uniform(0.2, 0.8)
    stepped: Array = np.where(place < ALONG, size, 0.0)
    return stepped


def straight(_rng: np.random.Generator, _length: float) -> Array:
    return np.zeros(POINTS)


@dataclass(frozen=True, slots=True)
class Shape:
    """How the jambs, and how sill and head, depart from their lines; `surface` is what a surveyor
    sees them to be; `splayed`: the reveals are not square."""

    name: str
    jambs: Draw
    levels: Draw
    surface: Surface = "unknown"
    splayed: bool = False

    @property
    def of_levels(self) -> "Shape":
        """With the sill and head for jambs."""
        return replace(self, jambs=self.levels)


SHAPES = {
    shape.name: shape
    for shape in (
        Shape("eight_points", knot, knot),
        Shape("half_sine_bow", half_sine, half_sine),
        Shape("s_bow", s_bow, s_bow),
        Shape("local_bulge", bulge, straight, "masonry"),
        Shape("brick_courses", courses, straight, "masonry"),
        Shape("stepped_jamb", step, straight, "masonry"),
        Shape("splayed_reveal", knot, knot, splayed=True),
    )
}


def draw_opening(rng: np.random.Generator, shape: Shape) -> TrueOpening:
    width, height = rng.uniform(1800, 6000), rng.uniform(1950, 2500)
    fall, head_fall = rng.normal(0, FALL_MM, 2)
    left, right = rng.normal(0, LEAN_MM, 2)
    # Into the opening is to the right at the left jamb, to the left at the right one, and so on.
    return TrueOpening(
        left=_side(rng, shape, height, left * ALONG, 1),
        right=_side(rng, shape, height, width + right * ALONG, -1),
        head=_side(rng, shape.of_levels, width, height + head_fall * ALONG, -1),
        sill=_side(rng, shape.of_levels, width, fall * ALONG, 1),
        width=width,
        height=height,
    )


def _side(
    rng: np.random.Generator, shape: Shape, length: float, line: Array, inward: int
) -> TrueSide:
    outside = line + inward * shape.jambs(rng, length)
    ends = rng.normal(0, SPLAY_MM, 2) if shape.splayed else np.zeros(2)
    inside = outside + inward * (ends[0] * (1 - ALONG) + ends[1] * ALONG)
    return TrueSide(ALONG * length, outside, inside)
