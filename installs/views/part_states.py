"""The state of each part of a fitting by what is on record, with its label."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from installs.arithmetic.members import PlannedFixing, PlannedMember
from installs.as_fixed_report import MemberAsFixed, as_fixed
from installs.models import Inspection
from installs.state import InstallationState
from jobs.blockers import BlockerCode
from jobs.figures import figure


@dataclass(frozen=True, slots=True)
class State:
    """`name` is one that `{% state %}` knows; `label` says it of this part."""

    name: str
    label: str


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
        return State("waiting", _("gaps not read yet"))
    if gap.decision == Inspection.Outcome.PASS:
        return State("pass", _("gaps even"))
    if state.conceded(BlockerCode.JUNCTION_GAP, gap.created_at, str(number)):
        return State("pass", _("gaps accepted as they are"))
    if gap.decision == Inspection.Outcome.FAIL:
        return State("fail", _("gaps not even"))
    return State("inconclusive", _("gaps not decided"))


def sash_state(state: InstallationState, number: int) -> State:
    sash = state.sashes.get(number)
    off = sum(bead.leaf == number and not bead.put_back_at for bead in state.beads)
    if sash is None:
        return State("waiting", _with_beads_off(_("nothing recorded yet"), off))
    if sash.out_of_square:
        apart = _("out of square, diagonals {difference} mm apart")
        label = apart.format(difference=figure(sash.out_of_square))
        return State("fail", _with_beads_off(label, off))
    if not sash.is_complete:
        return State("next", _with_beads_off(_("begun"), off))
    label = _with_beads_off(_("blocks, brace and glass done"), off)
    return State("next" if off else "done", label)


def _with_beads_off(label: str, count: int) -> str:
    if not count:
        return label
    beads = ngettext("{count} of its beads off", "{count} of its beads off", count)
    return _("{state}, {beads}").format(state=label, beads=beads.format(count=count))


def member_states(state: InstallationState) -> dict[str, tuple[State, list[FixingState]]]:
    """By name of the member, with its fixings from the left or foot end on."""
    report = {made.member: made for made in as_fixed(state.installation)}
    return {
        member.name: (
            _member(member, report[member.name]),
            _fixings(member, state, report),
        )
        for member in state.members
    }


def _member(member: PlannedMember, made: MemberAsFixed) -> State:
    if member.positions is None:
        return State(
            "attention",
            _("no layout satisfies the rules; fixings made: {count}").format(count=made.mechanical),
        )
    counts = {"made": made.mechanical, "planned": made.planned}
    if made.foam_only:
        foam = _("{made} fixings made, {planned} planned, foam alone somewhere")
        return State("fail", foam.format(**counts))
    counted = _("{made} fixings made, {planned} planned").format(**counts)
    if made.missing:
        return State("next" if made.mechanical else "waiting", counted)
    return State("attention" if made.moved else "done", counted)


def _fixings(
    member: PlannedMember, state: InstallationState, report: dict[str, MemberAsFixed]
) -> list[FixingState]:
    made = report[member.name]
    moved = dict(made.moved)
    states = [
        FixingState(fixing.position, _planned(fixing.position, made, moved), fixing)
        for fixing in member.fixings
    ]
    unplanned = State("attention", _("fixed, not planned here"))
    states += [FixingState(at, unplanned, None) for at in made.added]
    states += [FixingState(at, State("fail", _("foam alone")), None) for at in made.foam_only]
    return sorted(states, key=lambda fixing: fixing.position)


def _planned(position: float, made: MemberAsFixed, moved: dict[float, float]) -> State:
    if position in moved:
        label = _("fixed at {place} mm instead").format(place=figure(moved[position]))
        return State("attention", label)
    if position in made.missing:
        return State("waiting", _("not fixed yet"))
    return State("done", _("fixed"))
