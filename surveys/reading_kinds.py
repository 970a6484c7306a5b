"""What is read of an opening, kind by kind: its name, where it is read and how it stands in JSON.

Lengths in mm, seen from outside; names are those of the adjustment: `widths`, `plumb.left`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from django.utils.translation import gettext_lazy as _

from jobs.translation import Text

# A size is read this far from a corner, where plaster and bricks are still sound.
FROM_CORNER = 100.0
STEP = 10.0
UP, ALONG, LONG = _("above the sill"), _("from the left jamb"), _("long")


@dataclass(frozen=True, slots=True)
class Size:
    """About how large the opening is; mm."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class JsonKeys:
    """Where readings of a kind stand in the JSON of `opening-fit`: the list that they are in, the
    names of place and value, and the side that they are marked with, if there is one."""

    path: tuple[str, ...]
    at: str
    value: str
    side: str = ""

    def entry(self, at: float | None, value: float) -> dict[str, Any]:
        side = {"side": self.side} if self.side else {}
        return {**side, **({self.at: at} if self.at else {}), self.value: value}

    def taken(self, readings: Mapping[str, Any]) -> list[tuple[float | None, float]]:
        """Place and value of each reading of the kind."""
        given: Any = readings
        for name in self.path:
            given = given.get(name, {})
        return [
            (reading.get(self.at), reading[self.value])
            for reading in given or ()
            if not self.side or reading["side"] == self.side
        ]


@dataclass(frozen=True, slots=True)
class Kind:
    """Readings of one sort. `up`: their places are heights above the sill, else distances from the
    left jamb. `from_corner`: how far from the corners the outer ones are read, mm. `near` puts the
    thirds of a side into words, and `usual` says where it is read as a rule."""

    name: str
    title: Text
    words: Text
    up: bool
    from_corner: float
    near: tuple[Text, Text, Text]
    usual: Literal["ends_and_middle", "ends", "middle", "whole_side", "metre"] = "ends_and_middle"

    @property
    def json(self) -> JsonKeys:
        tool, _dot, rest = self.name.partition(".")
        match tool, rest:
            case "straightedge", side:
                return JsonKeys((tool,), "", "hump", side)
            case "splay", side:
                return JsonKeys((tool,), "at", "value", side)
            case "checks", "known_lengths":
                return JsonKeys((tool, rest), "length", "value")
        return JsonKeys(tuple(self.name.split(".")), "at", "value")

    @property
    def place_words(self) -> Text:
        if self.name == KNOWN_LENGTHS:
            return LONG
        return UP if self.up else ALONG

    def default_places(self, size: Size) -> tuple[float | None, ...]:
        length = size.height if self.up else size.width
        first, middle, last = (
            self.from_corner,
            _rounded(length / 2),
            _rounded(length - self.from_corner),
        )
        return {
            "ends_and_middle": (first, middle, last),
            "ends": (first, last),
            "middle": (middle,),
            "whole_side": (None,),
            "metre": (1000.0,),
        }[self.usual]

    def where(self, at: float, size: Size) -> Text:
        """In words, which third of the opening a place lies in."""
        share = at / (size.height if self.up else size.width)
        return self.near[min(max(int(share * 3), 0), 2)]


def _rounded(length: float) -> float:
    return round(length / STEP) * STEP


ACROSS = (_("near the left jamb"), _("in the middle"), _("near the right jamb"))
UPWARD = (_("near the sill"), _("in the middle"), _("near the head"))
CORNERS = (_("at the left jamb"), _("in the middle"), _("at the right jamb"))
FOOT_TO_HEAD = (_("at the foot"), _("in the middle"), _("at the head"))
NOWHERE = ("", "", "")
KNOWN_LENGTHS = "checks.known_lengths"

# In the order in which readings are stored and numbered; the diagonals come after the sizes.
SIZES = (
    Kind("widths", _("Widths"), _("Width"), True, FROM_CORNER, UPWARD),
    Kind("heights", _("Heights"), _("Height"), False, FROM_CORNER, ACROSS),
)
OFFSETS = (
    Kind("sill_levels", _("Sill levels"), _("Sill level"), False, 0.0, CORNERS),
    Kind("head_levels", _("Head levels"), _("Head level"), False, 0.0, CORNERS),
    Kind("plumb.left", _("Plumb, left jamb"), _("Left jamb"), True, 0.0, FOOT_TO_HEAD),
    Kind("plumb.right", _("Plumb, right jamb"), _("Right jamb"), True, 0.0, FOOT_TO_HEAD),
)


def _straightedge(side: str, words: Text, *, up: bool) -> Kind:
    return Kind(f"straightedge.{side}", words, words, up, 0.0, NOWHERE, "whole_side")


def _splay(side: str, title: Text, words: Text, *, up: bool) -> Kind:
    near = FOOT_TO_HEAD if up else CORNERS
    return Kind(f"splay.{side}", title, words, up, FROM_CORNER, near, "ends")


STRAIGHTEDGES = (
    _straightedge("left", _("Straightedge along the left jamb"), up=True),
    _straightedge("right", _("Straightedge along the right jamb"), up=True),
    _straightedge("head", _("Straightedge along the head"), up=False),
    _straightedge("sill", _("Straightedge along the sill"), up=False),
)
SPLAYS = (
    _splay("left", _("Square at the left reveal"), _("Left reveal"), up=True),
    _splay("right", _("Square at the right reveal"), _("Right reveal"), up=True),
    _splay("head", _("Square at the head"), _("Reveal of the head"), up=False),
    _splay("sill", _("Square at the sill"), _("Depth of the sill"), up=False),
)
CHECKS = (
    Kind(
        "checks.widths",
        _("Width, read with the second instrument"),
        _("Width again"),
        True,
        FROM_CORNER,
        UPWARD,
        "middle",
    ),
    Kind(
        "checks.heights",
        _("Height, read with the second instrument"),
        _("Height again"),
        False,
        FROM_CORNER,
        ACROSS,
        "middle",
    ),
    Kind(
        KNOWN_LENGTHS,
        _("Or a rule of known length, read with the first instrument"),
        _("Rule of known length"),
        True,
        0.0,
        NOWHERE,
        "metre",
    ),
)
AFTER_DIAGONALS = (*OFFSETS, *STRAIGHTEDGES, *SPLAYS, *CHECKS)
KINDS = {kind.name: kind for kind in (*SIZES, *AFTER_DIAGONALS)}
DIAGONALS = {
    "rising": _("Rising diagonal, bottom left to top right"),
    "falling": _("Falling diagonal, top left to bottom right"),
}
