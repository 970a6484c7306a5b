"""Where the wall would touch the frame first, as SVG on the drawing of the opening.

Pure: data in, text out. Lengths in mm, the frame's top left corner at the origin, y down.
"""

from collections.abc import Iterable, Iterator

from django.utils.translation import gettext as _

from jobs.figures import percent
from jobs.svg import path, text
from surveys.arithmetic.answers import CriticalPlace

# A place that touches first less probably than this is not pointed at.
WORTH_MARKING = 0.1
# How far its words stand from the wedge, in letters, so that no joint's figure is under them.
BESIDE, UNDER_HEAD, OVER_SILL = 1.7, 2.9, -2.0
# The figures of a jamb nearest to head and sill, how far words keep off them, and half of the
# words, in letters.
FIGURE_FROM_CORNER, OFF_FIGURES, HALF_OF_THE_WORDS = 3.5, 1.5, 6.0


def critical_places(
    places: Iterable[CriticalPlace], width: float, height: float, unit: float
) -> Iterator[str]:
    """A solid wedge for each whose tip is on the frame's edge, with how probably it touches."""
    for place in places:
        if place.probability >= WORTH_MARKING:
            yield from _wedge(place, width, height, unit)


def _wedge(place: CriticalPlace, width: float, height: float, unit: float) -> Iterator[str]:
    x, y, across, down = _on_the_edge(place, width, height)
    blunt_x, blunt_y, half = x - 1.4 * unit * across, y - 1.4 * unit * down, 0.6 * unit
    yield path(
        (x, y),
        (blunt_x - half * down, blunt_y - half * across),
        (blunt_x + half * down, blunt_y + half * across),
        closed=True,
        fill="currentColor",
        data_part="critical",
    )
    words = _("touches first: {probability}").format(probability=percent(place.probability))
    anchor = {-1: "start", 1: "end"}.get(across, "middle")
    away = {0: BESIDE, -1: UNDER_HEAD, 1: OVER_SILL}[down]
    if anchor == "middle":
        half = min(HALF_OF_THE_WORDS * unit, width / 2)
        blunt_x = min(max(blunt_x, half), width - half)
    baseline = _clear_of_figures(blunt_y + away * unit, height, unit)
    yield text(blunt_x, baseline, words, anchor=anchor, bold=True)


def _clear_of_figures(baseline: float, height: float, unit: float) -> float:
    """Off the figures that stand at both ends of a jamb, and above those of the sill."""
    first, off = FIGURE_FROM_CORNER * unit, OFF_FIGURES * unit
    if abs(baseline - first) < off:
        return first + off
    return min(baseline, height - first - off)


def _on_the_edge(
    place: CriticalPlace, width: float, height: float
) -> tuple[float, float, int, int]:
    """The place on the frame's edge, and which way the wall is from there."""
    along, up = min(max(place.at, 0.0), width), height - min(max(place.at, 0.0), height)
    return {
        "left": (0.0, up, -1, 0),
        "right": (width, up, 1, 0),
        "head": (along, 0.0, 0, -1),
        "sill": (along, height, 0, 1),
    }[place.member]
