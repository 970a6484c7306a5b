"""The glazing plan of a doorset, seen from outside and to scale.

In every sash the glass with its brace from heel to toe, setting blocks solid and location blocks
hollow, the leaf's number, and below it when it is glazed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from installs.arithmetic.glazing_plan import Block, GlazedLeaf, GlazingPlan, SashPlan
from jobs.arithmetic.doorset import Leaf
from jobs.code_labels import code_label
from jobs.drawings import Elevation
from jobs.svg import Canvas, circle, drawing, line, rectangle, text


@dataclass(frozen=True, slots=True)
class GlazedSash:
    """Sizes in mm; `heel` and `toe` are corners such as `bottom_left`; `turn` counts from 1."""

    number: int
    width: float
    height: float
    glass_width: float
    glass_height: float
    heel: str
    toe: str
    turn: int
    setting_blocks: tuple[Block, ...]
    location_blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class GlazedDoorset:
    """A doorset with its glazing plan; mm."""

    frame_width: float
    frame_height: float
    frame_face: float
    leaf_gap: float
    sashes: tuple[GlazedSash, ...]

    @classmethod
    def read(
        cls, leaves: Sequence[Leaf | GlazedLeaf], glazing: GlazingPlan, elevation: Elevation
    ) -> "GlazedDoorset":
        """From the leaves and the glazing of a plan, and the elevation of its doorset."""
        planned = {sash.number: sash for sash in glazing.leaves}
        turns = {number: turn for turn, number in enumerate(glazing.order, start=1)}
        return cls(
            frame_width=elevation.frame_width,
            frame_height=elevation.frame_height,
            frame_face=elevation.frame_face,
            leaf_gap=elevation.leaf_gap,
            sashes=tuple(
                _sash(leaf, planned[leaf.number], turns[leaf.number], elevation.sash_face)
                for leaf in leaves
            ),
        )

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        sashes = sorted(self.sashes, key=lambda sash: sash.turn)
        braces = "; ".join(
            _("leaf {number} from heel {heel} to toe {toe}").format(
                number=sash.number, heel=code_label(sash.heel), toe=code_label(sash.toe)
            )
            for sash in sashes
        )
        text = _("Glazing plan seen from outside, in order of work: {braces}.")
        return text.format(braces=braces)


def glazing_svg(doorset: GlazedDoorset) -> str:
    """An SVG document of all sashes with brace, blocks and order."""
    unit = max(doorset.frame_width, 1.3 * doorset.frame_height) / 48
    width, height = doorset.frame_width + 2 * unit, doorset.frame_height + 3.6 * unit
    canvas = Canvas(-unit, -unit, width, height, unit)
    return drawing(canvas, doorset.description, _strokes(doorset, unit))


def sash_svg(doorset: GlazedDoorset, number: int) -> str:
    """One sash by itself, larger than in the whole."""
    [sash] = (sash for sash in doorset.sashes if sash.number == number)
    alone = replace(
        doorset,
        frame_width=sash.width,
        frame_height=sash.height,
        frame_face=0.0,
        leaf_gap=0.0,
        sashes=(sash,),
    )
    return glazing_svg(alone)


def _strokes(doorset: GlazedDoorset, unit: float) -> Iterator[str]:
    yield rectangle(0, 0, doorset.frame_width, doorset.frame_height, weight=unit / 6)
    x = y = doorset.frame_face + doorset.leaf_gap
    for sash in doorset.sashes:
        yield rectangle(x, y, sash.width, sash.height)
        yield from _glass(sash, x, y, unit)
        below = doorset.frame_height + 1.5 * unit
        yield text(x + sash.width / 2, below, f"{sash.turn}.", bold=True)
        x += sash.width + doorset.leaf_gap


def _glass(sash: GlazedSash, x: float, y: float, unit: float) -> Iterator[str]:
    width, height = sash.glass_width, sash.glass_height
    left, top = x + (sash.width - width) / 2, y + (sash.height - height) / 2
    yield rectangle(left, top, width, height, tint=0.05, weight=unit / 20)
    ends = [_at(corner, left, top, width, height) for corner in (sash.heel, sash.toe)]
    (x1, y1), (x2, y2) = ends
    yield line(x1, y1, x2, y2, weight=unit / 5)
    for block in sash.setting_blocks:
        yield _block(block, left, top, sash, unit, solid=True)
    for block in sash.location_blocks:
        yield _block(block, left, top, sash, unit, solid=False)
    for corner, label in ((sash.heel, _("heel")), (sash.toe, _("toe"))):
        yield _corner_label(corner, label, (left, top, width, height), unit)
    middle_x, middle_y = left + width / 2, top + height / 2
    yield circle(middle_x, middle_y, 1.1 * unit, empty=True)
    yield text(middle_x, middle_y + 0.36 * unit, str(sash.number), bold=True)


def _block(
    block: Block, left: float, top: float, sash: GlazedSash, unit: float, *, solid: bool
) -> str:
    """A block lies against the outside of its edge of the glass."""
    thick, start = unit / 2, block.at - block.length / 2
    x, y, width, height = {
        "bottom": (left + start, top + sash.glass_height, block.length, thick),
        "top": (left + start, top - thick, block.length, thick),
        "left": (left - thick, _up(block, top, sash), thick, block.length),
        "right": (left + sash.glass_width, _up(block, top, sash), thick, block.length),
    }[block.edge]
    return rectangle(x, y, width, height, tint=1.0 if solid else 0.0)


def _up(block: Block, top: float, sash: GlazedSash) -> float:
    return top + sash.glass_height - block.at - block.length / 2


def _corner_label(
    corner: str, label: str, glass: tuple[float, float, float, float], unit: float
) -> str:
    """Beside the brace's end, on the side where the brace does not run."""
    left, top, width, height = glass
    low, at_left = corner.startswith("bottom"), corner.endswith("left")
    x = left + width - unit / 3 if at_left else left + unit / 3
    y = top + height - unit / 2 if low else top + 1.1 * unit
    arrow = f"\N{LEFTWARDS ARROW} {label}" if at_left else f"{label} \N{RIGHTWARDS ARROW}"
    return text(x, y, arrow, size=0.8 * unit, anchor="end" if at_left else "start")


def _at(corner: str, left: float, top: float, width: float, height: float) -> tuple[float, float]:
    x = left if corner.endswith("left") else left + width
    return x, top + height if corner.startswith("bottom") else top


def _sash(leaf: Leaf | GlazedLeaf, planned: SashPlan, turn: int, sash_face: float) -> GlazedSash:
    return GlazedSash(
        number=leaf.number,
        width=leaf.width,
        height=leaf.height,
        glass_width=leaf.glass_width or leaf.width - 2 * sash_face,
        glass_height=leaf.glass_height or leaf.height - 2 * sash_face,
        heel=planned.heel,
        toe=planned.toe,
        turn=turn,
        setting_blocks=planned.setting_blocks,
        location_blocks=planned.location_blocks,
    )
