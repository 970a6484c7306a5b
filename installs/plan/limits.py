"""The limits of the fitting plan, from the rule set to the criteria of a step; lengths in mm."""

from math import hypot

from installs.arithmetic.criteria import Criterion
from jobs.rules import Rules
from jobs.sentences import StoredSentence

# Between which a reading can be meant at all: no limit of workmanship, but a guard against slips.
DEVIATION = (-50.0, 50.0)
SIZE = (300.0, 20000.0)
MOST_COUNTED = 1000.0

ALONG = ("left_end", "left_quarter", "middle", "right_quarter", "right_end")
DIAGONALS_TIGHTER = StoredSentence(
    "{source}; where both jambs lean alike the diagonals are tighter: {difference:g} mm of "
    "difference is a lean of {lean:.1f} mm"
)
JAMB_DIRECTIONS = ("in_wall_plane", "across_wall")
JAMB_HEIGHTS = ("lower_quarter", "middle", "upper_quarter")


def level(name: str, length: float, rules: Rules) -> dict[str, Criterion]:
    """Levels along a member: the greatest less the least."""
    return {
        name: Criterion(
            lower=None,
            upper=plumb_or_level(length, rules),
            unit="mm",
            source=plumb_or_level_source(rules),
            method="spread",
            of=ALONG,
            lowest=DEVIATION[0],
            highest=DEVIATION[1],
        )
    }


def plumb(width: float, height: float, rules: Rules) -> dict[str, Criterion]:
    """How far the top of each jamb stands off the plumb line through its foot, both ways, and how
    far the frame is twisted: the lean of the left jamb across the wall less that of the right."""
    limit, source = plumb_or_level(height, rules), plumb_or_level_source(rules)
    sources = {
        "in_wall_plane": _where_squareness_is_tighter(source, limit, width, height, rules),
        "across_wall": source,
    }
    leans = {
        f"{side}_jamb_{direction}": _deviation(
            f"{side}_jamb_{direction}", limit, sources[direction]
        )
        for side in ("left", "right")
        for direction in JAMB_DIRECTIONS
    }
    return leans | {"twist": _twist(rules)}


def _twist(rules: Rules) -> Criterion:
    """Jambs that lean opposite ways keep their own limits while the leaves wind between them."""
    limit = float(rules["frame.twist"])
    return Criterion(
        lower=-limit,
        upper=limit,
        unit="mm",
        source=rules.source("frame.twist"),
        method="difference",
        of=("left_jamb_across_wall", "right_jamb_across_wall"),
        lowest=DEVIATION[0],
        highest=DEVIATION[1],
    )


def _where_squareness_is_tighter(
    source: str, lean: float, width: float, height: float, rules: Rules
) -> str:
    """Two limits meet in a frame that leans as a parallelogram; both are judged, and the tighter is
    named where the other one is shown. Jambs that lean by s make the diagonals differ by about
    2 s x width / diagonal; a square frame that stands out of plumb has no difference at all."""
    difference = float(rules["frame.diagonal_difference"])
    allowed = difference * hypot(width, height) / (2 * width)
    if allowed >= lean:
        return source
    return DIAGONALS_TIGHTER(source=source, difference=difference, lean=allowed)


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


def plumb_or_level(length: float, rules: Rules) -> float:
    """How far a member of this length, mm, may be out of plumb or level."""
    by_length = rules["frame.plumb_level_per_metre"] * length / 1000
    return float(min(by_length, rules["frame.plumb_level_greatest"]))


def plumb_or_level_source(rules: Rules) -> str:
    return rules.source("frame.plumb_level_per_metre", "frame.plumb_level_greatest")


def _deviation(place: str, limit: float, source: str) -> Criterion:
    return Criterion(-limit, limit, "mm", source, "direct", (place,), *DEVIATION)


def edge_clearance(longest_edge: float, rules: Rules) -> float:
    """mm between the edge of a pane and the profile at least, by the longest edge of the pane."""
    bands = rules["glass.edge_clearance"]
    return next(float(clearance) for longest, clearance in bands if longest_edge <= longest)
