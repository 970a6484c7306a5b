"""A surveyor who reads a known opening, and reads what is asked for next."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, hypot
from typing import Literal

import numpy as np

from surveys.arithmetic.answers import ReadNext
from surveys.arithmetic.readings import (
    SIDES,
    Checks,
    Diagonals,
    KnownLength,
    Measurement,
    Opening,
    PlacedReading,
    Plumb,
    Priors,
    Side,
    Splay,
    Straightedge,
    Surfaces,
)
from surveys.arithmetic.simulated_walls import Shape, TrueOpening, TrueSide, draw_opening
from surveys.arithmetic.uncertainty import Instrument

LEVEL_DEVIATION_MM, SQUARE_DEVIATION_MM, STRAIGHTEDGE_DEVIATION_MM = 0.5, 0.3, 0.3
FROM_END_MM = 100.0
BLUNDERS_MM = (18, 27, 36, 45, 90)
# A steel tape's weight, N/m, and the pull on it, N.
TAPE_WEIGHT, PULL = 0.3, (15.0, 50.0)
TAPE = Instrument("tape", "II")
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2.0)
# The hook of a tape that is bent out makes everything that it reads so much too long, mm.
BENT_HOOK_MM = 1.5
TapeFault = Literal["none", "sag", "shared_scale", "bent_hook"]
# What the tape is checked against: a rule of known length, or widths read with a second tape.
Check = Literal["none", "known_length", "second_tape"]
KNOWN_LENGTHS_MM = (1000.0, 2000.0)


@dataclass(slots=True)
class Surveyor:
    """With one tape; `plumbs`: whether both jambs are read with a plumb line from the start;
    `checked` against what the tape is checked, from the start too."""

    rng: np.random.Generator
    truth: TrueOpening
    shape: Shape
    fault: TapeFault = "none"
    plumbs: bool = False
    pull: float = 0.0
    scale: float = 0.0
    checked: Check = "none"

    @classmethod
    def of(
        cls, rng: np.random.Generator, shape: Shape, fault: TapeFault, checked: Check = "none"
    ) -> "Surveyor":
        truth = draw_opening(rng, shape)
        plumbs = bool(rng.random() < 0.5)  # noqa: PLR2004 half of the surveys
        pull, scale = rng.uniform(*PULL), rng.uniform(-1, 1)
        return cls(rng, truth, shape, fault, plumbs, pull, scale, checked)

    def survey(self, priors: Priors) -> Measurement:
        """Three widths and heights, diagonals, sill levels; plumb in half of the surveys."""
        truth = self.truth
        up = (FROM_END_MM, truth.height / 2, truth.height - FROM_END_MM)
        along = (FROM_END_MM, truth.width / 2, truth.width - FROM_END_MM)
        opening = Opening(
            widths=tuple(self._width(at) for at in up),
            heights=tuple(self._height(at) for at in along),
            diagonals=Diagonals(*self._diagonals()),
            sill_levels=self._line(truth.sill),
            plumb=Plumb(self._line(truth.left), self._line(truth.right))
            if self.plumbs
            else Plumb(),
            checks=self._checks(up),
        )
        surfaces = Surfaces(left=self.shape.surface, right=self.shape.surface)
        return Measurement(opening, TAPE, LASER, priors, surfaces, check_instrument=TAPE)

    def read(self, measurement: Measurement, asked: ReadNext) -> Measurement:
        """The survey with the reading that was asked for."""
        opening = measurement.opening
        if asked.kind == "splay":
            sides = [side for side in SIDES if asked.side in (side, "all")]
            splay = (*opening.splay, *self._splays(sides))
            return replace(measurement, opening=replace(opening, splay=splay))
        if asked.kind == "straightedge":
            sides = [side for side in SIDES if asked.side == side]
            laid = (*opening.straightedge, *map(self._straightedge, sides))
            return replace(measurement, opening=replace(opening, straightedge=laid))
        return replace(measurement, opening=self._with(opening, asked))

    def more(self, measurement: Measurement) -> Measurement:
        """With five more widths and heights, wherever."""
        opening, truth = measurement.opening, self.truth
        widths = [self._width(at) for at in self.rng.uniform(50, truth.height - 50, 3)]
        heights = [self._height(at) for at in self.rng.uniform(50, truth.width - 50, 2)]
        opening = replace(
            opening, widths=(*opening.widths, *widths), heights=(*opening.heights, *heights)
        )
        return replace(measurement, opening=opening)

    def _with(self, opening: Opening, asked: ReadNext) -> Opening:
        at, truth = asked.at or 0.0, self.truth
        if asked.kind == "width":
            return replace(opening, widths=(*opening.widths, self._width(at)))
        if asked.kind == "height":
            return replace(opening, heights=(*opening.heights, self._height(at)))
        if asked.kind == "level":
            if asked.side == "sill":
                return replace(opening, sill_levels=self._line(truth.sill))
            return replace(opening, head_levels=self._line(truth.head))
        if asked.kind == "plumb":
            if asked.side == "left":
                plumb = replace(opening.plumb, left=self._line(truth.left))
            else:
                plumb = replace(opening.plumb, right=self._line(truth.right))
            return replace(opening, plumb=plumb)
        raise ValueError(asked.kind)

    def _checks(self, places: tuple[float, ...]) -> Checks:
        if self.checked == "known_length":
            known = (KnownLength(length, self._tape(length)) for length in KNOWN_LENGTHS_MM)
            return Checks(known_lengths=tuple(known))
        if self.checked == "second_tape":
            sound = replace(self, fault="none")
            return Checks(widths=tuple(sound._width(at) for at in places))
        return Checks()

    def _width(self, at: float) -> PlacedReading:
        return PlacedReading(at, self._tape(self.truth.right.at(at) - self.truth.left.at(at)))

    def _height(self, at: float) -> PlacedReading:
        value = self.truth.head.at(at) - self.truth.sill.at(at)
        return PlacedReading(at, self._tape(value, hangs=True))

    def _diagonals(self) -> tuple[float, float]:
        left, right, head, sill = (
            self.truth.left,
            self.truth.right,
            self.truth.head,
            self.truth.sill,
        )
        rising = hypot(right.outside[-1] - left.outside[0], head.outside[-1] - sill.outside[0])
        falling = hypot(right.outside[0] - left.outside[-1], head.outside[0] - sill.outside[-1])
        return self._tape(rising), self._tape(falling)

    def _tape(self, true: float, hangs: bool = False) -> float:
        """To the millimetre, within the permissible error of class II."""
        greatest = 0.3 + 0.2 * ceil(true / 1000)
        shared = self.fault == "shared_scale"
        error = greatest * (self.scale if shared else self.rng.uniform(-1, 1))
        if self.fault == "bent_hook":
            error += BENT_HOOK_MM
        if self.fault == "sag" and not hangs:
            # A shallow arc is longer than its chord by w2 L3 / (24 T2).
            error += 1000 * TAPE_WEIGHT**2 * (true / 1000) ** 3 / (24 * self.pull**2)
        return float(round(true + error))

    def _line(self, side: TrueSide) -> tuple[PlacedReading, ...]:
        """Both ends and the middle against one level or plumb line."""
        datum = self.rng.uniform(-50, 50)
        length = side.places[-1]
        return tuple(
            PlacedReading(at, self._levelled(side.at(at) - datum))
            for at in (0.0, length / 2, length)
        )

    def _levelled(self, true: float) -> float:
        return float(round(true + self.rng.normal(0, LEVEL_DEVIATION_MM)))

    def _splays(self, sides: Sequence[Side]) -> tuple[Splay, ...]:
        """With a square near both ends of each side."""
        read = []
        for name in sides:
            side = getattr(self.truth, name)
            inward = 1 if name in ("left", "sill") else -1
            for at in (FROM_END_MM, side.places[-1] - FROM_END_MM):
                further = np.interp(at, side.places, inward * (side.inside - side.outside))
                value = round(further + self.rng.normal(0, SQUARE_DEVIATION_MM))
                read.append(Splay(name, float(at), float(value)))
        return tuple(read)

    def _straightedge(self, name: Side) -> Straightedge:
        """Laid along the whole side with equal gaps at both ends, read to the millimetre."""
        side = getattr(self.truth, name)
        inward = 1 if name in ("left", "sill") else -1
        chord = np.interp(side.places, side.places[[0, -1]], side.outside[[0, -1]])
        hump = float((inward * (side.outside - chord)).max())
        read = round(hump + self.rng.normal(0, STRAIGHTEDGE_DEVIATION_MM))
        return Straightedge(name, float(max(read, 0)))


def blundered(rng: np.random.Generator, measurement: Measurement) -> tuple[Measurement, str]:
    """The same survey with two digits swapped in one width, height or diagonal: 18 mm or more."""
    opening = measurement.opening
    size = float(rng.choice(BLUNDERS_MM) * rng.choice((-1, 1)))
    kind, index = rng.choice(("widths", "heights", "diagonals")), int(rng.integers(3))
    if kind == "diagonals":
        name = ("rising", "falling")[index % 2]
        changed = replace(opening.diagonals, **{name: getattr(opening.diagonals, name) + size})
        return replace(measurement, opening=replace(opening, diagonals=changed)), f"{kind}.{name}"
    readings = list(getattr(opening, kind))
    readings[index] = replace(readings[index], value=readings[index].value + size)
    if kind == "widths":
        opening = replace(opening, widths=tuple(readings))
    else:
        opening = replace(opening, heights=tuple(readings))
    return replace(measurement, opening=opening), f"{kind}.{index}"


def swapped_levels(measurement: Measurement) -> Measurement:
    """The same survey with the levels of the sill read downwards instead of upwards."""
    opening = measurement.opening
    levels = tuple(replace(level, value=-level.value) for level in opening.sill_levels)
    return replace(measurement, opening=replace(opening, sill_levels=levels))
