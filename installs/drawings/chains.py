"""A chain of leaves with its supports and empty boxes for the gaps, seen from outside.

Boxes are filled in by hand: the gaps at head and sill of every junction, read first and again after
the running gear was set, and the turns of every support that moves.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.chains import Chain, ChainPlace, Support
from jobs.svg import Canvas, circle, drawing, line, rectangle, text

LETTERS_ALONG = 46
BOX_LETTERS = (4.2, 2.1)
SUPPORT_LABELS = {
    "hinge": gettext_lazy("hinge"),
    "carrier": gettext_lazy("carrier"),
    "none": gettext_lazy("no support"),
}
# From the top down, in letters below the middle of the chain; the turns are the last row.
TURNS_ROW = 7.9
ROWS = (
    (gettext_lazy("head, again"), -7.6),
    (gettext_lazy("head, first"), -5.2),
    (gettext_lazy("sill, first"), 3.1),
    (gettext_lazy("sill, again"), 5.5),
    (gettext_lazy("turns"), TURNS_ROW),
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
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        places = ", ".join(
            _("junction {number} {support}").format(
                number=place.junction, support=SUPPORT_LABELS[place.support]
            )
            for place in self.places
        )
        left = _(
            "Chain on the left jamb, from there on: {places}. Empty boxes for the gaps at head and "
            "sill of every junction, first and again, and for turns."
        )
        right = _(
            "Chain on the right jamb, from there on: {places}. Empty boxes for the gaps at head "
            "and sill of every junction, first and again, and for turns."
        )
        return (left if self.jamb == "left" else right).format(places=places)

    def drawn_at(self, place: ChainPlace) -> float:
        """From the left, seen from outside."""
        return place.at if self.jamb == "left" else self.length - place.at


def chain_svg(chain: DrawnChain) -> str:
    """An SVG document of one chain with its boxes."""
    unit = chain.length / LETTERS_ALONG
    canvas = Canvas(-8 * unit, -8.6 * unit, chain.length + 11 * unit, 19 * unit, unit)
    return drawing(canvas, chain.description, _strokes(chain, unit))


def _strokes(chain: DrawnChain, unit: float) -> Iterator[str]:
    yield from _leaves(chain, unit)
    box = _box(chain, unit)
    for name, row in ROWS:
        yield text(-7.6 * unit, (row + 1.4) * unit, str(name), size=0.85 * unit, anchor="start")
        for place in chain.places:
            if row != TURNS_ROW or place.support != "none":
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
    yield text(x, 2.3 * unit, str(SUPPORT_LABELS[support]), size=0.8 * unit)


def _box(chain: DrawnChain, unit: float) -> tuple[float, float]:
    """Width and height of a box: as it is written in by hand, and never over its neighbour's."""
    places = sorted(place.at for place in chain.places)
    nearest = min((b - a for a, b in pairwise(places)), default=chain.length)
    return min(BOX_LETTERS[0] * unit, 0.85 * nearest), BOX_LETTERS[1] * unit
