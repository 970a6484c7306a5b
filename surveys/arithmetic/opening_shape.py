"""What a worked out opening is like: its shape, its outline, its walls, how sure they are."""

import numpy as np

from surveys.arithmetic.answers import Knot, Shape, Uncertain, WallKinds
from surveys.arithmetic.clear_size import ClearSizes
from surveys.arithmetic.profiles import Profile, Profiles
from surveys.arithmetic.readings import SIDES
from surveys.arithmetic.wall_kinds import KINDS
from surveys.arithmetic.walled_opening import WalledOpening


def uncertain(sizes: ClearSizes, direction: int) -> Uncertain:
    """The clear width (0) or height (1)."""
    drawn, weights = sizes.sizes[direction], sizes.weights[direction]
    mean = float(weights @ drawn)
    return Uncertain(mean, float(np.sqrt(weights @ (drawn - mean) ** 2)))


def shape_of(profiles: Profiles) -> Shape:
    return Shape(
        sill_fall=_fall(profiles.sill),
        head_fall=_fall(profiles.head),
        left_lean=_fall(profiles.left),
        right_lean=_fall(profiles.right),
        left_bow=_bow(profiles.left),
        right_bow=_bow(profiles.right),
        sill_bow=_bow(profiles.sill),
        head_bow=_bow(profiles.head),
    )


def outline_of(profiles: Profiles) -> tuple[Knot, ...]:
    """Corners and middles, from the foot of the left jamb against the clock."""
    left, right, head, sill = profiles.left, profiles.right, profiles.head, profiles.sill
    start, middle, end = 0, len(left.values) // 2, -1

    def half(profile: Profile) -> float:
        return float(profile.values[start] + profile.values[end]) / 2

    feet = {
        "bottom_left": (left.values[start], sill.values[start]),
        "sill_middle": ((left.values[start] + right.values[start]) / 2, sill.values[middle]),
        "bottom_right": (right.values[start], sill.values[end]),
        "right_middle": (right.values[middle], (sill.values[end] + head.values[end]) / 2),
        "top_right": (right.values[end], head.values[end]),
        "head_middle": ((left.values[end] + right.values[end]) / 2, head.values[middle]),
        "top_left": (left.values[end], head.values[start]),
        "left_middle": (left.values[middle], (sill.values[start] + head.values[start]) / 2),
    }
    return tuple(Knot(name, float(x), float(y)) for name, (x, y) in feet.items())


def walls_of(opening: WalledOpening) -> dict[str, WallKinds]:
    """How probable each family of walls is on each side."""
    walls: dict[str, WallKinds] = {}
    for index, side in enumerate(SIDES):
        families = {"straight": 0.0, "coursed": 0.0, "bulged": 0.0, "bowed": 0.0}
        for kind, probability in zip(KINDS, opening.drawn.kinds(index), strict=True):
            families[kind.family] += float(probability)
        walls[side] = WallKinds(**families)
    return walls


def _fall(profile: Profile) -> float:
    return float(profile.values[-1] - profile.values[0])


def _bow(profile: Profile) -> float:
    ends = (profile.values[0] + profile.values[-1]) / 2
    return float(profile.values[len(profile.values) // 2] - ends)
