"""The elevation of a fitting as a map: every part of it is a link to its readings and its state.

Seen from outside and to scale, in CSS pixels, so that every link keeps a target of 48 on a phone.
Fixings have their links in a lane outside the frame, members one lane further out; junctions and
sashes are in two rows, so that narrow leaves leave room for both. Triangles under the sill are its
packers without a fixing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _

from jobs.drawings import Elevation
from jobs.svg import FONT_FAMILY, Canvas, circle, element, line, path, rectangle, text

TARGET = 48.0
LANES = 2 * TARGET
LETTER = 15.0
# A frame is drawn at least this wide, and no wider than can be found again by moving sideways.
LEAST_WIDTH, GREATEST_WIDTH = 420.0, 1400.0
LEAF_WIDTH = 60.0
# Heights of the two rows of links, as shares of the frame's height.
SASH_ROW, JUNCTION_ROW = 0.3, 0.66


@dataclass(frozen=True, slots=True)
class Part:
    """What a link opens: `name` says the part and its state, `tone` and `sign` show the state."""

    label: str
    name: str
    address: str
    tone: str
    sign: str


@dataclass(frozen=True, slots=True)
class FixingPart:
    """`position` in mm from the member's left or foot end."""

    position: float
    part: Part


@dataclass(frozen=True, slots=True)
class MemberPart:
    """A side of the frame: `side` is left, right, head or sill. `supports`: where it is packed
    without a fixing, mm from its left or foot end; they are listed with the member."""

    side: str
    part: Part
    fixings: tuple[FixingPart, ...]
    supports: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class FittingMap:
    """Sashes and junctions from the left; members in the order in which they are worked on."""

    elevation: Elevation
    sashes: tuple[Part, ...]
    junctions: tuple[Part, ...]
    members: tuple[MemberPart, ...]

    @property
    def scale(self) -> float:
        """Pixels to the mm: the closest fixings stay a target apart, and leaves have room."""
        width = self.elevation.frame_width
        wanted = max(LEAST_WIDTH, LEAF_WIDTH * len(self.sashes), *self._spread_fixings(width))
        return min(wanted, GREATEST_WIDTH) / width

    def _spread_fixings(self, width: float) -> Iterator[float]:
        for member in self.members:
            places = sorted(fixing.position for fixing in member.fixings)
            for near, far in pairwise(places):
                if far > near:
                    yield width * TARGET / (far - near)


def map_svg(drawn: FittingMap) -> str:
    """An SVG document whose links are the parts of the fitting."""
    width = drawn.elevation.frame_width * drawn.scale
    height = drawn.elevation.frame_height * drawn.scale
    canvas = Canvas(-LANES, -LANES, width + 2 * LANES, height + 2 * LANES, LETTER)
    return element(
        "svg",
        *_frame(drawn, width, height),
        *_sashes(drawn, width, height),
        *_junctions(drawn, width, height),
        *_members(drawn, width, height),
        xmlns="http://www.w3.org/2000/svg",
        role="group",
        aria_label=_("Map of the fitting. {elevation}").format(
            elevation=drawn.elevation.description
        ),
        viewBox=canvas.box,
        width=canvas.width,
        height=canvas.height,
        fill="none",
        stroke="currentColor",
        stroke_width=1,
        font_family=FONT_FAMILY,
        font_size=LETTER,
    )


def _frame(drawn: FittingMap, width: float, height: float) -> Iterator[str]:
    face = drawn.elevation.frame_face * drawn.scale
    yield rectangle(0, 0, width, height, weight=2)
    yield rectangle(face, face, width - 2 * face, height - 2 * face)
    inset = drawn.elevation.sash_face * drawn.scale
    for left, right in _leaf_edges(drawn):
        top, bottom = face, height - face
        yield rectangle(left, top, right - left, bottom - top)
        glass = (right - left - 2 * inset, bottom - top - 2 * inset)
        yield rectangle(left + inset, top + inset, *glass, tint=0.04, weight=0.5)


def _leaf_edges(drawn: FittingMap) -> Sequence[tuple[float, float]]:
    """Left and right edge of every leaf, px."""
    elevation, edges = drawn.elevation, []
    x = elevation.frame_face + elevation.leaf_gap
    for leaf in elevation.leaves:
        edges.append((x * drawn.scale, (x + leaf.width) * drawn.scale))
        x += leaf.width + elevation.leaf_gap
    return edges


def _sashes(drawn: FittingMap, width: float, height: float) -> Iterator[str]:
    y = SASH_ROW * height
    for part, (left, right) in zip(drawn.sashes, _leaf_edges(drawn), strict=True):
        x, reach = (left + right) / 2, max(TARGET, right - left - 4)
        mark = [
            circle(x, y, 20, empty=True),
            text(x, y - 2, part.label, bold=True),
            text(x, y + 14, part.sign),
        ]
        yield _link(part, (x - reach / 2, y - 1.2 * TARGET / 2, reach, 1.2 * TARGET), mark)


def _junctions(drawn: FittingMap, width: float, height: float) -> Iterator[str]:
    """Each on the line where its leaves meet; those at the jambs inside, clear of their fixings."""
    edges = _leaf_edges(drawn)
    meetings = ((a[1] + b[0]) / 2 for a, b in pairwise(edges))
    inside = TARGET / 2 + 4
    places = [max(edges[0][0], inside), *meetings, min(edges[-1][1], width - inside)]
    y = JUNCTION_ROW * height
    for part, x in zip(drawn.junctions, places, strict=True):
        mark = [
            line(x, y - TARGET, x, y + TARGET, weight=2),
            # Empty, so that no line runs through what is written on it.
            rectangle(x - 19, y - 20, 38, 40, class_="plate", rx=4),
            text(x, y - 2, part.label, bold=True),
            text(x, y + 14, part.sign),
        ]
        yield _link(part, (x - TARGET / 2, y - TARGET / 2, TARGET, TARGET), mark)


def _members(drawn: FittingMap, width: float, height: float) -> Iterator[str]:
    for member in drawn.members:
        length = width if member.side in ("head", "sill") else height
        yield from (_support(place * drawn.scale, height) for place in member.supports)
        yield _member(member, width, height, length)
        for fixing in sorted(member.fixings, key=lambda fixing: fixing.position):
            along = min(max(fixing.position * drawn.scale, 0), length)
            yield _fixing(member.side, fixing.part, along, width, height)


def _member(member: MemberPart, width: float, height: float, length: float) -> str:
    """Its name in the outer lane, along the member."""
    part, long = member.part, min(length, 200.0)
    label = f"{part.label} {part.sign}"
    middle = 1.5 * TARGET
    if member.side in ("head", "sill"):
        x, y = width / 2, -middle if member.side == "head" else height + middle
        box = (x - long / 2, y - TARGET / 2, long, TARGET)
        return _link(part, box, [text(x, y + 5, label, bold=True)])
    x, y = -middle if member.side == "left" else width + middle, height / 2
    box = (x - TARGET / 2, y - long / 2, TARGET, long)
    turned = f"rotate(-90 {x:.1f} {y:.1f})"
    return _link(part, box, [text(x, y + 5, label, bold=True, transform=turned)])


def _support(along: float, height: float) -> str:
    """A triangle under the sill, which alone has any."""
    corners = (along, height), (along + 5, height + 9), (along - 5, height + 9)
    return path(*corners, closed=True, fill="currentColor")


def _fixing(side: str, part: Part, along: float, width: float, height: float) -> str:
    """A dot on the frame where it sits, its sign beside it in the inner lane."""
    half = TARGET / 2
    on_frame, in_lane = {
        "head": ((along, 0.0), (along, -half)),
        "sill": ((along, height), (along, height + half)),
        # The foot end of a jamb is down.
        "left": ((0.0, height - along), (-half, height - along)),
        "right": ((width, height - along), (width + half, height - along)),
    }[side]
    mark = [circle(*on_frame, 4, tint=1), text(in_lane[0], in_lane[1] + 5, part.sign, bold=True)]
    return _link(part, (in_lane[0] - half, in_lane[1] - half, TARGET, TARGET), mark)


def _link(part: Part, box: tuple[float, float, float, float], mark: Sequence[str]) -> str:
    reach = rectangle(*box, class_="reach", rx=6, fill="transparent", stroke="none")
    return element(
        "a", reach, *mark, href=part.address, aria_label=part.name, class_=f"part {part.tone}"
    )
