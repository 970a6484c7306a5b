"""Chains of leaves in frames with one known fault, drawn by geometry alone.

Head and sill are curves, leaves are quadrilaterals that hang on hinges and carriers; a gap is what
is left between them. Carriers run on the sill or hang from the head, frames are never quite even,
sashes never quite square, carriers stand anywhere until they are set. Sizes of faults are my
choice: from what stops leaves running freely to what a fitter would see from afar (common practice,
no source). Lengths in mm.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin
from random import Random

Curve = Callable[[float], float]
LEAF_GAP = 4.0


@dataclass
class DrawnFrame:
    """How far head and sill stand above where they should, along the chain; how much the rails of
    each sash rise from one stile to the other; how far each carrier stands above its middle."""

    at: list[float]
    supports: list[str]
    head: list[Curve]
    sill: list[Curve]
    racks: list[float]
    carriers: dict[int, float]
    place: int | None = None

    def of_kind(self, support: str) -> list[int]:
        return [index for index, known in enumerate(self.supports) if known == support]

    def head_at(self, x: float) -> float:
        return sum(curve(x) for curve in self.head)

    def sill_at(self, x: float) -> float:
        return sum(curve(x) for curve in self.sill)

    def gaps(self, heights: Sequence[float]) -> list[tuple[float, float]]:
        return [
            (max(0.0, LEAF_GAP + self.head_at(x) - up), max(0.0, LEAF_GAP + up - self.sill_at(x)))
            for x, up in zip(self.at, heights, strict=True)
        ]


def drawn_frame(rng: Random, leaves: int, carriers_off: float) -> DrawnFrame:
    """Without a fault; carriers stand off by so much (standard deviation)."""
    width = rng.uniform(650, 1000)
    at = [number * (width + LEAF_GAP) for number in range(leaves + 1)]
    supports = ["hinge", *("none" if n % 2 else "carrier" for n in range(1, leaves + 1))]
    return DrawnFrame(
        at,
        supports,
        head=[_wave(rng, at[-1])],
        sill=[_wave(rng, at[-1])],
        racks=[rng.gauss(0, 0.15) for _ in range(leaves)],
        carriers={n: rng.gauss(0, carriers_off) for n in range(2, leaves + 1, 2)},
    )


def leaf_heights(frame: DrawnFrame, follow: Curve) -> list[float]:
    """How far the leaves stand up at each junction, where carriers follow a curve.

    Hinged stile to stile, the leaves between two supports all lean alike; by how much follows from
    the supports' heights and from how far the sashes are racked.
    """
    held = {0: 0.0, **{n: off + follow(frame.at[n]) for n, off in frame.carriers.items()}}
    heights, places = [0.0], sorted(held)
    for here, beyond in pairwise(places):
        racked = sum(frame.racks[here:beyond])
        lean = (held[beyond] - held[here] - racked) / (frame.at[beyond] - frame.at[here])
        for leaf in range(here, beyond):
            width = frame.at[leaf + 1] - frame.at[leaf]
            heights.append(heights[-1] + lean * width + frame.racks[leaf])
    for leaf in range(places[-1], len(frame.racks)):
        heights.append(heights[-1] + frame.racks[leaf])
    return heights


def _wave(rng: Random, length: float) -> Curve:
    bends, begin, by = rng.uniform(0.5, 2.5), rng.uniform(0, 2 * pi), rng.gauss(0, 0.2)
    return lambda x: by * sin(2 * pi * bends * x / length + begin)


def _bump(at: float, half: float, by: float) -> Curve:
    return lambda x: by * (1 + cos(pi * (x - at) / half)) / 2 if abs(x - at) < half else 0.0


def head_pulled_down(frame: DrawnFrame, rng: Random) -> None:
    frame.place = rng.choice(frame.of_kind("none"))
    near = frame.at[frame.place] + rng.uniform(-60, 60)
    frame.head.append(_bump(near, rng.uniform(450, 900), -rng.uniform(2.2, 5)))


def sill_pushed_up(frame: DrawnFrame, rng: Random) -> None:
    frame.place = rng.choice(frame.of_kind("none"))
    near = frame.at[frame.place] + rng.uniform(-60, 60)
    frame.sill.append(_bump(near, rng.uniform(450, 900), rng.uniform(2.2, 5)))


def lintel_sags(frame: DrawnFrame, rng: Random) -> None:
    """The line of a beam under an even load, of a span that the chain need not fill."""
    span, by = frame.at[-1] * rng.choice([1, 1, 1.25, 1.5, 2]), rng.uniform(2.5, 6)
    frame.head.append(lambda x: -by * 16 / 5 * (x / span - 2 * (x / span) ** 3 + (x / span) ** 4))


def sill_falls(frame: DrawnFrame, rng: Random) -> None:
    """Beyond the last carrier, where an access leaf hangs on without one."""
    frame.place = len(frame.racks)
    begin, end, by = frame.at[-2], frame.at[-1], rng.uniform(2.2, 5)
    frame.sill.append(lambda x: -by * max(0.0, x - begin) / (end - begin))


def frame_too_low(frame: DrawnFrame, rng: Random, way: int = 1) -> None:
    share, by = rng.random(), rng.uniform(3, 6) * way
    frame.head.append(lambda x: -by * share)
    frame.sill.append(lambda x: by * (1 - share))


def frame_too_high(frame: DrawnFrame, rng: Random) -> None:
    frame_too_low(frame, rng, way=-1)


def sash_racked(frame: DrawnFrame, rng: Random) -> None:
    """A knuckle moves by half of what a sash beside it is racked, a free edge by all of it."""
    frame.place = rng.choice(frame.of_kind("none"))
    free = frame.place == len(frame.racks)
    frame.racks[frame.place - 1] += rng.choice([-1, 1]) * rng.uniform(1.2, 3) * (1 if free else 2)


def carriers_off(frame: DrawnFrame, rng: Random) -> None:
    frame.carriers = {n: rng.choice([-1, 1]) * rng.uniform(1, 2.7) for n in frame.carriers}


FAULTS: dict[str, Callable[[DrawnFrame, Random], None]] = {
    "sound": lambda frame, rng: None,
    "carriers_off": carriers_off,
    "head_pulled_down": head_pulled_down,
    "sill_pushed_up": sill_pushed_up,
    "lintel_sags": lintel_sags,
    "sill_falls": sill_falls,
    "frame_too_low": frame_too_low,
    "frame_too_high": frame_too_high,
    "sash_racked": sash_racked,
}


@dataclass(frozen=True)
class ReadChain:
    """`place`: the junction where the fault is, None where it is of the whole chain."""

    frame: DrawnFrame
    gaps: list[tuple[float, float]]
    place: int | None


def read_chain(kind: str, rng: Random, uncertainty: float) -> ReadChain:
    """A chain of three to seven leaves, read with a standard uncertainty of one reading."""
    leaves = rng.choice([3, 5, 7] if kind == "sill_falls" else [3, 4, 5, 6, 7])
    frame = drawn_frame(rng, leaves, carriers_off=0.2 if kind == "sound" else 0.8)
    FAULTS[kind](frame, rng)
    followed = rng.choice([frame.sill_at, frame.head_at])
    if kind in ("frame_too_low", "frame_too_high"):
        # Carriers were set half-way between head and sill before anybody read.
        followed = lambda x: (frame.sill_at(x) + frame.head_at(x)) / 2  # noqa: E731
    gaps = frame.gaps(leaf_heights(frame, followed))
    read = [
        (max(0.0, rng.gauss(h, uncertainty)), max(0.0, rng.gauss(s, uncertainty))) for h, s in gaps
    ]
    return ReadChain(frame, read, frame.place)
