"""What to do about the running gear of an installation, from the newest gaps read at it."""

from dataclasses import asdict, dataclass
from math import sqrt
from typing import Any

from installs.arithmetic.chains import Chain, ChainJunction, ChainPlace, RunningGearRequest
from installs.arithmetic.season import SeasonAnswer, closing_gap
from installs.frozen import FittingPlan, RunningGear
from installs.models import CarrierLift, Installation, JunctionGap
from installs.state import InstallationState

COVERAGE_FACTOR = 2.0


@dataclass(frozen=True, slots=True)
class ChainAdvice:
    """One chain: the junctions that still must be read, or what to do once all were; and the
    closing gap to set at the newest temperature that was read where it closes."""

    jamb: str
    still_to_read: list[int]
    advice: dict[str, Any] | None
    season: dict[str, Any] | None

    @property
    def turns(self) -> bool:
        """Whether any carrier is to be turned."""
        adjustments = self.advice["adjustments"] if self.advice else []
        return any(adjustment["turns"] for adjustment in adjustments)


def running_gear_advice(installation: Installation) -> list[ChainAdvice]:
    """For every chain, left first; junctions are numbered as those of the doorset."""
    plan = installation.plan
    newest = InstallationState(installation).newest_gaps
    lifts = list(installation.lifts.all())
    confidence = installation.rule_set.rules["decision.confidence"]
    return [_of_chain(chain, plan, newest, lifts, confidence) for chain in plan.running_gear.chains]


def _of_chain(
    chain: Chain,
    plan: FittingPlan,
    newest: dict[int, JunctionGap],
    lifts: list[CarrierLift],
    confidence: float,
) -> ChainAdvice:
    season = _season(chain, plan.running_gear, newest.get(chain.closes_at))
    closing = asdict(season) if season else None
    numbers = [place.junction for place in chain.places]
    if missing := [number for number in numbers if number not in newest]:
        return ChainAdvice(chain.jamb, missing, None, closing)
    # Loaded here: most processes never ask for this, and numpy is slow to load.
    from installs.arithmetic.running_gear import set_running_gear  # noqa: PLC0415

    request = _request(chain, plan, newest, lifts, confidence)
    return ChainAdvice(chain.jamb, [], asdict(set_running_gear(request)), closing)


def _request(
    chain: Chain,
    plan: FittingPlan,
    newest: dict[int, JunctionGap],
    lifts: list[CarrierLift],
    confidence: float,
) -> RunningGearRequest:
    gear = plan.running_gear
    read = [newest[place.junction] for place in chain.places]
    return RunningGearRequest(
        junctions=tuple(
            ChainJunction(
                at=place.at,
                support=place.support,
                head_gap=gap.head_gap,
                sill_gap=gap.sill_gap,
                lifted=_lifted(lifts, chain.jamb, place.junction),
                number=place.junction,
                along=_along(place, chain, plan),
            )
            for place, gap in zip(chain.places, read, strict=True)
        ),
        adjustment_range=gear.adjustment_range,
        lift_per_turn=gear.lift_per_turn,
        tolerance=gear.tolerance,
        leaf_gap=gear.leaf_gap,
        together_tolerance=gear.together_tolerance or 0.0,
        expanded_uncertainty=COVERAGE_FACTOR * max(map(_of_one_reading, read)),
        coverage_factor=COVERAGE_FACTOR,
        confidence=confidence,
        packers={
            member.name: tuple(map(float, member.packed_positions))
            for member in plan.fixing_layout.members
            if member.name in ("head", "sill")
        },
    )


def _of_one_reading(gap: JunctionGap) -> float:
    """Standard uncertainty, mm: a gap's own is of the difference of two readings."""
    return gap.standard_uncertainty / sqrt(2)


def _along(place: ChainPlace, chain: Chain, plan: FittingPlan) -> float:
    """mm from the left end of head and sill; the chains stand in the middle of the frame."""
    leaves = sum(chain.length for chain in plan.running_gear.chains)
    at = (plan.frame.width - leaves) / 2 + place.at
    return round(at if chain.jamb == "left" else plan.frame.width - at, 1)


def _season(chain: Chain, gear: RunningGear, closing: JunctionGap | None) -> SeasonAnswer | None:
    if gear.season is None or gear.leaf_gap is None:
        return None
    if closing is None or closing.temperature is None:
        return None
    return closing_gap(gear.grows_along, gear.leaf_gap, closing.temperature, gear.season)


def _lifted(lifts: list[CarrierLift], jamb: str, junction: int) -> float:
    """mm that a support is above the middle of its range after all that was turned."""
    return sum(lift.lift for lift in lifts if (lift.chain, lift.junction) == (jamb, junction))
