"""How each part of a fitting stands by what is on record: a tone, a sign, and the word for it."""

from dataclasses import dataclass

from installs.arithmetic.members import PlannedFixing, PlannedMember
from installs.as_fixed_report import MemberAsFixed, as_fixed
from installs.models import Inspection
from installs.state import InstallationState
from jobs.blockers import BlockerCode

NAMES = {"left": "Left jamb", "right": "Right jamb", "head": "Head", "sill": "Sill"}


@dataclass(frozen=True, slots=True)
class State:
    """`name` is one that `{% state %}` knows; `words` say it of this part."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class FixingState:
    """A fixing as planned, as made, or both; `position` in mm from the left or foot end.

    `planned` is the plan's own entry, None where nothing was planned there.
    """

    position: float
    state: State
    planned: PlannedFixing | None

    @property
    def anchor(self) -> str:
        return f"at-{self.position:g}"

    @property
    def is_missing(self) -> bool:
        return self.state.name == "waiting"


def junction_state(state: InstallationState, number: int) -> State:
    gap = state.newest_gaps.get(number)
    if gap is None:
        return State("waiting", "gaps not read yet")
    if gap.decision == Inspection.Outcome.PASS:
        return State("pass", "gaps even")
    if state.conceded(BlockerCode.JUNCTION_GAP, gap.created_at):
        return State("pass", "gaps accepted as they are")
    if gap.decision == Inspection.Outcome.FAIL:
        return State("fail", "gaps not even")
    return State("inconclusive", "gaps not decided")


def sash_state(state: InstallationState, number: int) -> State:
    sash = state.sashes.get(number)
    off = [bead for bead in state.beads if bead.leaf == number and not bead.put_back_at]
    beads = f", {len(off)} of its beads off" if off else ""
    if sash is None:
        return State("waiting", f"nothing recorded yet{beads}")
    if not sash.is_complete:
        return State("next", f"begun{beads}")
    return State("next" if off else "done", f"blocks, brace and glass done{beads}")


def member_states(state: InstallationState) -> dict[str, tuple[State, list[FixingState]]]:
    """By name of the member, with its fixings from the left or foot end on."""
    report = {one.member: one for one in as_fixed(state.installation)}
    return {
        member.name: (
            _member(member, report[member.name]),
            _fixings(member, state, report),
        )
        for member in state.members
    }


def _member(member: PlannedMember, made: MemberAsFixed) -> State:
    if member.positions is None:
        return State("attention", f"no layout keeps to the rules, {made.mechanical} fixings made")
    counted = f"{made.mechanical} fixings made, {made.planned} planned"
    if made.foam_only:
        return State("fail", f"{counted}, foam alone somewhere")
    if made.missing:
        return State("next" if made.mechanical else "waiting", counted)
    return State("attention" if made.moved else "done", counted)


def _fixings(
    member: PlannedMember, state: InstallationState, report: dict[str, MemberAsFixed]
) -> list[FixingState]:
    made = report[member.name]
    moved = dict(made.moved)
    found = [
        FixingState(one.position, _planned(one.position, made, moved), one)
        for one in member.fixings
    ]
    found += [
        FixingState(at, State("attention", "fixed, not planned here"), None) for at in made.added
    ]
    found += [FixingState(at, State("fail", "foam alone"), None) for at in made.foam_only]
    return sorted(found, key=lambda one: one.position)


def _planned(position: float, made: MemberAsFixed, moved: dict[float, float]) -> State:
    if position in moved:
        return State("attention", f"fixed at {moved[position]:g} mm instead")
    if position in made.missing:
        return State("waiting", "not fixed yet")
    return State("done", "fixed")
