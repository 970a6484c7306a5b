"""What stands in the way of fixing a frame, of glazing it, and of handing it over.

Each gate is a list of conditions; nothing is stored about it.
"""

from collections.abc import Callable

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
from installs.standing import Standing
from jobs.models import Job, Opening
from jobs.refusals import Blocker, named
from surveys.gates import removal_gate_of

BEFORE_FIXING = ("damp_proof_course", "sill_level", "plumb", "level", "diagonals")
BEFORE_GLAZING = ("bow", "clear_height")


def fixing_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, fixing_gate_of)


def glazing_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, glazing_gate_of)


def handover_gate(job: Job) -> list[Blocker]:
    """For all openings of a job."""
    return _for_all_openings(job, handover_gate_of)


def fixing_gate_of(installation: Installation) -> list[Blocker]:
    """The frame stands true on a sound sill, and nothing can fall on anybody."""
    standing = Standing(installation)
    return [
        *removal_gate_of(installation.doorset.opening),
        *hold_points(standing, before_phase=PlanStep.Phase.FIXING),
        *steps_not_passed(standing, BEFORE_FIXING),
    ]


def glazing_gate_of(installation: Installation) -> list[Blocker]:
    """The frame is held by its fixings, and they have not pulled it out of true."""
    standing = Standing(installation)
    return [
        *hold_points(standing, before_phase=PlanStep.Phase.GLAZING),
        *members_without_layout(standing),
        *too_few_mechanical_fixings(standing),
        *fixings_off_their_place(standing),
        *steps_not_passed(standing, BEFORE_GLAZING),
    ]


def handover_gate_of(installation: Installation) -> list[Blocker]:
    """Everything before the handover is done, looked at, and as it must be."""
    standing = Standing(installation)
    own = PlanStep.Phase.HANDOVER
    before = [one.step.code for one in standing.steps if one.step.phase != own]
    return [
        *removal_gate_of(installation.doorset.opening),
        *steps_not_passed(standing, before),
        *members_without_layout(standing),
        *too_few_mechanical_fixings(standing),
        *fixings_off_their_place(standing),
        *uneven_gaps(standing),
        *beads_not_back(standing),
        *incomplete_sashes(standing),
        *photos_missing(standing),
        *open_defects(standing),
    ]


def _for_all_openings(job: Job, gate_of: Callable[[Installation], list[Blocker]]) -> list[Blocker]:
    openings = list(job.openings.order_by("number"))
    if not openings:
        return [Blocker("opening", "add the openings of the job", "it has none", named(job))]
    return [blocker for opening in openings for blocker in _of_opening(opening, gate_of)]


def _of_opening(
    opening: Opening, gate_of: Callable[[Installation], list[Blocker]]
) -> list[Blocker]:
    installation = Installation.objects.filter(
        doorset__opening=opening, doorset__superseded_at=None
    ).first()
    if installation is None:
        what = "plan the fitting of its doorset"
        return [Blocker("installation", what, "nothing has been fitted", named(opening))]
    return gate_of(installation)
