"""What is packed where at a member of an installation, by its plan and by what was recorded."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from installs.arithmetic.members import PlannedMember
from installs.models import Fixing, PackerChange
from installs.state import InstallationState

R = TypeVar("R", Fixing, PackerChange)


@dataclass(frozen=True, slots=True)
class MemberRecord:
    """A member with what was recorded of it, in its order; `within`: how far beside a planned
    place, mm, a fixing is still the planned one."""

    planned: PlannedMember
    fixings: tuple[Fixing, ...]
    changes: tuple[PackerChange, ...]
    within: float

    @property
    def places(self) -> list[float]:
        """Where it is or will be packed, mm from its left or foot end, ascending."""
        places = [float(place) for place in self.planned.packed_positions]
        recorded: list[Fixing | PackerChange] = [*self.fixings, *self.changes]
        for position in (record.position for record in recorded):
            inside = 0 < position < self.planned.length
            if inside and nearest_place(position, places, self.within) is None:
                places.append(position)
        return sorted(places)

    @property
    def holding_places(self) -> list[float]:
        """Where packers hold it in its shape, ascending: beside fixings, and wherever else nothing
        but a record says that it is packed. Under a sill the packers without a fixing are made up
        until they are tight, and follow; they hold it where there are no others."""
        following = [float(support.position) for support in self.planned.supports_without_fixing]
        fixed = [fixing.position for fixing in self.fixings]
        holding = [
            place
            for place in self.places
            if place not in following or nearest_place(place, fixed, self.within) is not None
        ]
        return holding if len(holding) > 1 else self.places

    def packers_at(self, place: float) -> tuple[float, ...] | None:
        """The pieces there now, thickest first; None where the record does not say."""
        fixing = next((one for one in reversed(self.fixings) if self._is_at(one, place)), None)
        packers = list(fixing.packers) if fixing else self._planned_at(place)
        if packers is None:
            return None
        for change in self.changes:
            if not self._is_at(change, place) or _is_before(change, fixing):
                continue
            for piece in change.taken:
                if piece not in packers:
                    return None
                packers.remove(piece)
            packers += change.added
        return tuple(sorted(packers, reverse=True))

    def _is_at(self, record: Fixing | PackerChange, place: float) -> bool:
        return nearest_place(record.position, self.places, self.within) == place

    def _planned_at(self, place: float) -> list[float] | None:
        stack = self.planned.stack_at(place)
        return None if stack is None else list(stack.pieces)


def member_record(state: InstallationState, member: str) -> MemberRecord:
    """Foam is no packer: only mechanical fixings count."""
    fixings = (one for one in state.fixings if one.member == member and one.is_mechanical)
    return MemberRecord(
        planned=state.installation.plan.fixing_layout.member(member),
        fixings=_in_order(fixings),
        changes=_in_order(one for one in state.packer_changes if one.member == member),
        within=float(state.rules["fixing.as_fixed"]),
    )


def nearest_place(position: float, places: Sequence[float], within: float) -> float | None:
    """The place beside which something sits, mm; None where it sits beside none."""
    nearest = min(places, key=lambda place: abs(place - position), default=None)
    return nearest if nearest is not None and abs(nearest - position) <= within else None


def _in_order(records: Iterable[R]) -> tuple[R, ...]:
    return tuple(sorted(records, key=lambda record: (record.created_at, record.pk)))


def _is_before(change: PackerChange, fixing: Fixing | None) -> bool:
    """A fixing is recorded with all that is beside it by then."""
    return fixing is not None and change.created_at < fixing.created_at
