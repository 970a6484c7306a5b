"""Whether the joint at the head takes what comes down on it: findings, lengths in mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.findings import PRACTICE, Finding

HEAD_JOINT = StoredSentence(
    "The joint at the head is {least:.1f} mm at its least; an allowance of {allowance:g} mm for "
    "movement is wanted."
)
LINTEL_ON_JOINT = StoredSentence(
    "The lintel spans {span:g} mm and may come down by {deflection:.1f} mm (its span over "
    "{share:g}); the joint at the head is {least:.1f} mm at its least."
)
LINTEL_BEYOND_ALLOWANCE = StoredSentence(
    "The lintel spans {span:g} mm and may come down by {deflection:.1f} mm (its span over "
    "{share:g}); the allowance recorded for movement at the head is {allowance:g} mm."
)


@dataclass(frozen=True, slots=True)
class LintelLimit:
    """A lintel may sag under load by its span over `share`."""

    share: float
    source: str

    def deflection(self, span: float) -> float:
        return span / self.share


def allowance_findings(conditions: Mapping[str, Any], limit: LintelLimit) -> tuple[Finding, ...]:
    """Whether the movement that is allowed for at the head is as much as its lintel may sag."""
    span = conditions.get("lintel_span")
    allowance = conditions.get("head_movement_allowance")
    if span is None or allowance is None or limit.deflection(span) <= allowance:
        return ()
    what = LINTEL_BEYOND_ALLOWANCE(
        span=span, deflection=limit.deflection(span), share=limit.share, allowance=allowance
    )
    caution = sentence(
        "Ask the engineer who decides about the lintel whether the allowance holds for this span "
        "and its load; what the engineer gives prevails."
    )
    return (Finding("lintel_deflection", what, caution, limit.source),)


def head_joint_findings(
    conditions: Mapping[str, Any], least_head_joint: float
) -> tuple[Finding, ...]:
    """Whether the joint that a frame leaves at the head takes the movement wanted there, mm."""
    allowance = conditions.get("head_movement_allowance")
    if allowance is None or least_head_joint >= allowance:
        return ()
    what = HEAD_JOINT(least=least_head_joint, allowance=allowance)
    caution = sentence(
        "A lintel that comes down on a frame jams it and may load its glass: have a "
        "structural engineer confirm the allowance before a size is ordered."
    )
    return (Finding("head_movement", what, caution, PRACTICE),)


def lintel_joint_findings(
    conditions: Mapping[str, Any], least_head_joint: float, limit: LintelLimit
) -> tuple[Finding, ...]:
    """Whether the joint that a frame leaves at the head is as much as the lintel may sag."""
    span = conditions.get("lintel_span")
    if span is None or limit.deflection(span) <= least_head_joint:
        return ()
    what = LINTEL_ON_JOINT(
        span=span,
        deflection=limit.deflection(span),
        share=limit.share,
        least=least_head_joint,
    )
    caution = sentence(
        "Ask a structural engineer how far this lintel comes down under its load, and order a "
        "frame that leaves that much: a lintel that rests on a frame jams its leaves and may load "
        "its glass."
    )
    return (Finding("lintel_deflection", what, caution, limit.source),)
