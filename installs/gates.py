"""What is in the way of fixing a frame, of glazing it, and of handing it over.

Each gate is a list of conditions; nothing is stored about it.
"""

from django.utils.translation import gettext as _

from installs.conditions import (
    beads_not_back,
    fixings_off_their_place,
    hold_points,
    incomplete_sashes,
    members_without_layout,
    open_defects,
    photos_missing,
    steps_not_passed,
    too_few_mechanical_fixings,
    uneven_gaps,
)
from installs.models import Installation, PlanStep
from installs.state import InstallationState
from jobs.blockers import BlockerCode
from jobs.errors import Blocker, named
from jobs.models import Job, Opening


def fitting_gates(job: Job) -> dict[str, list[Blocker]]:
    """Fixing, glazing and handover for all openings of a job; what they rest on is read once."""
    openings = list(job.openings.wanted().order_by("number"))
    if not openings:
        none = Blocker(
            BlockerCode.OPENING, _("add the openings of the job"), _("it has none"), named(job)
        )
        return {gate: [none] for gate in CONDITIONS}
    of_openings = [_of_opening(opening) for opening in openings]
    return {gate: [b for blockers in of_openings for b in blockers[gate]] for gate in CONDITIONS}


def handover_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return fitting_gates(job)["handover"]


def gates_of(installation: Installation) -> dict[str, list[Blocker]]:
    """The same for one fitting."""
    state = InstallationState(installation)
    return {gate: conditions(state) for gate, conditions in CONDITIONS.items()}


def gate_of(installation: Installation, gate: str) -> list[Blocker]:
    """One of them: fixing, glazing or handover."""
    return CONDITIONS[gate](InstallationState(installation))


def _before_fixing(state: InstallationState) -> list[Blocker]:
    """The frame is true on a sound sill, and nothing can fall on anybody."""
    return [
        *state.before_fixing,
        *hold_points(state, before_phase=PlanStep.Phase.FIXING),
        *steps_not_passed(state, "fixing"),
    ]


def _before_glazing(state: InstallationState) -> list[Blocker]:
    """The frame is held by its fixings, and they have not pulled it out of true."""
    return [
        *hold_points(state, before_phase=PlanStep.Phase.GLAZING),
        *members_without_layout(state),
        *too_few_mechanical_fixings(state),
        *fixings_off_their_place(state),
        *steps_not_passed(state, "glazing"),
    ]


def _before_handover(state: InstallationState) -> list[Blocker]:
    """Everything before the handover is done, inspected, and in order."""
    return [
        *state.before_removal,
        *steps_not_passed(state, "handover"),
        *members_without_layout(state),
        *too_few_mechanical_fixings(state),
        *fixings_off_their_place(state),
        *uneven_gaps(state),
        *beads_not_back(state),
        *incomplete_sashes(state),
        *photos_missing(state),
        *open_defects(state),
    ]


CONDITIONS = {
    "fixing": _before_fixing,
    "glazing": _before_glazing,
    "handover": _before_handover,
}


def _of_opening(opening: Opening) -> dict[str, list[Blocker]]:
    fittings = Installation.objects.filter(doorset__opening=opening, doorset__superseded_at=None)
    installation = fittings.select_related("rule_set", "doorset__opening__job__rule_set").first()
    if installation is None:
        what = _("plan the fitting of its doorset")
        missing = Blocker(
            BlockerCode.INSTALLATION, what, _("nothing has been fitted"), named(opening)
        )
        return {gate: [missing] for gate in CONDITIONS}
    return gates_of(installation)
