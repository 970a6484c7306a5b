"""The four sides of one opening as lines through many points; mm, seen from outside."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.side_prior import PLACES
from surveys.arithmetic.survey_rows import HEAD, LEFT, RIGHT, SILL


@dataclass(frozen=True, slots=True)
class Profile:
    """x of a jamb or y of a sill or head, at `PLACES` of its length."""

    values: Numbers
    length: float

    def at(self, place: float) -> float:
        """Straight between points; beyond an end as at the end."""
        return float(np.interp(place / self.length, PLACES, self.values))

    def highest(self, start: float, end: float) -> float:
        return float(max(value for _, value in self.between(start, end)))

    def lowest(self, start: float, end: float) -> float:
        return float(min(value for _, value in self.between(start, end)))

    def between(self, start: float, end: float) -> Iterator[tuple[float, float]]:
        """Place and value at both ends of a stretch and at every point between, mm."""
        start, end = (min(max(place, 0.0), self.length) for place in (start, end))
        yield start, self.at(start)
        for place, value in zip(PLACES * self.length, self.values, strict=True):
            if start < place < end:
                yield float(place), float(value)
        yield end, self.at(end)


@dataclass(frozen=True, slots=True)
class Profiles:
    left: Profile
    right: Profile
    head: Profile
    sill: Profile

    @property
    def width(self) -> float:
        return self.sill.length

    @property
    def height(self) -> float:
        return self.left.length


def profiles_of(values: Numbers, width: float, height: float) -> Profiles:
    """From the values of the four sides at `PLACES`, (4, points)."""
    return Profiles(
        left=Profile(values[LEFT], height),
        right=Profile(values[RIGHT], height),
        head=Profile(values[HEAD], width),
        sill=Profile(values[SILL], width),
    )
