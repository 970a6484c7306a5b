"""What was worked out of a doorset, in words: each limit with how it is kept. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.arithmetic.doorset import Finding, Thermal
from jobs.arithmetic.glass_safety import GlassFinding
from jobs.calculations import DoorsetCalculation
from jobs.models import ProfileSystem

LIMITS = (
    ("width", "largest_leaf_width", "Widest leaf", "mm"),
    ("height", "largest_leaf_height", "Tallest leaf", "mm"),
    ("mass", "largest_leaf_mass", "Heaviest leaf", "kg"),
)


@dataclass(frozen=True, slots=True)
class Limit:
    """`state` is `pass` or `fail`; `found` and `limit` carry their units."""

    what: str
    state: str
    found: str
    limit: str


def limits_in_words(calculation: DoorsetCalculation, system: ProfileSystem) -> list[Limit]:
    """Of the profile system, of the glass, of the threshold and of the U-value."""
    return [
        *_of_the_system(calculation, system),
        *_of_the_glass(calculation.safety_glazing),
        *_of_the_threshold(calculation.upstand),
        _of_the_u_value(calculation.thermal),
    ]


def _of_the_system(calculation: DoorsetCalculation, system: ProfileSystem) -> Iterator[Limit]:
    broken = calculation.broken_limits
    for name, column, what, unit in LIMITS:
        largest = max(getattr(leaf, name) for leaf in calculation.leaves)
        beyond = [str(one.leaf) for one in broken if one.what == name]
        which = f" (leaf {', '.join(beyond)})" if beyond else ""
        yield Limit(
            what,
            "fail" if beyond else "pass",
            f"{largest:.1f} {unit}{which}",
            f"the profile system allows {getattr(system, column):g} {unit}",
        )


def _of_the_glass(findings: Sequence[GlassFinding]) -> Iterator[Limit]:
    classes = sorted({one.required_class for one in findings} - {"none"})
    unsafe = [one for one in findings if one.unsafe]
    found = "; ".join(
        f"leaf {one.leaf}: pane {' and '.join(map(str, one.unsafe_panes))} from outside"
        for one in unsafe
    )
    if classes:
        yield Limit(
            "Safety glass",
            "fail" if unsafe else "pass",
            f"missing in {found}" if unsafe else "wherever somebody can walk into it",
            f"{' or '.join(classes)} is needed, {findings[0].source}",
        )


def _of_the_threshold(finding: Finding | None) -> Iterator[Limit]:
    if finding:
        yield Limit(
            "Threshold",
            "pass" if finding.within else "fail",
            f"{finding.value:g} mm above the floor",
            f"at most {finding.limit:g} mm, {finding.source}",
        )


def _of_the_u_value(thermal: Thermal) -> Limit:
    return Limit(
        "U of the doorset",
        "pass" if thermal.within else "fail",
        f"{thermal.u_value_reported:g} W/(m²K)",
        f"at most {thermal.limit:g} W/(m²K), {thermal.source}",
    )
