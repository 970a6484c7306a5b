"""An installation's fixings as they were made, against its frozen plan."""

from dataclasses import asdict, dataclass
from typing import Any

from installs.arithmetic.as_fixed import compare_fixings
from installs.arithmetic.members import PlannedMember
from installs.models import Fixing, Installation
from installs.packer_stacks import MemberRecord, member_record
from installs.state import InstallationState


@dataclass(frozen=True, slots=True)
class MemberAsFixed:
    """Places in mm from the member's left or foot end. `packers` names, beside fixings at their
    planned place, where a stack of another thickness was used than planned."""

    member: str
    planned: int
    mechanical: int
    foam_only: list[float]
    missing: list[float]
    added: list[float]
    moved: list[tuple[float, float]]
    packers: list[dict[str, Any]]


def as_fixed(installation: Installation) -> list[MemberAsFixed]:
    """Member by member; only mechanical fixings count as fixings."""
    state = InstallationState(installation)
    return [_of_member(member, state) for member in state.members]


def _of_member(member: PlannedMember, state: InstallationState) -> MemberAsFixed:
    fixings = [fixing for fixing in state.fixings if fixing.member == member.name]
    mechanical = [fixing for fixing in fixings if fixing.is_mechanical]
    within = state.rules["fixing.as_fixed"]
    compared = compare_fixings(
        member.positions or (),
        [fixing.position for fixing in mechanical],
        within=within,
        # Beyond half the greatest distance it is beside another planned place.
        moved_within=state.rules["fixing.max_centres"] / 2,
    )
    return MemberAsFixed(
        member=member.name,
        planned=member.count,
        mechanical=len(mechanical),
        foam_only=[fixing.position for fixing in fixings if not fixing.is_mechanical],
        **{name: list(places) for name, places in asdict(compared).items()},
        packers=_other_packers(member_record(state, member.name), mechanical),
    )


def _other_packers(record: MemberRecord, mechanical: list[Fixing]) -> list[dict[str, Any]]:
    """By what is there now, after all changes of packers."""
    differing = []
    for planned in record.planned.fixings:
        if planned.packers is None:
            continue
        place, wanted = planned.position, planned.packers.thickness
        nearest = min(mechanical, key=lambda f: abs(f.position - place), default=None)
        if nearest is None or abs(nearest.position - place) > record.within:
            continue
        there = record.packers_at(float(place))
        used = sum(nearest.packers if there is None else there)
        if used != wanted:
            differing.append({"position": nearest.position, "planned": wanted, "used": used})
    return differing
