"""Which carriers of an installation to lift, from the newest gaps that were read at it."""

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from installs.arithmetic.chains import Chain, ChainJunction, RunningGearRequest
from installs.frozen import RunningGear
from installs.models import CarrierLift, Installation, JunctionGap
from installs.state import InstallationState

if TYPE_CHECKING:
    from installs.arithmetic.running_gear import RunningGearAnswer


@dataclass(frozen=True, slots=True)
class ChainAdvice:
    """One chain: the junctions that still must be read, or what to do once all were."""

    jamb: str
    still_to_read: list[int]
    advice: dict[str, Any] | None


def running_gear_advice(installation: Installation) -> list[ChainAdvice]:
    """For every chain, left first; junctions are numbered as those of the doorset."""
    gear = installation.plan.running_gear
    newest = InstallationState(installation).newest_gaps
    lifts = list(installation.lifts.all())
    return [_of_chain(chain, gear, newest, lifts) for chain in gear.chains]


def _of_chain(
    chain: Chain,
    gear: RunningGear,
    newest: dict[int, JunctionGap],
    lifts: list[CarrierLift],
) -> ChainAdvice:
    numbers = [place.junction for place in chain.places]
    if missing := [number for number in numbers if number not in newest]:
        return ChainAdvice(chain.jamb, missing, None)
    # Loaded here: most processes never ask for this, and numpy is slow to load.
    from installs.arithmetic.running_gear import set_running_gear  # noqa: PLC0415

    request = RunningGearRequest(
        junctions=tuple(
            ChainJunction(
                at=place.at,
                support=place.support,
                head_gap=newest[place.junction].head_gap,
                sill_gap=newest[place.junction].sill_gap,
                lifted=_lifted(lifts, chain.jamb, place.junction),
            )
            for place in chain.places
        ),
        adjustment_range=gear.adjustment_range,
        lift_per_turn=gear.lift_per_turn,
        tolerance=gear.tolerance,
    )
    return ChainAdvice(chain.jamb, [], _named(set_running_gear(request), numbers))


def _lifted(lifts: list[CarrierLift], jamb: str, junction: int) -> float:
    """mm that a support is above the middle of its range after all that was turned."""
    return sum(lift.lift for lift in lifts if (lift.chain, lift.junction) == (jamb, junction))


def _named(answer: "RunningGearAnswer", numbers: list[int]) -> dict[str, Any]:
    """The answer with the numbers that junctions have at the doorset."""
    advice = asdict(answer)
    for part in ("adjustments", "gaps", "faults"):
        advice[part] = [row | {"junction": numbers[row["junction"]]} for row in advice[part]]
    return advice
