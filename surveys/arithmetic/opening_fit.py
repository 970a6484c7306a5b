"""Opening-fit: does a frame fit the opening, how sure is that, and what joint is left all round?

Lengths in mm, seen from outside, x to the right, y up, origin at the foot of the left jamb.
Sources: weighted least squares and outlier tests as in surveying practice; JCGM 100 for the
uncertainties; JCGM 106 for the decision; Directive 2014/32/EU Annex X for tapes.
"""

from math import floor, isfinite

import numpy as np

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.adjustment import Adjustment, adjust
from surveys.arithmetic.answers import Assessment, FitAnswer, Verdict, WholeSize
from surveys.arithmetic.clear_size import (
    Band,
    ClearSizes,
    draw_outline,
)
from surveys.arithmetic.fit_request import GREATEST_CONFIDENCE, LEAST_CONFIDENCE, FitRequest
from surveys.arithmetic.opening_shape import outline_of, report_of, shape_of, uncertain
from surveys.arithmetic.placement import (
    Clearance,
    Frame,
    JointWidth,
    Placement,
    joint_profile,
    joint_ranges,
    place,
)
from surveys.arithmetic.reading_checks import check_size
from surveys.arithmetic.readings import Measurement
from surveys.arithmetic.settling import settling_reading

SOURCES = (
    sentence("Directive 2014/32/EU Annex X: permissible errors of tapes"),
    sentence("JCGM 100:2008: evaluation of uncertainty"),
    sentence("JCGM 106:2012: decision by probability"),
)
CAUTIONS = (
    sentence(
        "This decides a size, not the structure: lintels and loads are for a structural engineer."
    ),
    sentence(
        "Measure again before the old door comes out; a frame that does not fit cannot be altered."
    ),
)
CONTRADICTION = StoredSentence("The readings contradict each other; read again: {readings}.")
SETTLING_READING = StoredSentence("One reading would settle it best: {reading}.")
UNUSUAL = StoredSentence(
    "The readings agree that this opening lacks what is usual ({lacking}); look again."
)
WIDE_JOINT = StoredSentence(
    "The joint at the {member} is {width:.1f} mm at {at:.0f} mm; at most {maximum:g} mm is allowed."
)


def decide_fit(request: FitRequest) -> FitAnswer:
    """Decide whether the frame fits with all its clearances at the confidence asked for.

    A set of readings that contradicts itself never fits: it is inconclusive, with its suspects.
    `clear_width` and `clear_height` are those where the frame stands; `largest_frame` is that of
    the whole opening, whatever frame is asked about. Raises `UnusableInput`, naming the field, for
    readings that cannot be adjusted and for a request that is out of range.
    """
    _check(request)
    adjustment = adjust(request.measurement)
    clearance, frame = request.clearance, request.frame
    outline = adjustment.shape.tolist()
    placement = place(outline, frame, clearance)
    drawn = draw_outline(adjustment)
    sizes = drawn.within(_band(placement, frame))
    probability = sizes.probability(
        frame.width + clearance.left + clearance.right,
        frame.height + clearance.head + clearance.sill,
    )
    verdict = _verdict(probability, request.confidence, adjustment)
    profile = joint_profile(outline, frame, placement)
    return FitAnswer(
        verdict=verdict,
        probability_fits=probability,
        clear_width=uncertain(sizes.widths),
        clear_height=uncertain(sizes.heights),
        largest_frame=_largest_frame(drawn.whole(), clearance, request.confidence),
        placement=placement,
        joints=joint_ranges(profile),
        joint_profile=profile,
        shape=shape_of(adjustment),
        outline=outline_of(adjustment),
        suspect_readings=adjustment.suspects,
        adjustment=report_of(adjustment),
        warnings=(
            *_settling_warning(verdict, adjustment, request),
            *_overruled_warning(adjustment),
            *_joint_warnings(profile, request.maximum_joint),
        ),
        sources=SOURCES,
        cautions=CAUTIONS,
        method="eight_points",
        walls={},
        read_next=(),
        critical_places=(),
    )


def assess_opening(measurement: Measurement, clearance: Clearance, confidence: float) -> Assessment:
    """What is clear in an opening, before any frame is chosen. Raises like `decide_fit`."""
    _check_clearance(clearance)
    _check_confidence(confidence)
    adjustment = adjust(measurement)
    sizes = draw_outline(adjustment).whole()
    return Assessment(
        contradictory=adjustment.contradictory,
        clear_width=uncertain(sizes.widths),
        clear_height=uncertain(sizes.heights),
        largest_frame=_largest_frame(sizes, clearance, confidence),
        shape=shape_of(adjustment),
        outline=outline_of(adjustment),
        suspect_readings=adjustment.suspects,
        adjustment=report_of(adjustment),
        sources=SOURCES,
        cautions=CAUTIONS,
        method="eight_points",
        walls={},
        read_next=(),
    )


def _check(request: FitRequest) -> None:
    check_size("/frame/width", request.frame.width)
    check_size("/frame/height", request.frame.height)
    _check_clearance(request.clearance)
    _check_confidence(request.confidence)
    _check_not_negative("/maximum_joint", request.maximum_joint)


def _check_clearance(clearance: Clearance) -> None:
    for side in ("left", "right", "head", "sill"):
        _check_not_negative(f"/clearance/{side}", getattr(clearance, side))


def _check_not_negative(pointer: str, length: float) -> None:
    if not (isfinite(length) and length >= 0):
        raise UnusableInput(
            pointer, sentence("{length:g} is not a joint; give 0 mm or more", length=length)
        )


def _check_confidence(confidence: float) -> None:
    if not LEAST_CONFIDENCE <= confidence <= GREATEST_CONFIDENCE:
        raise UnusableInput(
            "/confidence",
            sentence(
                "give a probability of {least_confidence:g} to {greatest_confidence:g}",
                least_confidence=LEAST_CONFIDENCE,
                greatest_confidence=GREATEST_CONFIDENCE,
            ),
        )


def _band(placement: Placement, frame: Frame) -> Band:
    return Band(placement.x, placement.x + frame.width, placement.y, placement.y + frame.height)


def _verdict(probability: float, confidence: float, adjustment: Adjustment) -> Verdict:
    if adjustment.contradictory:
        return "inconclusive"
    if probability >= confidence:
        return "fits"
    return "does_not_fit" if probability <= 1 - confidence else "inconclusive"


def _largest_frame(sizes: ClearSizes, clearance: Clearance, confidence: float) -> WholeSize:
    """In each direction the greatest whole mm that holds with probability (1 + confidence) / 2."""
    rank = floor((1 - (1 + confidence) / 2) * len(sizes.widths))
    width = np.partition(sizes.widths, rank)[rank]
    height = np.partition(sizes.heights, rank)[rank]
    return WholeSize(
        max(0, floor(width - clearance.left - clearance.right)),
        max(0, floor(height - clearance.head - clearance.sill)),
    )


def _settling_warning(
    verdict: Verdict, adjustment: Adjustment, request: FitRequest
) -> tuple[str, ...]:
    if adjustment.contradictory:
        return (CONTRADICTION(readings=", ".join(one.reading for one in adjustment.suspects)),)
    if verdict != "inconclusive":
        return ()
    return (SETTLING_READING(reading=settling_reading(adjustment, request)),)


def _overruled_warning(adjustment: Adjustment) -> tuple[str, ...]:
    """Not an error of reading, but worth a look before a frame is ordered for it."""
    if not adjustment.overruled or adjustment.contradictory:
        return ()
    return (UNUSUAL(lacking=", ".join(adjustment.overruled)),)


def _joint_warnings(profile: tuple[JointWidth, ...], maximum: float) -> tuple[str, ...]:
    """One warning for each member, at its widest place."""
    widest = {
        member: max((j for j in profile if j.member == member), key=lambda j: j.width)
        for member in ("left", "right", "head", "sill")
    }
    return tuple(
        WIDE_JOINT(member=member, width=joint.width, at=joint.at, maximum=maximum)
        for member, joint in widest.items()
        if joint.width > maximum
    )
