"""What of a doorset is lifted in one go, by each way to take it apart. Pure; mm and kg."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.holding import Burden, framed
from jobs.arithmetic.doorset import DoorsetAnswer, Leaf, Size
from surveys.arithmetic.way_in import Plate

What = Literal["frame", "sash", "pane"]
WayName = Literal["as_it_is", "sashes_off", "glass_by_glass"]


@dataclass(frozen=True, slots=True)
class LiftedPart:
    """`leaf` is that of a sash or pane, None of the frame."""

    what: What
    burden: Burden
    plate: Plate
    leaf: int | None = None

    @property
    def least_people(self) -> int:
        """Nobody lifts a frame or a sash alone, whatever it weighs."""
        return 1 if self.what == "pane" else 2


@dataclass(frozen=True, slots=True)
class LiftWay:
    """One way to lift a doorset in: its frame, its heaviest sash and pane where they go in by
    themselves."""

    name: WayName
    parts: tuple[LiftedPart, ...]


def lift_ways(calculation: DoorsetAnswer, frame: Size, depth: float) -> tuple[LiftWay, ...]:
    """As the doorset comes first, then each way that takes more of it apart."""
    hung, fitted = calculation.sashes == "hung", calculation.glass == "fitted"
    leaves = calculation.leaves
    bare = frame_part(calculation.frame_mass, frame, depth)
    sash = _heaviest(sash_part(leaf, depth, glazed=fitted) for leaf in leaves)
    pane = _heaviest(pane_part(leaf, depth) for leaf in leaves)
    panes = () if fitted else (pane,)
    if hung:
        whole = frame_part(
            calculation.lifted_mass,
            frame,
            depth,
            filling=calculation.lifted_mass - calculation.frame_mass,
        )
        ways = [
            LiftWay("as_it_is", (whole, *panes)),
            LiftWay("sashes_off", (bare, sash, *panes)),
        ]
    else:
        ways = [LiftWay("as_it_is", (bare, sash, *panes))]
    if fitted:
        empty = _heaviest(sash_part(leaf, depth, glazed=False) for leaf in leaves)
        ways.append(LiftWay("glass_by_glass", (bare, empty, pane)))
    return tuple(ways)


def frame_part(mass: float, frame: Size, depth: float, filling: float = 0.0) -> LiftedPart:
    """`filling`: what hangs in it, kg of its mass."""
    plate = Plate(frame.width, frame.height, depth)
    return LiftedPart("frame", _framed(mass, plate, filling), plate)


def sash_part(leaf: Leaf, depth: float, *, glazed: bool) -> LiftedPart:
    """No thicker than the frame that it closes into, with its glass or without."""
    plate = Plate(leaf.width, leaf.height, depth)
    filling = leaf.glass_mass if glazed else 0.0
    profiles = leaf.mass - leaf.glass_mass
    return LiftedPart("sash", _framed(profiles + filling, plate, filling), plate, leaf.number)


def pane_part(leaf: Leaf, depth: float) -> LiftedPart:
    plate = Plate(leaf.glass_width, leaf.glass_height, depth)
    return LiftedPart("pane", _framed(leaf.glass_mass, plate, leaf.glass_mass), plate, leaf.number)


def _framed(mass: float, plate: Plate, filling: float) -> Burden:
    return framed(mass, plate.longer, plate.width, plate.height, filling=filling)


def _heaviest(parts: Iterable[LiftedPart]) -> LiftedPart:
    return max(parts, key=lambda part: part.burden.mass)
