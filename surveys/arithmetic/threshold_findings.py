"""Where water goes at a threshold, and whether a level one is level: findings, lengths in mm.

`floor_level_*` of a survey are above the sill, negative below it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.findings import PRACTICE, Finding

RECORDED = ("floor_level_inside", "floor_level_outside", "ground_fall")
DRAINED = ("channel", "gully")
GROUND_ABOVE = StoredSentence(
    "The ground outside lies {above:g} mm above the sill: water stands against the frame."
)
GROUND_NEAR = StoredSentence(
    "The ground outside lies {below:g} mm below the sill, {wanted:g} mm are usual, and no channel "
    "or gully is recorded in front of it."
)
FLOOR_OFF = StoredSentence(
    "A level threshold is wanted, but the floor inside lies {off:g} mm off the sill; {limit:g} mm "
    "are allowed of a level one."
)


@dataclass(frozen=True, slots=True)
class ThresholdLimits:
    """`ground_below`: how far the ground outside is usually kept below a sill; `upstand`: what a
    threshold that is called level may stand up; mm."""

    ground_below: float
    ground_source: str
    upstand: float
    upstand_source: str


def threshold_findings(
    conditions: Mapping[str, Any], limits: ThresholdLimits
) -> tuple[Finding, ...]:
    """From floor levels, the fall of the ground and its drainage; what was not recorded gives none.

    A level threshold that nothing drains is a finding of the conditions themselves.
    """
    return (
        *_ground(conditions, limits),
        *_fall(conditions),
        *_floor_inside(conditions, limits),
    )


def _ground(conditions: Mapping[str, Any], limits: ThresholdLimits) -> Iterator[Finding]:
    outside = conditions.get("floor_level_outside")
    if outside is None:
        return
    if outside > 0:
        caution = sentence(
            "Have the ground lowered or the sill raised before a height is ordered, and the "
            "damp-proof course carried up behind the frame: no seal keeps standing water out."
        )
        yield Finding("ground_above_sill", GROUND_ABOVE(above=outside), caution, PRACTICE)
    elif -outside < limits.ground_below and conditions.get("drainage") not in DRAINED:
        caution = sentence(
            "Agree a drainage channel along the whole frame before it is ordered: rain splashes "
            "up, and water that backs up reaches the sill and the damp-proof course."
        )
        what = GROUND_NEAR(below=-outside, wanted=limits.ground_below)
        yield Finding("ground_near_sill", what, caution, limits.ground_source)


def _fall(conditions: Mapping[str, Any]) -> Iterator[Finding]:
    """A channel takes what runs to an upstand; a level threshold has nothing to hold it off."""
    if conditions.get("ground_fall") != "to_the_door":
        return
    level = conditions.get("threshold") == "level"
    if level:
        what = sentence("A level threshold is wanted where the ground falls to the door.")
    else:
        what = sentence("The ground outside falls to the door.")
    if level or conditions.get("drainage") not in DRAINED:
        caution = sentence(
            "Water runs in under a level threshold. Have the ground laid to fall away from the "
            "door, or a channel with an outlet put in front of it, before a doorset is ordered."
        )
        yield Finding("ground_falls_to_door", what, caution, PRACTICE)


def _floor_inside(conditions: Mapping[str, Any], limits: ThresholdLimits) -> Iterator[Finding]:
    inside = conditions.get("floor_level_inside")
    if inside is None or conditions.get("threshold") != "level" or abs(inside) <= limits.upstand:
        return
    caution = sentence(
        "Agree how floor and sill come to one level, or that a step stays: somebody trips over it, "
        "and a wheelchair does not cross it. Local codes prevail."
    )
    what = FLOOR_OFF(off=abs(inside), limit=limits.upstand)
    yield Finding("floor_off_sill", what, caution, limits.upstand_source)
