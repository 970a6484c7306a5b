"""Which carrier is lifted by how much, so that head and sill gaps become equal along a chain.

A lift at a carrier closes the head gap and opens the sill gap there by the same amount. Junctions
without a support of their own follow: between two supports by straight lines, beyond the last one
together with it. What both gaps add up to no carrier changes: where that is off twice the leaf gap,
the frame is put right first, and no carrier is turned to hide it. Lengths in mm, a lift is positive
upwards. Sources: the geometry of stiff leaves (closed form); equal gaps as the aim (common
practice, no source); JCGM 106:2012, 7 (whether the gaps are within their limits).
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np
import numpy.typing as npt

from installs.arithmetic.carrier_lifts import FINEST_MM, SLACK_MM, least_lifts
from installs.arithmetic.chains import RunningGearRequest, following
from installs.arithmetic.conformity import Conformity, Decision, judge_all, judge_conformity
from installs.arithmetic.gap_causes import weigh_causes
from installs.arithmetic.gear_acts import ProbableCause
from installs.arithmetic.gear_checks import check_chain
from installs.arithmetic.gear_faults import Fault, GearFault, find_faults
from installs.arithmetic.gear_findings import CarrierLift, act_first, probable_causes
from jobs.sentences import Sentence, sentence

Numbers = npt.NDArray[np.float64]
SOURCES = (
    sentence("a lift closes the gap at the head and opens the one at the sill: closed form"),
    sentence("gaps at head and sill are equal at every junction: common practice, no source"),
    sentence(
        "whether gaps are even: JCGM 106:2012, 7, conformance probability of all junctions together"
    ),
    sentence(
        "causes are weighed by how well each explains the gaps (JCGM 101:2008, 6.4.11, closed "
        "form); how often each is met: common practice, no source"
    ),
)
CAUTIONS = (
    sentence("Hold an open sash up while its running gear is turned: it overbalances."),
    sentence(
        "Keep hands off the meeting edges; turn in small steps and try the leaves in between."
    ),
)
LINTEL_CAUTION = sentence(
    "A lintel that moves can come down: nobody works below it until somebody competent has looked "
    "at it."
)
EVEN_ODDS = 0.5
WITHOUT_LEAF_GAP = (
    sentence("Whether all gaps are too narrow or too wide cannot be told without the leaf gap."),
    sentence(
        "Turn the carriers as listed only once head and sill are known to be straight: without the "
        "leaf gap a frame that is off can look like a carrier that is."
    ),
)
WITHOUT_UNCERTAINTY = sentence(
    "How surely the gaps are within their limits cannot be told without the uncertainty of the "
    "readings; they count as exact."
)


@dataclass(frozen=True, slots=True)
class ExpectedGaps:
    """What is to be read at a junction once everything is set. `together`: both gaps less twice
    the leaf gap, None where that is not known."""

    junction: int
    head_gap: float
    sill_gap: float
    residual: float
    together: float | None


@dataclass(frozen=True, slots=True)
class RunningGearAnswer:
    """`residual` is head gap less sill gap at each junction once set; `cause` what no carrier can
    cure. `decision` is about the gaps once set, `even_now` about those that were read; `act` is
    what to do first."""

    adjustments: tuple[CarrierLift, ...]
    residual: tuple[float, ...]
    gaps: tuple[ExpectedGaps, ...]
    within_tolerance: bool
    probability_within: float
    decision: Decision
    even_now: bool
    cause: Fault | None
    probable_causes: tuple[ProbableCause, ...]
    act: Sentence
    left_open: tuple[Sentence, ...]
    faults: tuple[GearFault, ...]
    warnings: tuple[Sentence, ...]
    sources: tuple[str, ...] = SOURCES
    cautions: tuple[str, ...] = CAUTIONS


def set_running_gear(request: RunningGearRequest) -> RunningGearAnswer:
    """Lifts that make the largest difference of gaps as small as possible, and among those the
    least movement in total; none where frame or sash is to be put right first, which is told apart
    where the leaf gap is known. Raises `UnusableInput` for a chain that cannot be."""
    check_chain(request)
    weighed = weigh_causes(request)
    still = np.zeros(len(request.junctions))
    as_read = _judged(_expected(request, still), request)
    known = request.leaf_gap is not None
    even_now = as_read.decision == "pass"
    frame_first = not even_now and weighed.frame >= EVEN_ODDS
    lifts = still if known and frame_first else least_lifts(request)
    judged = _judged(_expected(request, lifts), request)
    faults = find_faults(request, weighed, judged.decision)
    if known and faults:
        lifts, judged = still, as_read
    cause = max(faults, key=lambda fault: fault.excess).fault if faults else None
    gaps = _expected(request, lifts)
    carriers = _carrier_lifts(request, lifts)
    causes = probable_causes(request, weighed, carriers, faults, even_now=even_now)
    return RunningGearAnswer(
        adjustments=carriers,
        residual=tuple(gap.residual for gap in gaps),
        gaps=gaps,
        within_tolerance=judged.decision == "pass",
        probability_within=judged.probability_conforms,
        decision=judged.decision,
        even_now=even_now,
        cause=cause,
        probable_causes=causes,
        act=act_first(request, causes, faults, even_now=even_now),
        left_open=_left_open(request),
        faults=faults,
        warnings=_warnings(gaps),
        cautions=(LINTEL_CAUTION, *CAUTIONS) if _names_lintel(causes) else CAUTIONS,
    )


def _expected(request: RunningGearRequest, lifts: Numbers) -> tuple[ExpectedGaps, ...]:
    # Adding nought turns the optimiser's minus nought into plain nought.
    moved = np.round(following(request.junctions) @ lifts, FINEST_MM) + 0.0
    nominal = None if request.leaf_gap is None else 2 * request.leaf_gap
    gaps = []
    for index, junction in enumerate(request.junctions):
        by = float(moved[index])
        head, sill = junction.head_gap - by, junction.sill_gap + by
        together = None if nominal is None else round(junction.together - nominal, FINEST_MM)
        number = request.number_of(index)
        gaps.append(
            ExpectedGaps(
                number,
                round(head, FINEST_MM),
                round(sill, FINEST_MM),
                round(head - sill, FINEST_MM),
                together,
            )
        )
    return tuple(gaps)


def _judged(gaps: tuple[ExpectedGaps, ...], request: RunningGearRequest) -> Conformity:
    """That every difference, and where the leaf gap is known every sum, is within its limit. Both
    gaps of a junction are read alike well: then sum and difference are independent."""
    u = sqrt(2) * request.standard_uncertainty
    limits = [(gap.residual, request.tolerance) for gap in gaps]
    limits += [
        (gap.together, request.together_tolerance) for gap in gaps if gap.together is not None
    ]
    judged = (judge_conformity(mm, u, -limit, limit, request.confidence) for mm, limit in limits)
    return judge_all((conformity.probability_conforms for conformity in judged), request.confidence)


def _carrier_lifts(request: RunningGearRequest, lifts: Numbers) -> tuple[CarrierLift, ...]:
    return tuple(
        CarrierLift(
            junction=request.number_of(index),
            lift=float(lifts[index]) + 0.0,
            turns=round(float(lifts[index]) / request.lift_per_turn, FINEST_MM) + 0.0,
            at_range_end=abs(junction.lifted + float(lifts[index]))
            >= request.adjustment_range - SLACK_MM,
        )
        for index, junction in enumerate(request.junctions)
        if junction.moves
    )


def _left_open(request: RunningGearRequest) -> tuple[Sentence, ...]:
    missing = () if request.leaf_gap is not None else WITHOUT_LEAF_GAP
    return missing if request.expanded_uncertainty else (*missing, WITHOUT_UNCERTAINTY)


def _warnings(gaps: tuple[ExpectedGaps, ...]) -> tuple[Sentence, ...]:
    return tuple(
        sentence(
            "Junction {junction} would be left without a gap; its leaf would strike.",
            junction=gap.junction,
        )
        for gap in gaps
        if min(gap.head_gap, gap.sill_gap) <= 0
    )


def _names_lintel(causes: tuple[ProbableCause, ...]) -> bool:
    return any(cause.what == "lintel_bears_on_head" for cause in causes)
