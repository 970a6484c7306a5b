"""How far a fitting has come, as a phone keeps it, to lay over it what waits in its queue.

The rules of that are in `static/installs/folding.js`, and a test holds what comes of them against
this state after the queue was sent. Lengths in mm.
"""

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from django.utils import timezone

from installs.arithmetic.as_fixed import fewest_for_length
from installs.arithmetic.members import PlannedMember
from installs.member_labels import MEMBER_LABELS
from installs.models import Inspection, Installation, PlanStep, SashRecord, SyncOperation
from installs.sash_advice import panes_to_mark
from installs.state import InstallationState, StepState
from jobs.arithmetic.glass_marks import BREAKS, OrderedPane
from jobs.blockers import BlockerCode
from jobs.errors import Blocker
from jobs.models import Person
from jobs.translation import translated
from surveys.gates import open_wall_gate_for, survey_after_removal

Json = dict[str, Any]
# A phone may still hold for new what was applied, where the answer was lost; not for this long.
ANSWERED_WITHIN = timedelta(days=2)
# Of an operation's identity as much as tells those of two days apart.
SHORT_ID = 8


def sheet_state(person: Person, state: InstallationState) -> Json:
    """`person` is whose phone may keep it, `applied` those of its operations that are in here."""
    fitting, rules = state.installation, state.rules
    return {
        "person": str(person.pk),
        "installation": str(fitting.pk),
        "applied": _applied(person),
        "steps": [_step(entry) for entry in state.steps],
        "phases": list(PlanStep.Phase.values),
        "before_removal": _words(state.before_removal),
        "before_fixing": _words(state.before_fixing),
        "open_wall": _open_wall(fitting),
        "members": {member.name: _member(member, state) for member in state.members},
        "rules": {
            "least_apart": rules["fixing.least_apart"],
            "within": rules["fixing.as_fixed"],
            "moved_within": rules["fixing.max_centres"] / 2,
            "diagonals_within": rules["sash.diagonal_difference"],
        },
        "junctions": {
            str(junction.number): _junction(junction.number, state)
            for junction in fitting.plan.junctions
        },
        "sashes": {str(leaf.number): _sash(leaf.number, state) for leaf in fitting.plan.leaves},
        "defects": len(state.open_defects),
        "failed_steps": _failed_steps(state),
    }


def _applied(person: Person) -> list[str]:
    recent = SyncOperation.objects.filter(
        person=person, received_at__gte=timezone.now() - ANSWERED_WITHIN
    )
    return [str(key)[:SHORT_ID] for key in recent.values_list("pk", flat=True)]


def _words(blockers: Iterable[Blocker]) -> list[str]:
    return list(dict.fromkeys(blocker.what for blocker in blockers))


def _step(entry: StepState) -> Json:
    """`state` is the outcome of its newest inspection, `pass` where that was accepted since, and
    empty where there is none."""
    step, made = entry.step, entry.inspection
    outcome = (Inspection.Outcome.PASS if entry.passed else made.outcome) if made else ""
    return {
        "id": str(step.pk),
        "number": step.number,
        "title": translated(step.title),
        "phase": step.phase,
        "hold_point": step.hold_point,
        "critical": step.critical,
        "gates": list(step.gates),
        "register": step.register,
        "on_the_map": step.on_the_map,
        "seals": "sealant_class" in step.asks,
        "reads": "reading" in step.evidence,
        "confirms": "acknowledgement" in step.evidence,
        "state": str(outcome),
        "accepted": entry.conceded,
    }


def _open_wall(fitting: Installation) -> Json:
    measured = survey_after_removal(fitting.doorset.opening) is not None
    against = open_wall_gate_for(fitting.doorset) if measured else []
    return {"measured": measured, "against": _words(against)}


def _member(member: PlannedMember, state: InstallationState) -> Json:
    """`wanted`: how many mechanical fixings hold it. `accepted_positions`: planned places without a
    fixing that are accepted as they are, until something else is fixed."""
    rules = state.rules
    mechanical = [fixing for fixing in state.fixings if fixing.is_mechanical]
    newest = max((fixing.created_at for fixing in mechanical), default=None)
    planned_at = state.installation.updated_at
    code = BlockerCode.FIXING_POSITION
    return {
        "label": translated(MEMBER_LABELS[member.name]),
        "wanted": member.count
        or fewest_for_length(
            member.length,
            end_max=rules["fixing.end_max"],
            max_centres=rules["fixing.max_centres"],
            min_fixings=rules["fixing.min_fixings"],
        ),
        "length": member.length,
        "planned_count": member.count,
        "planned": list(member.positions or ()),
        "without_layout": member.positions is None
        and not state.conceded(BlockerCode.FIXING_LAYOUT, planned_at, member.name),
        "accepted_positions": [
            place
            for place in member.positions or ()
            if newest and state.conceded(code, newest, f"{member.name} {place:g}")
        ],
        "fixings": [
            {"position": fixing.position, "kind": fixing.kind}
            for fixing in state.fixings
            if fixing.member == member.name
        ],
    }


def _junction(number: int, state: InstallationState) -> Json:
    """`after_sashes`: whether it was read after the newest work on a sash."""
    gap = state.newest_gaps.get(number)
    if gap is None:
        return {"decision": "", "accepted": False, "after_sashes": False}
    worked_at = max((sash.updated_at for sash in state.sashes.values()), default=None)
    return {
        "decision": gap.decision,
        "accepted": state.conceded(BlockerCode.JUNCTION_GAP, gap.created_at, str(number)),
        "after_sashes": worked_at is None or gap.created_at >= worked_at,
    }


def _sash(number: int, state: InstallationState) -> Json:
    """`panes`: how each pane that can be struck has to break, and from which height it must not."""
    record = state.sashes.get(number)
    beads = [bead for bead in state.beads if bead.leaf == number]
    return {
        "record": str(record.pk) if record else None,
        "done": _done(record) if record else None,
        "panes": [_pane(pane) for pane in panes_to_mark(state.installation, number)],
        "beads": {
            bead.side: {
                "record": str(bead.pk),
                "number": bead.number,
                "back": bool(bead.put_back_at),
            }
            for bead in beads
        },
    }


def _done(record: SashRecord) -> Json:
    return {
        "blocks_set": record.blocks_set,
        "brace_set": record.brace_set,
        "glass_marking": record.glass_marking,
        "rising_diagonal": record.rising_diagonal,
        "falling_diagonal": record.falling_diagonal,
    }


def _pane(pane: OrderedPane) -> Json:
    return {"breaks": BREAKS.get(pane.safety), "drop_class": pane.drop_class}


def _failed_steps(state: InstallationState) -> list[str]:
    """Steps whose failure opened a defect that still stands for a further failure of theirs."""
    return sorted(
        str(defect.step_id)
        for defect in state.open_defects
        if defect.step_id and defect.inspection_id and not state.concedes(defect)
    )
