"""The elevation of a doorset, seen from outside and to scale, as SVG.

Opening lines follow the drawing practice of EN 12519 (from memory): they meet on the side a leaf is
hung on, solid where it opens towards the eye and dashed where it opens away. The disc under a
number is white unless a page's style says otherwise.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.figures import number
from jobs.svg import Canvas, circle, drawing, element, line, path, rectangle, text


@dataclass(frozen=True, slots=True)
class DrawnLeaf:
    """Sizes in mm; `hinge_side` is the side that carries the leaf."""

    number: int
    width: float
    height: float
    hinge_side: str
    access_leaf: bool


@dataclass(frozen=True, slots=True)
class Elevation:
    """What the drawing needs to know of a doorset; all lengths in mm."""

    frame_width: float
    frame_height: float
    frame_face: float
    sash_face: float
    leaf_gap: float
    left_leaves: int
    right_leaves: int
    opens: Literal["out", "in"]
    leaves: tuple[DrawnLeaf, ...]

    @property
    def fold(self) -> str:
        return f"{len(self.leaves)}-{self.left_leaves}-{self.right_leaves}"

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        access = [str(leaf.number) for leaf in self.leaves if leaf.access_leaf]
        text = (
            _(
                "Doorset {fold} seen from outside, {width} by {height} mm, opening outwards: "
                "{left}, {right}; access leaf: {access}."
            )
            if self.opens == "out"
            else _(
                "Doorset {fold} seen from outside, {width} by {height} mm, opening inwards: "
                "{left}, {right}; access leaf: {access}."
            )
        )
        return text.format(
            fold=self.fold,
            width=number(self.frame_width),
            height=number(self.frame_height),
            left=_folding(self.left_leaves, "left"),
            right=_folding(self.right_leaves, "right"),
            access=", ".join(access) or _("none"),
        )


def elevation_svg(doorset: Elevation) -> str:
    """An SVG document of the whole doorset with numbered leaves, folds and frame sizes."""
    unit = max(doorset.frame_width, 1.3 * doorset.frame_height) / 44
    left, right = unit, 4 * unit
    above, below = unit, 7 * unit
    canvas = Canvas(
        -left,
        -above,
        doorset.frame_width + left + right,
        doorset.frame_height + above + below,
        unit,
    )
    parts = (_frame, _leaves, _folds, _sizes)
    strokes = (stroke for part in parts for stroke in part(doorset, unit))
    return drawing(canvas, doorset.description, strokes, weight=unit / 12)


def _frame(doorset: Elevation, unit: float) -> Iterator[str]:
    face = doorset.frame_face
    width, height = doorset.frame_width, doorset.frame_height
    yield rectangle(0, 0, width, height, weight=unit / 6)
    yield rectangle(face, face, width - 2 * face, height - 2 * face)


def _leaves(doorset: Elevation, unit: float) -> Iterator[str]:
    x = doorset.frame_face + doorset.leaf_gap
    y = doorset.frame_face + doorset.leaf_gap
    for leaf in doorset.leaves:
        yield element("g", *_leaf(leaf, x, y, doorset, unit), data_leaf=str(leaf.number))
        x += leaf.width + doorset.leaf_gap


def _leaf(leaf: DrawnLeaf, x: float, y: float, doorset: Elevation, unit: float) -> Iterator[str]:
    sash = doorset.sash_face
    middle_x, middle_y = x + leaf.width / 2, y + leaf.height / 2
    glass = (x + sash, y + sash, leaf.width - 2 * sash, leaf.height - 2 * sash)
    yield rectangle(x, y, leaf.width, leaf.height)
    yield rectangle(*glass, weight=unit / 20, tint=0.05)
    yield _opening_lines(leaf, glass, dashed=doorset.opens == "in", unit=unit)
    # The number stands on an empty disc, so that no line runs through it.
    yield circle(middle_x, middle_y, unit, empty=True)
    yield text(middle_x, middle_y + unit * 0.36, str(leaf.number), bold=True)
    if leaf.access_leaf:
        yield from _handle(leaf, x, middle_y, sash, unit)
        yield text(middle_x, y + leaf.height - sash - unit * 0.6, _("access"), size=unit * 0.8)


def _opening_lines(
    leaf: DrawnLeaf, glass: tuple[float, float, float, float], *, dashed: bool, unit: float
) -> str:
    x, y, width, height = glass
    hung, free = (x, x + width) if leaf.hinge_side == "left" else (x + width, x)
    dashes = f"{unit / 2:.1f} {unit / 3:.1f}" if dashed else None
    corners = ((free, y), (hung, y + height / 2), (free, y + height))
    return path(*corners, weight=unit / 24, stroke_dasharray=dashes)


def _handle(leaf: DrawnLeaf, x: float, middle_y: float, sash: float, unit: float) -> Iterator[str]:
    centre = x + (leaf.width - sash / 2 if leaf.hinge_side == "left" else sash / 2)
    yield line(centre, middle_y, centre, middle_y + 1.4 * unit, weight=unit / 4)


def _folds(doorset: Elevation, unit: float) -> Iterator[str]:
    """An arrow under each chain, towards the jamb that it folds to."""
    y = doorset.frame_height + 1.6 * unit
    edge = doorset.frame_face
    split = edge + sum(leaf.width for leaf in doorset.leaves[: doorset.left_leaves])
    split += doorset.leaf_gap * (doorset.left_leaves + 0.5)
    chains: tuple[tuple[int, str, float, float], ...] = (
        (doorset.left_leaves, "left", split - unit / 2, edge),
        (doorset.right_leaves, "right", split + unit / 2, doorset.frame_width - edge),
    )
    for count, side, start, end in chains:
        if count:
            yield line(start, y, end, y)
            foot = end + (unit if side == "left" else -unit)
            head = ((end, y), (foot, y - unit / 3), (foot, y + unit / 3))
            yield path(*head, closed=True, fill="currentColor", stroke="none")
            yield text((start + end) / 2, y + 1.4 * unit, _folding(count, side))


def _sizes(doorset: Elevation, unit: float) -> Iterator[str]:
    width, height = doorset.frame_width, doorset.frame_height
    y, x = height + 4.6 * unit, width + 1.4 * unit
    yield line(0, y, width, y, weight=unit / 20)
    yield from (line(at, y - unit / 2, at, y + unit / 2) for at in (0, width))
    yield text(width / 2, y + 1.5 * unit, f"{number(width)} mm")
    yield line(x, 0, x, height, weight=unit / 20)
    yield from (line(x - unit / 2, at, x + unit / 2, at) for at in (0, height))
    turned = f"rotate(-90 {x + 1.5 * unit:.1f} {height / 2:.1f})"
    yield text(x + 1.5 * unit, height / 2, f"{number(height)} mm", transform=turned)


def _folding(count: int, side: str) -> str:
    if side == "left":
        text = ngettext("{count} leaf folds left", "{count} leaves fold left", count)
        return text.format(count=count) if count else _("none to the left")
    text = ngettext("{count} leaf folds right", "{count} leaves fold right", count)
    return text.format(count=count) if count else _("none to the right")
