"""One member of the frame with its fixings, lengths to scale.

The member lies from its left or foot end to its right or head end. Above it are the distances,
below it the packers. A round mark is a fixing through the frame or the track, a square one a fixing
in the channel behind it; hatching covers where none can be put. A triangle under a sill is a packer
without a fixing, where it carries load; these are numbered by themselves, `P1` and so on, in a row
of their own.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _

from installs.arithmetic.members import PlannedFixing, PlannedMember, Stretch
from installs.arithmetic.packers import PackerStack
from installs.member_labels import MEMBER_TITLES
from jobs.svg import Canvas, circle, drawing, line, mm, path, rectangle, text
from jobs.translation import translated

# How many letters fit along the longest member.
LETTERS_ALONG = 62
LEAST_LETTERS_BETWEEN = 1.5
# Letters that the row of packers without a fixing takes below a member.
SUPPORT_ROW = 4.2


@dataclass(frozen=True, slots=True)
class DrawnPackers:
    """`packers` are pieces in mm, None where the joint was not measured."""

    position: float
    packers: tuple[float, ...] | None
    within: bool


@dataclass(frozen=True, slots=True)
class DrawnFixing(DrawnPackers):
    in_channel: bool


@dataclass(frozen=True, slots=True)
class DrawnMember:
    """A planned member; mm from its left or foot end. `reason`: why it has no layout."""

    name: str
    length: float
    closed: tuple[Stretch, ...]
    fixings: tuple[DrawnFixing, ...]
    supports: tuple[DrawnPackers, ...]
    reason: str

    @classmethod
    def read(cls, member: PlannedMember) -> "DrawnMember":
        """From a member of a frozen plan's `fixing_layout`."""
        return cls(
            name=member.name,
            length=member.length,
            closed=(
                *member.kept_out,
                *_out_of_reach(member.reachable, member.length),
            ),
            fixings=tuple(_fixing(fixing) for fixing in member.fixings),
            supports=tuple(
                DrawnPackers(support.position, *_pieces(support.packers))
                for support in member.supports_without_fixing
            ),
            reason=member.reason or "",
        )

    @property
    def title(self) -> str:
        return translated(MEMBER_TITLES[self.name])

    @property
    def ends(self) -> tuple[str, str]:
        return (_("foot"), _("head")) if self.is_upright else (_("left"), _("right"))

    @property
    def is_upright(self) -> bool:
        return self.name in ("left", "right")

    @property
    def distances(self) -> tuple[float, ...]:
        """From the first end over every fixing to the other end."""
        at = (0.0, *(fixing.position for fixing in self.fixings), self.length)
        return tuple(b - a for a, b in pairwise(at))

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        values = {"member": self.title, "length": mm(self.length)}
        if self.reason:
            text = _("{member}, {length} mm long: no layout, {reason}.")
            fixed = text.format(**values, reason=translated(self.reason))
        else:
            fixed = self._description_of_fixings(values)
        if not self.supports:
            return fixed
        packed = _("{fixings} Packers without a fixing at mm (packers): {supports}.")
        return packed.format(fixings=fixed, supports=_listed(self.supports))

    def _description_of_fixings(self, values: Mapping[str, str]) -> str:
        upright = _(
            "{member}, {length} mm long: fixings from its foot end at mm (packers): {fixings}."
        )
        lying = _(
            "{member}, {length} mm long: fixings from its left end at mm (packers): {fixings}."
        )
        return (upright if self.is_upright else lying).format(
            **values, fixings=_listed(self.fixings)
        )


def member_svg(member: DrawnMember, longest: float) -> str:
    """An SVG document of a member; `longest` of all members, mm, so that they share one scale."""
    unit = longest / LETTERS_ALONG
    height = 10.4 + (SUPPORT_ROW if member.supports else 0)
    canvas = Canvas(-3 * unit, -5.4 * unit, longest + 6 * unit, height * unit, unit)
    return drawing(canvas, member.description, _strokes(member, unit))


def _strokes(member: DrawnMember, unit: float) -> Iterator[str]:
    yield rectangle(0, 0, member.length, 2 * unit, weight=unit / 8)
    for start, end in member.closed:
        yield from _hatched(max(start, 0.0), min(end, member.length), unit)
    first, last = member.ends
    yield text(-0.4 * unit, 1.3 * unit, first, size=0.8 * unit, anchor="end")
    yield text(member.length + 0.4 * unit, 1.3 * unit, last, size=0.8 * unit, anchor="start")
    for number, support in enumerate(member.supports, start=1):
        yield from _drawn_support(number, support, unit)
    if member.reason:
        yield text(
            member.length / 2,
            4 * unit,
            _("! no layout: {reason}").format(reason=translated(member.reason)),
            bold=True,
        )
        return
    for number, fixing in enumerate(member.fixings, start=1):
        yield from _drawn_fixing(number, fixing, unit)
    yield from _distances(member, unit)


def _drawn_fixing(number: int, fixing: DrawnFixing, unit: float) -> Iterator[str]:
    x = fixing.position
    yield line(x, -1.4 * unit, x, 2.3 * unit, weight=unit / 24)
    if fixing.in_channel:
        yield rectangle(x - unit / 2, unit / 2, unit, unit, tint=1)
    else:
        yield circle(x, unit, unit / 2, tint=1)
    yield text(x, -1.7 * unit, str(number), bold=True)
    yield from _written_packers(fixing, 3.3 * unit, unit)


def _drawn_support(number: int, support: DrawnPackers, unit: float) -> Iterator[str]:
    x, foot = support.position, 2 * unit
    corners = (x, foot), (x + 0.4 * unit, foot + 0.7 * unit), (x - 0.4 * unit, foot + 0.7 * unit)
    yield path(*corners, closed=True, fill="currentColor")
    yield text(x, 5.7 * unit, f"P{number}", size=0.75 * unit)
    yield from _written_packers(support, 6.8 * unit, unit)


def _written_packers(packed: DrawnPackers, y: float, unit: float) -> Iterator[str]:
    """Their total, and under it the pieces."""
    yield text(packed.position, y, _total(packed), bold=True)
    if packed.packers and len(packed.packers) > 1:
        pieces = "+".join(map(mm, packed.packers))
        yield text(packed.position, y + unit, pieces, size=0.75 * unit)


def _total(packed: DrawnPackers) -> str:
    if packed.packers is None:
        return "?"
    return mm(sum(packed.packers)) + ("" if packed.within else " !")


def _distances(member: DrawnMember, unit: float) -> Iterator[str]:
    """End distances and centres in a chain; where it is narrow every other one is higher."""
    y, at = -3.4 * unit, 0.0
    yield line(0, y, member.length, y, weight=unit / 24)
    yield line(0, y - unit / 3, 0, 0, weight=unit / 24)
    yield line(member.length, y - unit / 3, member.length, 0, weight=unit / 24)
    for index, distance in enumerate(member.distances):
        end = at + distance
        narrow = distance < LEAST_LETTERS_BETWEEN * unit and index % 2 == 1
        yield text((at + end) / 2, y - (1.3 if narrow else 0.35) * unit, mm(distance))
        yield line(end, y - unit / 3, end, y + unit / 3)
        at = end


def _hatched(start: float, end: float, unit: float) -> Iterator[str]:
    if end <= start:
        return
    yield rectangle(start, 0, end - start, 2 * unit, tint=0.06)
    x = start
    while x < end:
        run = min(2 * unit, end - x)
        yield line(x, 2 * unit, x + run, 2 * unit - run, weight=unit / 30)
        x += unit / 2


def _out_of_reach(reachable: tuple[Stretch, ...] | None, length: float) -> tuple[Stretch, ...]:
    """What lies between the stretches that can be reached; nothing where all can."""
    if reachable is None:
        return ()
    edges = [0.0, *(edge for stretch in reachable for edge in stretch), length]
    return tuple(zip(edges[::2], edges[1::2], strict=True))


def _fixing(fixing: PlannedFixing) -> DrawnFixing:
    pieces, within = _pieces(fixing.packers)
    return DrawnFixing(fixing.position, pieces, within, fixing.method == "in_channel")


def _pieces(packers: PackerStack | None) -> tuple[tuple[float, ...] | None, bool]:
    return (packers.pieces, packers.within) if packers else (None, False)


def _listed(places: Iterable[DrawnPackers]) -> str:
    return ", ".join(f"{mm(place.position)} ({_packers(place)})" for place in places)


def _packers(packed: DrawnPackers) -> str:
    if packed.packers is None:
        return _("joint not measured")
    return " + ".join(map(mm, packed.packers)) or _("none")
