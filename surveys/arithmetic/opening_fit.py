"""Opening-fit: does a frame fit the opening, how sure is that, and what joint is left all round?

Lengths in mm, seen from outside, x to the right, y up, origin at the foot of the left jamb.
Each side is a line and a random function, which is of a few kinds of wall (`wall_kinds`); what is
probable of them follows from all readings together. Sources: Rasmussen and Williams, Gaussian
Processes for Machine Learning (2006), chapter 2, for the posterior of each kind; JCGM 100 for the
uncertainties; JCGM 106 for the decision; Directive 2014/32/EU Annex X for tapes.
"""

from math import floor, isfinite

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence
from surveys.arithmetic.agreement import Agreement, agreement
from surveys.arithmetic.answers import Assessment, FitAnswer, ReadNext, Verdict, WholeSize
from surveys.arithmetic.asking import read_next
from surveys.arithmetic.clear_size import Band, ClearSizes, quantile, whole, within
from surveys.arithmetic.critical_places import critical_places
from surveys.arithmetic.fit_request import GREATEST_CONFIDENCE, LEAST_CONFIDENCE, FitRequest
from surveys.arithmetic.fit_warnings import (
    joint_warnings,
    mirror_warnings,
    shape_warnings,
    verdict_warnings,
)
from surveys.arithmetic.opening_shape import outline_of, shape_of, uncertain, walls_of
from surveys.arithmetic.placement import Clearance, Frame, Placement
from surveys.arithmetic.reading_checks import check_size
from surveys.arithmetic.readings import Measurement
from surveys.arithmetic.sealing import wide_joints
from surveys.arithmetic.standing import joint_profile, joint_ranges, place
from surveys.arithmetic.walled_opening import WalledOpening, work_out

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
# What a frame has to spare each way where none was chosen yet, mm.
ROOM = 5.0


def decide_fit(request: FitRequest) -> FitAnswer:
    """Decide whether the frame fits with all its clearances at the confidence asked for.

    A set of readings that contradicts itself never fits: it is inconclusive, with its suspects.
    `clear_width` and `clear_height` are those where the frame stands; `largest_frame` is that of
    the whole opening, whatever frame is asked about. Raises `UnusableInput`, naming the field, for
    readings that cannot be worked out and for a request that is out of range.
    """
    _check(request)
    opening = work_out(request.measurement)
    agreed = agreement(opening, request.measurement.opening)
    clearance, frame, profiles = request.clearance, request.frame, opening.profiles
    placement = place(profiles, frame, clearance)
    sizes = within(opening, _band(placement, frame))
    needed = _needed(frame, clearance)
    probability = sizes.probability(needed)
    verdict = _verdict(probability, request.confidence, agreed)
    joints = joint_ranges(profiles, frame, placement)
    profile = joint_profile(profiles, frame, placement)
    shape = shape_of(profiles)
    asked = read_next(
        request.measurement, opening, agreed, verdict, (sizes, needed, request.confidence)
    )
    return FitAnswer(
        verdict=verdict,
        probability_fits=probability,
        clear_width=uncertain(sizes, 0),
        clear_height=uncertain(sizes, 1),
        largest_frame=_largest_frame(whole(opening), clearance, request.confidence),
        placement=placement,
        joints=joints,
        joint_profile=profile,
        shape=shape,
        outline=outline_of(profiles),
        suspect_readings=agreed.suspects,
        adjustment=agreed.report,
        warnings=(
            *verdict_warnings(verdict, agreed, asked),
            *shape_warnings(shape, request.measurement.priors),
            *mirror_warnings(request.measurement),
            *joint_warnings(profile, request.maximum_joint),
        ),
        sources=SOURCES,
        cautions=CAUTIONS,
        method="walls",
        walls=walls_of(opening),
        read_next=asked,
        critical_places=critical_places(opening, sizes, placement, frame, clearance),
        wide_joints=wide_joints(joints, clearance, request.maximum_joint),
    )


def assess_opening(measurement: Measurement, clearance: Clearance, confidence: float) -> Assessment:
    """What is clear in an opening, before any frame is chosen. Raises like `decide_fit`."""
    _check_clearance(clearance)
    _check_confidence(confidence)
    opening = work_out(measurement)
    agreed = agreement(opening, measurement.opening)
    sizes, profiles = whole(opening), opening.profiles
    return Assessment(
        contradictory=agreed.contradictory,
        clear_width=uncertain(sizes, 0),
        clear_height=uncertain(sizes, 1),
        largest_frame=_largest_frame(sizes, clearance, confidence),
        shape=shape_of(profiles),
        outline=outline_of(profiles),
        suspect_readings=agreed.suspects,
        adjustment=agreed.report,
        sources=SOURCES,
        cautions=CAUTIONS,
        method="walls",
        walls=walls_of(opening),
        read_next=_read_next_for_some_frame(measurement, opening, agreed, confidence),
    )


def _needed(frame: Frame, clearance: Clearance) -> tuple[float, float]:
    """Clear width and height that the frame needs, mm."""
    return (
        frame.width + clearance.left + clearance.right,
        frame.height + clearance.head + clearance.sill,
    )


def _read_next_for_some_frame(
    measurement: Measurement, opening: WalledOpening, agreed: Agreement, confidence: float
) -> tuple[ReadNext, ...]:
    """What would settle whether a frame fits that probably has `ROOM` to spare each way."""
    sizes = whole(opening)
    width, height = (
        float(drawn @ weights) - ROOM
        for drawn, weights in zip(sizes.sizes, sizes.weights, strict=True)
    )
    probability = sizes.probability((width, height))
    verdict = _verdict(probability, confidence, agreed)
    doubt = (sizes, (width, height), confidence)
    return read_next(measurement, opening, agreed, verdict, doubt)


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


def _verdict(probability: float, confidence: float, agreed: Agreement) -> Verdict:
    if agreed.contradictory:
        return "inconclusive"
    if probability >= confidence:
        return "fits"
    return "does_not_fit" if probability <= 1 - confidence else "inconclusive"


def _largest_frame(sizes: ClearSizes, clearance: Clearance, confidence: float) -> WholeSize:
    """In each direction the greatest whole mm that holds with probability (1 + confidence) / 2."""
    width, height = (
        quantile(drawn, weights, 1 - (1 + confidence) / 2)
        for drawn, weights in zip(sizes.sizes, sizes.weights, strict=True)
    )
    return WholeSize(
        max(0, floor(width - clearance.left - clearance.right)),
        max(0, floor(height - clearance.head - clearance.sill)),
    )
