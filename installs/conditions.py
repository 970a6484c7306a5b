"""The conditions of the gates of an installation, each a small function over its records.

A blocker may be conceded where the rule set of the installation says so.
"""

from collections.abc import Iterator

from installs.arithmetic.as_fixed import (
    count_apart,
    fewest_for_length,
    planned_without_fixing,
)
from installs.models import Defect, Inspection, Installation, JunctionGap, PlanStep
from installs.state import InstallationState, StepState
from jobs.blockers import BlockerCode
from jobs.errors import Blocker, named
from jobs.rules import Rules

PHASES = list(PlanStep.Phase)
CONCEDABLE = frozenset(code for code in BlockerCode if code.condition.concedable)
# The rules that say how many fixings a member needs, and which of them count as one.
COUNTED_BY = ("fixing.end_max", "fixing.max_centres", "fixing.min_fixings", "fixing.least_apart")


def may_be_conceded(code: str, rules: Rules, step: PlanStep | None = None) -> bool:
    """Whether the rule set lets the office accept a blocker of this code, or of a step of this
    code; what can hurt somebody it never does, whatever a rule set says."""
    kind = BlockerCode.STEP if step else code
    never = kind not in CONCEDABLE or (step is not None and step.critical)
    return not never and code in rules["concession.allowed"]


def hold_points_before(state: InstallationState, step: PlanStep) -> list[Blocker]:
    """Hold points that come before a step in its plan and have not passed."""
    return [
        _of_step(one, state)
        for one in state.steps
        if one.step.hold_point and one.step.number < step.number and not one.passed
    ]


def hold_points(state: InstallationState, *, before_phase: str) -> Iterator[Blocker]:
    """Hold points of earlier phases."""
    earlier = PHASES[: PHASES.index(PlanStep.Phase(before_phase))]
    for one in state.steps:
        if one.step.hold_point and one.step.phase in earlier and not one.passed:
            yield _of_step(one, state)


def steps_not_passed(state: InstallationState, gate: str) -> Iterator[Blocker]:
    for one in state.steps:
        if gate in one.step.gates and not one.passed:
            yield _of_step(one, state)


def members_without_layout(state: InstallationState) -> Iterator[Blocker]:
    """A member for which the rules leave no layout is fixed by judgement, and that is conceded;
    what was conceded of a plan goes for none that is made after it."""
    if state.conceded(BlockerCode.FIXING_LAYOUT, state.installation.updated_at):
        return
    for member in state.members:
        if member.positions is None:
            yield _blocker(
                BlockerCode.FIXING_LAYOUT,
                f"have the office accept how the {member.name} is fixed",
                f"no layout keeps to the rules: {member.reason}",
                state.installation,
                state,
            )


def too_few_mechanical_fixings(state: InstallationState) -> Iterator[Blocker]:
    """Never to be conceded: a frame that only foam holds falls out of the wall."""
    for member in state.members:
        wanted = member.count or fewest_for_length(
            member.length,
            end_max=state.rules["fixing.end_max"],
            max_centres=state.rules["fixing.max_centres"],
            min_fixings=state.rules["fixing.min_fixings"],
        )
        made = [fixing for fixing in state.fixings if fixing.member == member.name]
        places = [fixing.position for fixing in made if fixing.is_mechanical]
        # Screws in one hole hold as much as one.
        mechanical = count_apart(places, state.rules["fixing.least_apart"])
        if mechanical < wanted:
            foam = "; foam is no fixing" if len(made) > mechanical else ""
            yield Blocker(
                BlockerCode.MECHANICAL_FIXING,
                f"fix the {member.name} mechanically, {wanted - mechanical} more",
                f"{mechanical} of {wanted} mechanical fixings are recorded, each in a place of its "
                f"own{foam}{state.rules.note(*COUNTED_BY)}",
                named(state.installation),
            )


def fixings_off_their_place(state: InstallationState) -> Iterator[Blocker]:
    """Where nothing is fixed yet, nothing is off its place, and there is nothing to concede."""
    mechanical = [fixing for fixing in state.fixings if fixing.is_mechanical]
    newest = max((fixing.created_at for fixing in mechanical), default=None)
    if newest is None or state.conceded(BlockerCode.FIXING_POSITION, newest):
        return
    within = state.rules["fixing.as_fixed"]
    for member in state.members:
        fixed = [fixing.position for fixing in mechanical if fixing.member == member.name]
        for place in planned_without_fixing(member.positions or (), fixed, within):
            yield _blocker(
                BlockerCode.FIXING_POSITION,
                f"fix the {member.name} at {place:g} mm",
                f"no mechanical fixing sits within {within:g} mm of it"
                f"{state.rules.note('fixing.as_fixed')}",
                state.installation,
                state,
            )


def uneven_gaps(state: InstallationState) -> Iterator[Blocker]:
    source = state.installation.plan.running_gear.source
    for junction in state.installation.plan.junctions:
        number = junction.number
        gap = state.newest_gaps.get(number)
        if gap is None:
            what = f"read the gaps at head and sill of junction {number}"
            yield Blocker(
                BlockerCode.JUNCTION_GAP, what, "they were not read", named(state.installation)
            )
        elif not _even(gap, state):
            yield _blocker(
                BlockerCode.JUNCTION_GAP,
                f"set the running gear at junction {number} and read its gaps again",
                f"head {gap.head_gap:g} mm, sill {gap.sill_gap:g} mm; {gap.limit:g} mm apart is "
                f"allowed ({source}): {gap.decision}",
                state.installation,
                state,
            )


def beads_not_back(state: InstallationState) -> Iterator[Blocker]:
    """Beads that were taken off and are not back where they came from."""
    for bead in state.beads:
        if bead.put_back_at is None:
            what = f"put bead {bead.number} back: sash {bead.leaf}, {bead.side}"
            yield Blocker(BlockerCode.BEAD, what, "it is still off", named(bead))


def incomplete_sashes(state: InstallationState) -> Iterator[Blocker]:
    for leaf in state.installation.plan.leaves:
        number = leaf.number
        sash = state.sashes.get(number)
        if sash is None:
            what = f"record sash {number}: blocks, brace, glass marking"
            yield Blocker(
                BlockerCode.SASH, what, "nothing is recorded of it", named(state.installation)
            )
        elif not sash.is_complete:
            what = f"complete sash {number}: blocks, brace, glass marking"
            yield Blocker(BlockerCode.SASH, what, "something of it is not done", named(sash))


def photos_missing(state: InstallationState) -> Iterator[Blocker]:
    """Photos follow the readings, since they take longer to send; the handover waits for them."""
    for one in state.steps:
        step, done = one.step, one.inspection
        if done is None or "photo" not in step.evidence or step.pk in state.steps_with_photo:
            continue
        if not state.conceded(BlockerCode.PHOTO, done.created_at):
            what = f"send a photo of step {step.number}: {step.title}"
            yield _blocker(
                BlockerCode.PHOTO, what, "it shows what is covered up later", step, state
            )


def open_defects(state: InstallationState) -> Iterator[Blocker]:
    """A critical defect is never conceded, a major one only with the step that it was found at."""
    for defect in state.open_defects:
        if defect.severity != Defect.Severity.CRITICAL and state.concedes(defect):
            continue
        minor = defect.severity == Defect.Severity.MINOR
        kind = BlockerCode.MINOR_DEFECT if minor else BlockerCode.DEFECT
        to_do = "have it looked at again" if defect.put_right_at else "put right"
        what = f"{to_do}: {defect.description}"
        yield _blocker(kind, what, f"a {defect.severity} defect is open", defect, state)


def _even(gap: JunctionGap, state: InstallationState) -> bool:
    passed = gap.decision == Inspection.Outcome.PASS
    return passed or state.conceded(BlockerCode.JUNCTION_GAP, gap.created_at)


def _of_step(one: StepState, state: InstallationState) -> Blocker:
    step = one.step
    if one.inspection is None:
        what = f"do and record step {step.number}: {step.title}"
        why = "it has not been recorded"
        return Blocker(BlockerCode.STEP, what, why, named(step), step=step.code)
    what = f"put right and record again step {step.number}: {step.title}"
    why = f"its newest record: {one.inspection.get_outcome_display()}"
    concedable = may_be_conceded(step.code, state.rules, step)
    return Blocker(BlockerCode.STEP, what, why, named(step), concedable, step.code)


def _blocker(
    kind: BlockerCode,
    what: str,
    why: str,
    record: Installation | PlanStep | Defect,
    state: InstallationState,
) -> Blocker:
    return Blocker(kind, what, why, named(record), may_be_conceded(kind, state.rules))
