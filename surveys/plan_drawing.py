"""A doorset in plan, to scale: its frame, its leaves half open and folded, and what they sweep.

Left and right are as seen from outside, so outside lies at the foot of the drawing.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.arithmetic.stack import (
    FoldedStack,
    Point,
    folded_stacks,
    leaves_in_plan,
    sweep_outline,
)
from jobs.code_labels import code_label
from jobs.svg import Canvas, drawing, mm, path, rectangle, text
from surveys.arithmetic.sweep_findings import LeafSpace, Obstruction

# How far what is drawn of an obstruction reaches at least, along and out, mm.
LEAST_DRAWN = 60.0


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """Where leaves stand, and what stands there already; `clearance` is kept free, mm."""

    space: LeafSpace
    obstructions: tuple[Obstruction, ...]
    clearance: float

    @property
    def beside_the_leaves(self) -> tuple[Obstruction, ...]:
        return tuple(one for one in self.obstructions if one.side == self.space.face)

    @property
    def stacks(self) -> tuple[FoldedStack, ...]:
        return folded_stacks(self.space.chains)

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        frame = (
            _("Plan of the doorset, leaves folding outwards.")
            if self.space.face == "outside"
            else _("Plan of the doorset, leaves folding inwards.")
        )
        return " ".join((frame, *map(stack_label, self.stacks), *self._obstruction_labels()))

    def meets(self, obstruction: Obstruction) -> bool:
        return self.space.meets(obstruction, self.clearance)

    def _obstruction_labels(self) -> Iterator[str]:
        for one in self.beside_the_leaves:
            label = (
                _("{what}, {along} mm from the left and {distance} mm out: in their way.")
                if self.meets(one)
                else _("{what}, {along} mm from the left and {distance} mm out: clear of them.")
            )
            yield label.format(
                what=code_label(one.obstruction).capitalize(),
                along=mm(one.along),
                distance=mm(one.distance),
            )


def stack_label(stack: FoldedStack) -> str:
    """Such as `5 leaves stand folded at the left jamb: 366 mm wide, 698 mm out.`"""
    label = (
        _("Folded at the left jamb ({leaves}): {thickness} mm along the frame, {out} mm out.")
        if stack.jamb == "left"
        else _("Folded at the right jamb ({leaves}): {thickness} mm along the frame, {out} mm out.")
    )
    return label.format(
        leaves=stack.leaves, thickness=mm(stack.thickness), out=f"{stack.projection:.0f}"
    )


def plan_svg(plan: DrawnPlan) -> str:
    """An SVG document of the plan."""
    chains = plan.space.chains
    unit = chains.frame_width / 40
    reach = max(stack.projection for stack in plan.stacks)
    furthest = [one.distance + plan.space.behind + LEAST_DRAWN for one in plan.beside_the_leaves]
    out = max((reach, *(far for far in furthest if far < 2 * reach))) + 2.6 * unit
    back = chains.leaf_thickness + 1.6 * unit
    left = max((3.0 * unit, *(-one.along + 2 * unit for one in plan.beside_the_leaves)))
    right = max(
        one.along + max(one.width, LEAST_DRAWN) + 2 * unit
        for one in (*plan.beside_the_leaves, Obstruction("", chains.frame_width + 2 * unit, 0.0))
    )
    top = -back if plan.space.face == "outside" else -out
    canvas = Canvas(-left, top, left + right, out + back, unit)
    return drawing(canvas, plan.description, _strokes(plan, unit, left, right), weight=unit / 14)


def _strokes(plan: DrawnPlan, unit: float, left: float, right: float) -> Iterator[str]:
    chains = plan.space.chains
    outline = sweep_outline(chains)
    edges = [(0.0, 0.0), *outline, (chains.frame_width, 0.0)]
    yield path(
        *_turned(plan, edges),
        closed=True,
        weight=unit / 24,
        fill="currentColor",
        fill_opacity="0.06",
        stroke_dasharray=f"{unit / 2:.1f} {unit / 3:.1f}",
    )
    yield from _walls(plan, unit, left, right)
    for leaf in leaves_in_plan(chains, 0.5):
        yield path(*_turned(plan, leaf.corners), closed=True, weight=unit / 30)
    for leaf in leaves_in_plan(chains, 1.0):
        looks = {"fill": "currentColor", "fill_opacity": "0.25"}
        yield path(*_turned(plan, leaf.corners), closed=True, weight=unit / 14, **looks)
    yield from _frame(plan, unit)
    for one in plan.beside_the_leaves:
        yield from _obstruction(plan, one, unit)
    yield from _sizes(plan, unit)


def _turned(plan: DrawnPlan, points: tuple[Point, ...] | list[Point]) -> list[Point]:
    """Out is towards the foot of the drawing where leaves fold outwards."""
    sign = 1.0 if plan.space.face == "outside" else -1.0
    return [(x, sign * y) for x, y in points]


def _box(plan: DrawnPlan, start: Point, end: Point, **looks: float) -> str:
    (x1, y1), (x2, y2) = _turned(plan, [start, end])
    x, y = min(x1, x2), min(y1, y2)
    return rectangle(x, y, abs(x2 - x1), abs(y2 - y1), **looks)


def _walls(plan: DrawnPlan, unit: float, left: float, right: float) -> Iterator[str]:
    """On both sides of the frame, from the face that leaves fold out of."""
    width, behind = plan.space.chains.frame_width, plan.space.behind
    inner = -plan.space.chains.leaf_thickness - 0.6 * unit
    yield _box(plan, (-left, inner), (0.0, behind), tint=0.12, weight=unit / 24)
    yield _box(plan, (width, inner), (right, behind), tint=0.12, weight=unit / 24)


def _frame(plan: DrawnPlan, unit: float) -> Iterator[str]:
    chains = plan.space.chains
    face, depth, width = chains.frame_face, chains.leaf_thickness, chains.frame_width
    yield _box(plan, (0.0, -depth), (width, 0.0), weight=unit / 12)
    yield _box(plan, (0.0, -depth), (face, 0.0), tint=0.5, weight=unit / 12)
    yield _box(plan, (width - face, -depth), (width, 0.0), tint=0.5, weight=unit / 12)


def _obstruction(plan: DrawnPlan, one: Obstruction, unit: float) -> Iterator[str]:
    near = one.distance + plan.space.behind
    end = (one.along + max(one.width, LEAST_DRAWN), near + LEAST_DRAWN)
    yield _box(plan, (one.along, near), end, tint=0.7, weight=unit / 14)
    words = code_label(one.obstruction)
    [(x, y)] = _turned(plan, [((one.along + end[0]) / 2, end[1] + 0.8 * unit)])
    met = plan.meets(one)
    yield text(x, y + unit / 3, f"! {words}" if met else words, size=0.8 * unit, bold=met)


def _sizes(plan: DrawnPlan, unit: float) -> Iterator[str]:
    """Under each stack how far it reaches along and out; and which side is which."""
    for stack in plan.stacks:
        at_left = stack.jamb == "left"
        x = stack.end + unit / 2 if at_left else stack.start - unit / 2
        [(_x, y)] = _turned(plan, [(x, stack.projection + 1.1 * unit)])
        words = f"{mm(stack.thickness)} \N{MULTIPLICATION SIGN} {stack.projection:.0f} mm"
        middle = (stack.start + stack.end) / 2
        yield text(max(middle, 3 * unit), y + unit / 3, words, size=0.8 * unit, bold=True)
    width = plan.space.chains.frame_width
    [(_x, y)] = _turned(plan, [(width, max(s.projection for s in plan.stacks) + 2 * unit)])
    words = _("outside") if plan.space.face == "outside" else _("inside")
    yield text(width / 2, y + unit / 3, words, size=0.8 * unit)
