"""The way in for a doorset: does a rigid plate, such as a frame, pass it? Lengths in mm. Pure.

A plate is carried upright on one of its edges, in one attitude all the way; under a low ceiling it
is leaned over, at a corner it is turned. What a station is short of is exact geometry:

- corner: the plate's outside slides along both outer walls while its inside clears the inner
  corner. At the angle `a` the longest of thickness t is (after sin a + before cos a - t) /
  (sin a cos a); the least of these passes. For t = 0 that is the closed form of the moving ladder,
  (before^(2/3) + after^(2/3))^(3/2).
- doorway or passage: leaned by `b`, an edge e of thickness t stands e cos b + t sin b high and
  takes e sin b + t cos b of the floor.
"""

from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, inf, pi, sin
from typing import Literal

from jobs.sentences import Sentence, StoredSentence, sentence

Edge = Literal["width", "height"]
Station = Literal["corner", "doorway", "passage"]
BISECTIONS = 60
CORNER = StoredSentence(
    "corner {number}, between passages of {before:g} and {after:g} mm, lets {greatest:.0f} mm "
    "round it, and {wanted:.0f} mm are wanted"
)
TOO_LOW_OR_NARROW = {
    "doorway": StoredSentence(
        "it would have to be leaned over by {lean:.0f} degrees in the narrowest doorway, and take "
        "{wanted:.0f} mm of its width of {greatest:g} mm"
    ),
    "passage": StoredSentence(
        "it would have to be leaned over by {lean:.0f} degrees in the narrowest passage, and take "
        "{wanted:.0f} mm of its width of {greatest:g} mm"
    ),
}
TOO_FAR_OVER = StoredSentence(
    "it would have to be leaned over by {lean:.0f} degrees, and {greatest:g} is the most to be "
    "held on the way"
)


@dataclass(frozen=True, slots=True)
class Corner:
    """Two passages that meet at a right angle: their widths before and after it."""

    before: float
    after: float


@dataclass(frozen=True, slots=True)
class WayIn:
    """What was measured of the way in; None where it was not. Widths and heights are the clear
    ones at the narrowest and lowest; `distance` in m, from where it is unloaded to the opening."""

    passage_width: float | None = None
    passage_height: float | None = None
    doorway_width: float | None = None
    doorway_height: float | None = None
    corners: tuple[Corner, ...] = ()
    steps: int | None = None
    distance: float | None = None


@dataclass(frozen=True, slots=True)
class WayRules:
    """`hand_room`: left free on every side of what is carried; `greatest_lean` in degrees."""

    hand_room: float
    greatest_lean: float
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plate:
    width: float
    height: float
    thickness: float

    @property
    def longer(self) -> Edge:
        return "width" if self.width >= self.height else "height"


@dataclass(frozen=True, slots=True)
class Passing:
    """`along`: the edge that lies along the way while it is carried; `lean`: degrees by which it
    is leaned over at the lowest place; `obstacle`: what it does not pass, in words."""

    passes: bool
    along: Edge
    lean: float
    obstacle: str | None


def pass_way(plate: Plate, way: WayIn, rules: WayRules) -> Passing:
    """Carry a plate in on its longer edge or, where that fails, on its shorter one.

    Nothing is stood on end under a ceiling that nobody measured.
    """
    shorter: Edge = "height" if plate.longer == "width" else "width"
    on_longer = _carried(plate, plate.longer, way, rules)
    if on_longer.passes or way.passage_height is None:
        return on_longer
    on_shorter = _carried(plate, shorter, way, rules)
    return on_shorter if on_shorter.passes else on_longer


def longest_round_corner(before: float, after: float, thickness: float) -> float:
    """The longest upright plate of a thickness that is carried round a right-angled corner, mm; 0
    where it is too thick for a passage.

    It is turned, or carried into the corner and out of it sideways where that lets more through.
    """
    if thickness > min(before, after):
        return 0.0
    return max(_longest_turned(before, after, thickness), before, after)


def lean_under(edge: float, thickness: float, height: float) -> float | None:
    """The least lean, in radians, at which an edge of a thickness stands no higher than `height`;
    None where it does not even when it lies flat."""
    if edge <= height:
        return 0.0
    if thickness > height:
        return None
    return min(atan2(thickness, edge) + acos(height / hypot(edge, thickness)), pi / 2)


def _carried(plate: Plate, along: Edge, way: WayIn, rules: WayRules) -> Passing:
    length = plate.width if along == "width" else plate.height
    edge = plate.height if along == "width" else plate.width
    room = 2 * rules.hand_room
    lean, obstacle = 0.0, None
    for station, width, height in _straights(way):
        leaned = lean_under(edge, plate.thickness, height - room)
        angle = pi / 2 if leaned is None else leaned
        lean = max(lean, degrees(angle))
        wanted = _floor_taken(edge, plate.thickness, angle) + room
        if leaned is None or wanted > width:
            obstacle = obstacle or _in_straight(station, degrees(angle), wanted, width)
    if lean > rules.greatest_lean:
        obstacle = obstacle or TOO_FAR_OVER(lean=lean, greatest=rules.greatest_lean)
    ceiling = inf if way.passage_height is None else way.passage_height
    leaned = lean_under(edge, plate.thickness, ceiling - room) or 0.0
    thickness = _floor_taken(edge, plate.thickness, leaned) + room
    obstacle = obstacle or _at_corner(way.corners, length + room, thickness)
    return Passing(obstacle is None, along, lean, obstacle)


def _straights(way: WayIn) -> list[tuple[Station, float, float]]:
    """Passage and doorway with their clear width and height; what was not measured is wide."""
    sizes: list[tuple[Station, float | None, float | None]] = [
        ("passage", way.passage_width, way.passage_height),
        ("doorway", way.doorway_width, way.doorway_height),
    ]
    return [
        (station, inf if width is None else width, inf if height is None else height)
        for station, width, height in sizes
    ]


def _floor_taken(edge: float, thickness: float, lean: float) -> float:
    return edge * sin(lean) + thickness * cos(lean)


def _in_straight(station: Station, lean: float, wanted: float, width: float) -> Sentence:
    if width == inf:
        return sentence("the ceiling is lower than it is thick")
    return TOO_LOW_OR_NARROW[station](lean=lean, wanted=wanted, greatest=width)


def _at_corner(corners: tuple[Corner, ...], wanted: float, thickness: float) -> Sentence | None:
    for number, corner in enumerate(corners, start=1):
        greatest = longest_round_corner(corner.before, corner.after, thickness)
        if wanted > greatest:
            return CORNER(
                number=number,
                before=corner.before,
                after=corner.after,
                greatest=greatest,
                wanted=wanted,
            )
    return None


def _longest_turned(before: float, after: float, thickness: float) -> float:
    """The least over all angles, of a plate that is no thicker than either passage is wide.

    The derivative has the sign of after sin^3 - before cos^3 + t (cos^2 - sin^2). That begins at or
    below 0 and ends at or above it, and can only fall, rise and fall again, so it has one root.
    """
    low, high = 0.0, pi / 2
    for _ in range(BISECTIONS):
        angle = (low + high) / 2
        slope = after * sin(angle) ** 3 - before * cos(angle) ** 3 + thickness * cos(2 * angle)
        low, high = (low, angle) if slope > 0 else (angle, high)
    angle = (low + high) / 2
    across = after * sin(angle) + before * cos(angle) - thickness
    return across / (sin(angle) * cos(angle))
