"""What somebody who does everything in order would do next about a small job."""

from collections.abc import Callable
from functools import partial
from typing import Any

from django.utils import timezone

from installs.models import Fixing, Handover, Inspection, Installation, PlanStep
from jobs.services.diary import tolerance_of
from surveys.models import FitDecision, Photo
from tests import factories, walker
from tests.reports.small_job import AGAIN, FIRST, SmallJob

OperationHandler = Callable[[], Any]
CLEARED = "Sampled by an analyst, none found, report 7"
LEAF_MASS = 100.0
PASS = Inspection.Outcome.PASS


def due(job: SmallJob) -> OperationHandler:
    return _due_before_the_fitting(job) or _due_at_the_fitting(job, job.installation)


def _due_before_the_fitting(job: SmallJob) -> OperationHandler | None:
    if job.doorset.ordered_at is None:
        return _due_of_survey(job, FIRST) or _due_of_limits(job) or job.order
    delivery = job.doorset.deliveries.first()
    if delivery is None or not delivery.accepted or delivery.leaves_counted != 2:
        return job.deliver
    return _due_of_survey(job, AGAIN) or (None if job.installation else job.plan)


def _due_of_survey(job: SmallJob, stage: str) -> OperationHandler | None:
    survey = job.newest_survey(stage)
    usable = survey and survey.agrees_with_itself and survey.instrument_id != job.expired.pk
    if survey is None or not usable:
        return _survey(job, stage)
    if stage == FIRST and survey.accepted_at is None:
        return partial(job.accept, survey)
    decision = survey.fit_decisions.filter(doorset=job.doorset).first()
    if decision is None:
        return partial(job.decide, survey)
    fits = decision.verdict == FitDecision.Verdict.FITS
    return None if fits else _survey(job, stage)


def _survey(job: SmallJob, stage: str) -> OperationHandler:
    """At a visit of today: the one that was booked may have been moved, cancelled or ended."""
    visit, now = job.visit_of(stage), timezone.now()
    tolerance = tolerance_of(job.job.rule_set.rules)
    today = visit.start - tolerance <= now <= (visit.ended_at or visit.end) + tolerance
    can_be_made = today and visit.cancelled_at is None
    return partial(job.survey, stage) if can_be_made else partial(job.book_again, stage)


def _due_of_limits(job: SmallJob) -> OperationHandler | None:
    tightened = job.doorset.profile_system.largest_leaf_mass < LEAF_MASS
    return partial(job.set_limits, largest_leaf_mass=LEAF_MASS) if tightened else None


def _due_at_the_fitting(job: SmallJob, installation: Installation) -> OperationHandler:
    if defects := job.open_defects:
        defect = defects[0]
        by_mate = defect.put_right_by_id != job.mate.pk
        settled = partial(job.look_again, defect, accepted=True, by_mate=by_mate)
        return settled if defect.put_right_at else partial(job.put_right, defect)
    if of_office := _due_of_office(job):
        return of_office
    on_record = OnRecord(installation)
    for step in walker.steps_before(installation):
        for entry in walker.entries(step):
            if not on_record.holds(entry, step):
                return partial(_record, job, installation, entry)
    handed_over = Handover.objects.filter(job=job.job).exists()
    return job.ask_for_certificate if handed_over else job.hand_over


def _due_of_office(job: SmallJob) -> OperationHandler | None:
    """What was added is left out, a suspicion is cleared, and nobody is booked for nothing."""
    if added := job.job.openings.wanted().exclude(pk=job.opening.pk).first():
        return partial(job.leave_out, added)
    surveys = job.opening.surveys.order_by("-taken_at", "-created_at")
    suspecting = next((s for s in surveys if s.conditions["asbestos_suspected"]), None)
    if suspecting and not suspecting.conditions.get("asbestos_cleared"):
        if not Photo.objects.filter(survey__opening=job.opening).exists():
            return job.photograph_report
        return partial(job.suspect, AGAIN, CLEARED, papers=True, by_fitter=False)
    return _due_of_visits(job)


def _due_of_visits(job: SmallJob) -> OperationHandler | None:
    """The handover ends the visit that is under way."""
    ahead = timezone.now() + tolerance_of(job.job.rule_set.rules)
    fittings = job.job.visits.not_cancelled().filter(kind="fitting", ended_at=None)
    for visit in fittings.exclude(pk=job.visits[AGAIN].pk, start__lte=ahead):
        return partial(job.change_visit, visit, "end" if visit.has_begun else "cancel")
    left = Inspection.objects.filter(step__installation=job.installation).left_for_return()
    returns = job.job.visits.not_cancelled().filter(kind="return")
    return partial(job.book, 2, "return") if left.exists() and not returns.exists() else None


def _record(job: SmallJob, installation: Installation, entry: walker.Entry) -> None:
    if entry.kind == "record_sash":
        job.glaze(installation, entry.place["leaf"], whole=True)
    else:
        factories.record(job.fitter, entry)


class OnRecord:
    """What of a fitting is on record and in order, as it stood when this was made."""

    def __init__(self, installation: Installation) -> None:
        fixings = installation.fixings.filter(kind=Fixing.Kind.FRAME_SCREW)
        beads, sashes = installation.beads.all(), installation.sashes.all()
        inspections = Inspection.objects.filter(step__installation=installation)
        newest = {i.step_id: i.outcome for i in inspections.order_by("created_at")}
        self.passed = {step for step, outcome in newest.items() if outcome == PASS}
        self.photographed = set(installation.photos.values_list("step_id", flat=True))
        self.gaps = {gap.junction: gap for gap in installation.gaps.order_by("created_at")}
        self.glazed_at = max((sash.updated_at for sash in sashes), default=None)
        self.places: dict[str, set[tuple[Any, ...]]] = {
            "take_bead_off": {(bead.leaf, bead.side) for bead in beads},
            "put_bead_back": {(bead.leaf, bead.side) for bead in beads if bead.put_back_at},
            "record_fixing": set(fixings.values_list("member", "position")),
            "record_sash": {(sash.leaf,) for sash in sashes if sash.is_complete},
        }

    def holds(self, entry: walker.Entry, step: PlanStep) -> bool:
        if entry.kind == "inspect_step":
            return step.pk in self.passed
        if entry.kind == "add_photo":
            return step.pk in self.photographed
        if entry.kind == "record_gap":
            return self._is_even(entry.place["junction"], again=step.code == "gaps_again")
        return tuple(entry.place.values()) in self.places[entry.kind]

    def _is_even(self, junction: int, *, again: bool) -> bool:
        """`again`: since the newest work on a sash, too."""
        gap = self.gaps.get(junction)
        if gap is None or gap.decision != PASS:
            return False
        return not again or self.glazed_at is None or gap.created_at >= self.glazed_at
