"""A chain of leaves with its supports and empty boxes for the gaps, seen from outside.

Boxes are filled in by hand: the gaps at head and sill of every junction, read first and again after
the running gear was set, and the turns of every support that moves.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from installs.arithmetic.chains import Chain, ChainPlace, Support
from jobs.svg import Canvas, circle, drawing, line, rectangle, text

LETTERS_ALONG = 46
BOX_LETTERS = (4.2, 2.1)
WORDS: dict[str, str] = {"hinge": "hinge", "carrier": "carrier", "none": "no support"}
# From the top down, in letters below the chain's middle; what stands in the same row as words.
ROWS = (
    ("head, again", -7.6),
    ("head, first", -5.2),
    ("sill, first", 3.1),
    ("sill, again", 5.5),
    ("turns", 7.9),
)


@dataclass(frozen=True, slots=True)
class DrawnChain:
    """A chain from its jamb; `at` of its places in mm from there."""

    jamb: str
    places: tuple[ChainPlace, ...]

    @classmethod
    def read(cls, chain: Chain) -> "DrawnChain":
        """From a chain of a frozen plan's `running_gear`."""
        return cls(chain.jamb, chain.places)

    @property
    def length(self) -> float:
        return max(place.at for place in self.places)

    @property
    def in_words(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        told = ", ".join(f"junction {p.junction} {WORDS[p.support]}" for p in self.places)
        return (
            f"Chain on the {self.jamb} jamb, from there on: {told}. Empty boxes for the gaps at "
            "head and sill of every junction, first and again, and for turns."
        )

    def drawn_at(self, place: ChainPlace) -> float:
        """From the left, seen from outside."""
        return place.at if self.jamb == "left" else self.length - place.at


def chain_svg(chain: DrawnChain) -> str:
    """An SVG document of one chain with its boxes."""
    unit = chain.length / LETTERS_ALONG
    canvas = Canvas(-8 * unit, -8.6 * unit, chain.length + 11 * unit, 19 * unit, unit)
    return drawing(canvas, chain.in_words, _strokes(chain, unit))


def _strokes(chain: DrawnChain, unit: float) -> Iterator[str]:
    yield from _leaves(chain, unit)
    box = _box(chain, unit)
    for name, row in ROWS:
        yield text(-7.6 * unit, (row + 1.4) * unit, name, size=0.85 * unit, anchor="start")
        for place in chain.places:
            if name != "turns" or place.support != "none":
                x = chain.drawn_at(place) - box[0] / 2
                yield rectangle(x, row * unit, *box)
    for place in chain.places:
        yield from _support(place.support, chain.drawn_at(place), unit)
        yield text(chain.drawn_at(place), -1.9 * unit, str(place.junction), bold=True)


def _leaves(chain: DrawnChain, unit: float) -> Iterator[str]:
    """The leaves as a strip, with the jamb that they hang on."""
    places = sorted(chain.drawn_at(place) for place in chain.places)
    for left, right in pairwise(places):
        yield rectangle(left, -unit, right - left, 2 * unit, tint=0.05)
    jamb = 0.0 if chain.jamb == "left" else chain.length
    yield line(jamb, -1.4 * unit, jamb, 1.4 * unit, weight=unit / 4)


def _support(support: Support, x: float, unit: float) -> Iterator[str]:
    """A hinge is a square, a carrier a pair of wheels, a junction without either a short line."""
    if support == "hinge":
        yield rectangle(x - unit / 2, -unit / 2, unit, unit, tint=1)
    elif support == "carrier":
        yield from (circle(x + side * unit / 2, 0, unit / 2, tint=1) for side in (-1, 1))
    else:
        yield line(x, -unit / 2, x, unit / 2)
    yield text(x, 2.3 * unit, WORDS[support], size=0.8 * unit)


def _box(chain: DrawnChain, unit: float) -> tuple[float, float]:
    """Width and height of a box: as it is written in by hand, and never over its neighbour's."""
    places = sorted(place.at for place in chain.places)
    nearest = min((b - a for a, b in pairwise(places)), default=chain.length)
    return min(BOX_LETTERS[0] * unit, 0.85 * nearest), BOX_LETTERS[1] * unit
