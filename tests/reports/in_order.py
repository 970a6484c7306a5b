"""What somebody who does everything in order would do next about a small job."""

from collections.abc import Callable
from functools import partial
from typing import Any

from installs.models import Bead, Fixing, Handover, Inspection, Installation, PlanStep
from tests import factories
from tests.reports.small_job import AGAIN, FIRST, SmallJob

OperationHandler = Callable[[], Any]


def due(job: SmallJob) -> OperationHandler:
    return _due_before_the_fitting(job) or _due_at_the_fitting(job, job.installation)


def _due_before_the_fitting(job: SmallJob) -> OperationHandler | None:
    if job.doorset.ordered_at is None:
        return _due_of_survey(job, FIRST) or job.order
    delivery = job.doorset.deliveries.first()
    if delivery is None or not delivery.accepted or delivery.leaves_counted != 2:
        return job.deliver
    return _due_of_survey(job, AGAIN) or (None if job.installation else job.plan)


def _due_of_survey(job: SmallJob, stage: str) -> OperationHandler | None:
    survey = job.newest_survey(stage)
    if survey is None or not survey.agrees_with_itself:
        return partial(job.survey, stage, sound=True)
    if stage == FIRST and survey.accepted_at is None:
        return partial(job.accept, survey)
    if not survey.fit_decisions.filter(doorset=job.drafted).exists():
        return partial(job.decide, survey)
    return None


def _due_at_the_fitting(job: SmallJob, installation: Installation) -> OperationHandler:
    if defects := job.open_defects:
        defect = defects[0]
        settled = partial(job.look_again, defect, accepted=True)
        return settled if defect.put_right_at else partial(job.put_right, defect)
    for step in installation.steps.exclude(phase="handover").order_by("number"):
        newest = step.inspections.order_by("created_at").last()
        if newest is None or newest.outcome != Inspection.Outcome.PASS:
            beside = _due_beside(job, installation, step)
            return beside or partial(job.inspect, step, sound=True)
        if "photo" in step.evidence and not step.photos.exists():
            return partial(factories.site_photo, job.fitter, step)
    closing = _due_of_sashes(job, installation) or _due_of_gaps(job, installation)
    if closing:
        return closing
    handed_over = Handover.objects.filter(job=job.job).exists()
    return job.ask_for_certificate if handed_over else job.hand_over


def _due_beside(
    job: SmallJob, installation: Installation, step: PlanStep
) -> OperationHandler | None:
    beside: dict[str, Callable[[SmallJob, Installation], OperationHandler | None]] = {
        "beads_off": _due_off,
        "beads_back": _due_back,
        "clear_height": _due_of_fixings,
        "foam": _due_of_fixings,
        "running_gear": _due_of_gaps,
        "glass_in": _due_of_sashes,
        "gaps_again": partial(_due_of_gaps, again=True),
    }
    return beside[step.code](job, installation) if step.code in beside else None


def _due_off(job: SmallJob, installation: Installation) -> OperationHandler | None:
    off = set(installation.beads.values_list("leaf", "side"))
    for leaf in (1, 2):
        for side in Bead.Side.values:
            if (leaf, side) not in off:
                return partial(job.take_off, installation, leaf, side)
    return None


def _due_back(job: SmallJob, installation: Installation) -> OperationHandler | None:
    off = {(b.leaf, b.side): b for b in installation.beads.filter(put_back_at=None)}
    turns = [(leaf, side) for leaf in (1, 2) for side in Bead.Side.values]
    return next((partial(job.put_back, off[turn]) for turn in turns if turn in off), None)


def _due_of_fixings(job: SmallJob, installation: Installation) -> OperationHandler | None:
    screws = installation.fixings.filter(kind=Fixing.Kind.FRAME_SCREW)
    fixed = set(screws.values_list("member", "position"))
    for member in installation.plan.fixing_layout.members:
        for position in member.positions:
            if (member.name, position) not in fixed:
                kind = Fixing.Kind.FRAME_SCREW
                return partial(job.fix, installation, member.name, position, kind)
    return None


def _due_of_gaps(
    job: SmallJob, installation: Installation, *, again: bool = False
) -> OperationHandler | None:
    """`again`: those that are older than the newest work on a sash, too."""
    newest_sash = installation.sashes.order_by("updated_at").last() if again else None
    for junction in installation.plan.junctions:
        gap = installation.gaps.filter(junction=junction.number).order_by("created_at").last()
        stale = gap and newest_sash and gap.created_at < newest_sash.updated_at
        if gap is None or stale or gap.decision != Inspection.Outcome.PASS:
            return partial(job.read_gaps, installation, junction.number, even=True)
    return None


def _due_of_sashes(job: SmallJob, installation: Installation) -> OperationHandler | None:
    whole = {sash.leaf for sash in installation.sashes.all() if sash.is_complete}
    left = [leaf for leaf in (1, 2) if leaf not in whole]
    return partial(job.glaze, installation, left[0], whole=True) if left else None
