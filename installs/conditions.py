"""The conditions of the gates of an installation, each a small function over its records.

A blocker may be conceded where the rule set of the installation says so.
"""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from installs.arithmetic.as_fixed import (
    count_apart,
    fewest_for_length,
    planned_without_fixing,
)
from installs.member_labels import MEMBER_LABELS
from installs.models import Defect, Inspection, Installation, JunctionGap, PlanStep, SashRecord
from installs.sash_advice import out_of_square_in_words, shortfalls_in_words
from installs.state import InstallationState, StepState
from jobs.blockers import BlockerCode
from jobs.code_labels import code_label
from jobs.errors import Blocker, named
from jobs.figures import number
from jobs.rules import Rules
from jobs.sentences import Sentence, StoredSentence, sentence
from jobs.translation import translated

PHASES = list(PlanStep.Phase)
CONCEDABLE = frozenset(code for code in BlockerCode if code.condition.concedable)
COUNTED = StoredSentence(
    "{made} of {wanted} mechanical fixings are recorded, each in a place of its own{note}"
)
COUNTED_BESIDE_FOAM = StoredSentence(
    "{made} of {wanted} mechanical fixings are recorded, each in a place of its own; foam is no "
    "fixing{note}"
)
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
        blocker
        for earlier in state.steps
        if earlier.step.hold_point and earlier.step.number < step.number and not earlier.passed
        for blocker in _of_step(earlier, state)
    ]


def hold_points(state: InstallationState, *, before_phase: str) -> Iterator[Blocker]:
    """Hold points of earlier phases."""
    earlier = PHASES[: PHASES.index(PlanStep.Phase(before_phase))]
    for entry in state.steps:
        if entry.step.hold_point and entry.step.phase in earlier and not entry.passed:
            yield from _of_step(entry, state)


def steps_not_passed(state: InstallationState, gate: str) -> Iterator[Blocker]:
    for entry in state.steps:
        if gate in entry.step.gates and not entry.passed:
            yield from _of_step(entry, state)


def members_without_layout(state: InstallationState) -> Iterator[Blocker]:
    """A member for which the rules leave no layout is fixed by judgement, and that is conceded;
    a concession covers no plan that is made after it."""
    planned_at = state.installation.updated_at
    for member in state.members:
        accepted = state.conceded(BlockerCode.FIXING_LAYOUT, planned_at, member.name)
        if member.positions is None and not accepted:
            yield _blocker(
                BlockerCode.FIXING_LAYOUT,
                (
                    _("have the office accept how the {member} is fixed").format(
                        member=translated(MEMBER_LABELS[member.name])
                    ),
                    _("no layout satisfies the rules: {reason}").format(
                        reason=translated(member.reason or "")
                    ),
                ),
                state.installation,
                state,
                member.name,
            )


def too_few_mechanical_fixings(state: InstallationState) -> Iterator[Blocker]:
    """Never to be conceded: a frame that only foam holds falls out of the wall."""
    for what, why in fixing_shortfalls(state):
        yield Blocker(
            BlockerCode.MECHANICAL_FIXING,
            translated(what),
            translated(why),
            named(state.installation),
        )


def fixing_shortfalls(state: InstallationState) -> Iterator[tuple[Sentence, Sentence]]:
    """For each member with too few mechanical fixings what to do, and why."""
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
            what = sentence(
                "fix the {member} mechanically, {count} more",
                member=MEMBER_LABELS[member.name],
                count=wanted - mechanical,
            )
            why = COUNTED_BESIDE_FOAM if len(made) > mechanical else COUNTED
            note = state.rules.note(*COUNTED_BY)
            yield what, why(made=mechanical, wanted=wanted, note=note)


def fixings_off_their_place(state: InstallationState) -> Iterator[Blocker]:
    """Where nothing is fixed yet, nothing is off its place, and there is nothing to concede."""
    mechanical = [fixing for fixing in state.fixings if fixing.is_mechanical]
    newest = max((fixing.created_at for fixing in mechanical), default=None)
    if newest is None:
        return
    within = state.rules["fixing.as_fixed"]
    for member in state.members:
        fixed = [fixing.position for fixing in mechanical if fixing.member == member.name]
        for place in planned_without_fixing(member.positions or (), fixed, within):
            name = f"{member.name} {place:g}"
            if state.conceded(BlockerCode.FIXING_POSITION, newest, name):
                continue
            yield _blocker(
                BlockerCode.FIXING_POSITION,
                (
                    _("fix the {member} at {place} mm").format(
                        member=translated(MEMBER_LABELS[member.name]), place=number(place)
                    ),
                    _("no mechanical fixing is within {distance} mm of it{note}").format(
                        distance=number(within), note=state.rules.note("fixing.as_fixed")
                    ),
                ),
                state.installation,
                state,
                name,
            )


def uneven_gaps(state: InstallationState) -> Iterator[Blocker]:
    source = state.installation.plan.running_gear.source
    for junction in state.installation.plan.junctions:
        gap = state.newest_gaps.get(junction.number)
        if gap is None:
            what = _("read the gaps at head and sill of junction {number}").format(
                number=junction.number
            )
            yield Blocker(
                BlockerCode.JUNCTION_GAP, what, _("they were not read"), named(state.installation)
            )
        elif not _even(gap, state):
            what = _("put the gaps of junction {number} right and read them again").format(
                number=junction.number
            )
            why = _why_uneven(gap, translated(source))
            place = str(junction.number)
            words = what, why
            yield _blocker(BlockerCode.JUNCTION_GAP, words, state.installation, state, place)


def _why_uneven(gap: JunctionGap, source: str) -> str:
    difference = _(
        "head {head} mm, sill {sill} mm; {limit} mm apart is allowed ({source}): {decision}"
    )
    beside_leaf_gap = _(
        "head {head} mm, sill {sill} mm; {limit} mm apart is allowed, and both together {together} "
        "mm off twice the leaf gap of {leaf_gap} mm ({source}): {decision}"
    )
    judged_together = gap.leaf_gap is not None and gap.together_limit is not None
    return (beside_leaf_gap if judged_together else difference).format(
        head=number(gap.head_gap),
        sill=number(gap.sill_gap),
        limit=number(gap.limit),
        together=number(gap.together_limit or 0),
        leaf_gap=number(gap.leaf_gap or 0),
        source=source,
        decision=code_label(gap.decision),
    )


def beads_not_back(state: InstallationState) -> Iterator[Blocker]:
    """Beads that were taken off and are not back where they came from."""
    for bead in state.beads:
        if bead.put_back_at is None:
            what = _("put bead {number} back: sash {leaf}, {side}").format(
                number=bead.number, leaf=bead.leaf, side=code_label(bead.side)
            )
            yield Blocker(BlockerCode.BEAD, what, _("it is still off"), named(bead))


def incomplete_sashes(state: InstallationState) -> Iterator[Blocker]:
    for leaf in state.installation.plan.leaves:
        sash = state.sashes.get(leaf.number)
        if sash is None:
            what = _("record sash {number}: blocks, brace, glass marking").format(
                number=leaf.number
            )
            yield Blocker(
                BlockerCode.SASH, what, _("nothing is recorded of it"), named(state.installation)
            )
        elif not sash.is_complete:
            yield _incomplete(sash)


def _incomplete(sash: SashRecord) -> Blocker:
    """Glass that is not shown to be what was ordered may cut whoever walks into it."""
    what = _("complete sash {number}: blocks, brace, glass marking").format(number=sash.leaf)
    why = _("something of it is not done")
    if sash.glass_marking and (shortfalls := sash.mark_shortfalls):
        what = _(
            "read the marking of each pane of sash {number} again; a pane that is not as ordered "
            "is replaced"
        ).format(number=sash.leaf)
        why = "; ".join(shortfalls_in_words(shortfalls))
    if not_square := out_of_square_in_words(sash):
        what = _("square sash {number} by its brace and read its diagonals again").format(
            number=sash.leaf
        )
        why = not_square
    return Blocker(BlockerCode.SASH, what, why, named(sash))


def photos_missing(state: InstallationState) -> Iterator[Blocker]:
    """Photos follow the readings, since they take longer to send; the handover waits for them."""
    for entry in state.steps:
        step, done = entry.step, entry.inspection
        if done is None or "photo" not in step.evidence or step.pk in state.steps_with_photo:
            continue
        if not state.conceded(BlockerCode.PHOTO, done.created_at, step.code):
            what = _("send a photo of step {number}: {title}").format(
                number=step.number, title=translated(step.title)
            )
            yield _blocker(
                BlockerCode.PHOTO,
                (what, _("it shows what is covered up later, and one picture shows one step")),
                step,
                state,
                step.code,
            )


def open_defects(state: InstallationState) -> Iterator[Blocker]:
    """A critical defect is never conceded, a major one only with all that the step fell short at
    whose failure opened it: what somebody reported beside it is put right."""
    for defect in state.open_defects:
        if defect.severity != Defect.Severity.CRITICAL and state.concedes(defect):
            continue
        if state.is_left_to_come(defect):
            continue
        kind = BlockerCode.MINOR_DEFECT if defect.is_minor else BlockerCode.DEFECT
        what = _what_to_do_about(defect, state).format(defect=defect.description)
        why = _("a defect is open: {severity}").format(severity=code_label(defect.severity))
        yield _blocker(kind, (what, why), defect, state)


def _what_to_do_about(defect: Defect, state: InstallationState) -> str:
    if defect.put_right_at:
        if defect.is_minor:
            return _("have it inspected again: {defect}")
        return _("have it inspected again by somebody else, or by the office on photos: {defect}")
    if defect.is_minor and not state.is_handed_over:
        if defect.to_come_by:
            return _("put right, or name a later day that it is to come by: {defect}")
        return _("put right, or leave to come by a day: {defect}")
    return _("put right: {defect}")


def _even(gap: JunctionGap, state: InstallationState) -> bool:
    passed = gap.decision == Inspection.Outcome.PASS
    place = str(gap.junction)
    return passed or state.conceded(BlockerCode.JUNCTION_GAP, gap.created_at, place)


def _of_step(entry: StepState, state: InstallationState) -> Iterator[Blocker]:
    """One for each place that it fell short at."""
    step = entry.step
    if entry.inspection is None:
        what = _("do and record step {number}: {title}").format(
            number=step.number, title=translated(step.title)
        )
        why = _("it has not been recorded")
        yield Blocker(BlockerCode.STEP, what, why, named(step), step=step.code)
        return
    what = _("put right and record again step {number}: {title}").format(
        number=step.number, title=translated(step.title)
    )
    concedable = may_be_conceded(step.code, state.rules, step)
    for place in entry.short_places:
        why = _why_short(entry.inspection, place)
        yield Blocker(BlockerCode.STEP, what, why, named(step), concedable, step.code, place)


def _why_short(inspection: Inspection, place: str) -> str:
    outcome = code_label(inspection.outcome)
    if not place:
        return _("its newest record: {outcome}").format(outcome=outcome)
    if why := inspection.shortfalls.get(place):
        short = "; ".join(map(translated, why))
        return _("its newest record, {why}: {outcome}").format(why=short, outcome=outcome)
    read = next((read for read in inspection.readings.all() if read.place == place), None)
    if read is None:
        check = translated(inspection.step.checks.get(place, place))
        return _("its newest record, {place}: {outcome}").format(place=check, outcome=outcome)
    return _("its newest record, {place} {value} {unit}: {outcome}").format(
        place=code_label(place),
        value=number(read.value),
        unit=read.unit,
        outcome=code_label(read.decision),
    )


def _blocker(
    kind: BlockerCode,
    words: tuple[str, str],
    record: Installation | PlanStep | Defect,
    state: InstallationState,
    place: str = "",
) -> Blocker:
    """`words`: what is to be done, and why."""
    what, why = words
    concedable = may_be_conceded(kind, state.rules)
    return Blocker(kind, what, why, named(record), concedable, place=place)
