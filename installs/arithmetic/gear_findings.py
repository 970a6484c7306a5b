"""The probable causes of uneven gaps as they are answered, and what to do first."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor, sqrt
from statistics import NormalDist

from installs.arithmetic.chains import RunningGearRequest
from installs.arithmetic.gap_causes import Weighed
from installs.arithmetic.gear_acts import ProbableCause, probable_cause, weighed_cause
from installs.arithmetic.gear_faults import Fault, GearFault, out_of_reach
from jobs.sentences import Sentence, sentence

LEAST_LISTED = 0.05
LEAST_LIFT_MM = 0.05
SLOPE_SUPPORTS = 3


@dataclass(frozen=True, slots=True)
class CarrierLift:
    """`junction` counts from 0 at the chain's jamb; positive is up."""

    junction: int
    lift: float
    turns: float
    at_range_end: bool


def probable_causes(
    request: RunningGearRequest,
    weighed: Weighed,
    carriers: Sequence[CarrierLift],
    faults: Sequence[GearFault],
    *,
    even_now: bool,
) -> tuple[ProbableCause, ...]:
    """The most probable first; none while the gaps are even as they were read."""
    if even_now:
        return ()
    causes = [
        weighed_cause(cause, request)
        for cause in weighed.causes
        if cause.probability >= LEAST_LISTED
    ]
    if weighed.sound >= LEAST_LISTED:
        causes += _without_fault(request, carriers, faults, weighed.sound)
    causes.sort(key=lambda cause: -cause.probability)
    return tuple(causes)


def act_first(
    request: RunningGearRequest,
    causes: Sequence[ProbableCause],
    faults: Sequence[GearFault],
    *,
    even_now: bool,
) -> Sentence:
    """What to do now: about the likeliest cause of the fault that is named, if one is."""
    if even_now:
        return sentence(
            "Turn nothing: all gaps are even within {tolerance:g} mm.", tolerance=request.tolerance
        )
    worst = max(faults, key=lambda fault: fault.excess, default=None)
    of_it = [cause for cause in causes if _kind(cause.what) == (worst and worst.fault)]
    if of_it:
        return of_it[0].do_first
    if worst:
        return sentence(
            "Junction {junction}: {advice}. Then read again.",
            junction=worst.junction,
            advice=worst.advice,
        )
    return sentence(
        "Read again before anything is turned, with a gauge that is good to {uncertainty:g} mm: "
        "these readings do not show whether the gaps are even.",
        uncertainty=_settling(request),
    )


def _kind(what: str) -> Fault | None:
    """The fault that a cause is; a carrier that is to be set is none."""
    if what == "carrier_to_set":
        return None
    return "sash_fault" if what == "sash_racked" else "frame_fault"


def _without_fault(
    request: RunningGearRequest,
    carriers: Sequence[CarrierLift],
    faults: Sequence[GearFault],
    probability: float,
) -> list[ProbableCause]:
    """Frame and sashes explain nothing: carriers are to be set, or do not reach far enough."""
    if faults:
        return _out_of_reach(request, probability)
    turned = [carrier for carrier in carriers if abs(carrier.lift) >= LEAST_LIFT_MM]
    if not turned:
        return []
    places = {request.number_of(index): index for index in range(len(request.junctions))}
    most = max(turned, key=lambda carrier: abs(carrier.lift))
    return [
        probable_cause(
            "carrier_to_set",
            request,
            [places[carrier.junction] for carrier in turned],
            worst=places[most.junction],
            probability=probability,
            size=abs(most.lift),
            act=_turning(turned),
        )
    ]


def _turning(turned: Sequence[CarrierLift]) -> Sentence:
    if len(turned) > 1:
        return sentence(
            "Frame and sashes are in order: turn the carriers as listed, then read again."
        )
    junction, turns = turned[0].junction, abs(turned[0].turns)
    lift = round(abs(turned[0].lift), 1)
    if turned[0].lift > 0:
        return sentence(
            "Frame and sashes are in order: lift the carrier at junction {junction} by {lift:g} "
            "mm (turns: {turns:.3g}), then read again.",
            junction=junction,
            lift=lift,
            turns=turns,
        )
    return sentence(
        "Frame and sashes are in order: lower the carrier at junction {junction} by {lift:g} mm "
        "(turns: {turns:.3g}), then read again.",
        junction=junction,
        lift=lift,
        turns=turns,
    )


def _out_of_reach(request: RunningGearRequest, probability: float) -> list[ProbableCause]:
    """What is asked of the supports rises or falls all the way: the frame is out of level; else it
    is one carrier."""
    short = {
        index: out_of_reach(junction, request.adjustment_range)
        for index, junction in enumerate(request.junctions)
        if junction.moves
    }
    worst = max(short, key=lambda index: short[index], default=None)
    if worst is None or short[worst] <= request.tolerance:
        return []
    held = [j.difference for j in request.junctions if j.support != "none"]
    steps = [beyond - here for here, beyond in pairwise(held)]
    sloping = len(held) >= SLOPE_SUPPORTS and (min(steps) > 0 or max(steps) < 0)
    return [
        probable_cause(
            "frame_out_of_level" if sloping else "carrier_out_of_range",
            request,
            range(len(request.junctions)) if sloping else [worst],
            worst=worst,
            probability=probability,
            size=abs(request.junctions[worst].difference) / 2 if sloping else short[worst] / 2,
        )
    ]


def _settling(request: RunningGearRequest) -> float:
    """Expanded uncertainty (coverage factor 2) of one reading that shows differences of up to half
    their limit to be within it, at all junctions together; mm, to the twentieth below."""
    each = request.confidence ** (1 / len(request.junctions))
    deviate = NormalDist().inv_cdf(each)
    return max(0.05, floor(20 * request.tolerance / deviate / sqrt(2)) / 20)
