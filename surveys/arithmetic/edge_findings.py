"""Whether the fixings of a frame keep off the edges of the wall that they go into: findings, mm."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.findings import Finding

SIDES = ("left", "right", "head")
TOO_NEAR = StoredSentence(
    "A fixing in the middle of the frame stands {edge:.0f} mm from the face of the wall; in "
    "{substrate} it wants {least:g} mm ({sides})."
)


@dataclass(frozen=True, slots=True)
class EdgeLimits:
    """Least distance of a fixing from the edge of a wall, by what the wall is made of."""

    least: Mapping[str, float]
    source: str


def edge_findings(
    conditions: Mapping[str, Any], frame_depth: float, limits: EdgeLimits
) -> tuple[Finding, ...]:
    """From where a frame of this depth stands in its reveal; none where nobody measured that.

    A sill is no reveal: nothing says how deep it is.
    """
    position = conditions.get("frame_position")
    if position is None:
        return ()
    middle, reveal = position + frame_depth / 2, conditions.get("reveal_depth")
    edge = middle if reveal is None else min(middle, reveal - middle)
    return tuple(_too_near(conditions.get("substrate", {}), edge, limits))


def _too_near(substrates: Mapping[str, str], edge: float, limits: EdgeLimits) -> Iterator[Finding]:
    for substrate in dict.fromkeys(substrates.get(side, "") for side in SIDES):
        least = limits.least.get(substrate)
        if least is None or edge >= least:
            continue
        sides = [side for side in SIDES if substrates.get(side) == substrate]
        what = TOO_NEAR(edge=edge, substrate=substrate, least=least, sides=", ".join(sides))
        caution = sentence(
            "Near an edge the wall breaks out and the frame comes loose with its leaves: set the "
            "frame further in, fix it with straps, or take an anchor whose assessment allows it; "
            "that assessment prevails over this figure."
        )
        yield Finding("edge_distance", what, caution, limits.source)
