"""The limits of the fitting plan, from the rule set to the criteria of a step; lengths in mm."""

from installs.arithmetic.criteria import Criterion
from jobs.rules import Rules

# Between which a reading can be meant at all: no limit of workmanship, but a guard against slips.
DEVIATION = (-50.0, 50.0)
SIZE = (300.0, 20000.0)
MOST_COUNTED = 1000.0

ALONG = ("left_end", "left_quarter", "middle", "right_quarter", "right_end")
JAMB_DIRECTIONS = ("in_wall_plane", "across_wall")
JAMB_HEIGHTS = ("lower_quarter", "middle", "upper_quarter")


def level(name: str, length: float, rules: Rules) -> dict[str, Criterion]:
    """Levels along a member: the greatest less the least."""
    return {
        name: Criterion(
            lower=None,
            upper=_plumb_or_level(length, rules),
            unit="mm",
            source=_plumb_or_level_source(rules),
            method="spread",
            of=ALONG,
            lowest=DEVIATION[0],
            highest=DEVIATION[1],
        )
    }


def plumb(height: float, rules: Rules) -> dict[str, Criterion]:
    """How far the top of each jamb stands off the plumb line through its foot, both ways."""
    limit, source = _plumb_or_level(height, rules), _plumb_or_level_source(rules)
    return {
        f"{side}_jamb_{direction}": _deviation(f"{side}_jamb_{direction}", limit, source)
        for side in ("left", "right")
        for direction in JAMB_DIRECTIONS
    }


def square(rules: Rules) -> dict[str, Criterion]:
    """The rising diagonal (bottom left to top right) less the falling one."""
    limit = float(rules["frame.diagonal_difference"])
    return {
        "diagonal_difference": Criterion(
            lower=-limit,
            upper=limit,
            unit="mm",
            source=rules.source("frame.diagonal_difference"),
            method="difference",
            of=("rising", "falling"),
            lowest=SIZE[0],
            highest=SIZE[1],
        )
    }


def bow(rules: Rules) -> dict[str, Criterion]:
    """How far each jamb stands off the straight line from foot to head, at its quarter points."""
    limit, source = float(rules["frame.bow"]), rules.source("frame.bow")
    places = [f"{side}_jamb_{at}" for side in ("left", "right") for at in JAMB_HEIGHTS]
    return {place: _deviation(place, limit, source) for place in places}


def clear_height(rules: Rules) -> dict[str, Criterion]:
    """Clear heights along the frame: the greatest less the least."""
    return {
        "clear_height_range": Criterion(
            lower=None,
            upper=float(rules["frame.height_range"]),
            unit="mm",
            source=rules.source("frame.height_range"),
            method="spread",
            of=ALONG,
            lowest=SIZE[0],
            highest=SIZE[1],
        )
    }


def count_of(things: str, *, lower: int, upper: int | None, source: str) -> dict[str, Criterion]:
    """A number of things that is counted, not measured."""
    return {
        "count": Criterion(
            lower=float(lower),
            upper=None if upper is None else float(upper),
            unit=things,
            source=source,
            method="count",
            of=("count",),
            lowest=0.0,
            highest=MOST_COUNTED,
        )
    }


def _plumb_or_level(length: float, rules: Rules) -> float:
    by_length = rules["frame.plumb_level_per_metre"] * length / 1000
    return float(min(by_length, rules["frame.plumb_level_greatest"]))


def _plumb_or_level_source(rules: Rules) -> str:
    return rules.source("frame.plumb_level_per_metre", "frame.plumb_level_greatest")


def _deviation(place: str, limit: float, source: str) -> Criterion:
    return Criterion(-limit, limit, "mm", source, "direct", (place,), *DEVIATION)
