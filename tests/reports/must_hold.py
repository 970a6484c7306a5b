"""What must hold of a small job whatever was done about it, read from the records, not the gates.

Each function yields, in words, what does not hold. `always` must be empty after every deed,
`certified` when a certificate was issued just now, and `ordered` when a doorset was.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import cast

from django.db.models import QuerySet
from django.utils import timezone

from installs.gates import gate_of
from installs.models import (
    Concession,
    Defect,
    Handover,
    Inspection,
    JunctionGap,
    PlanStep,
    SitePhoto,
)
from installs.services.handing_over import keys_handed_over
from jobs.models import Delivery, Visit
from jobs.services.diary import tolerance_of
from jobs.services.doorset_rules import work_out
from jobs.services.phone_clock import FURTHEST_AHEAD
from reports.issued_papers import find_paper
from reports.models import Document
from surveys.models import FitDecision, Photo, Survey
from surveys.services.surveys import CLOCK_DIFFERENCE
from tests.reports.small_job import FIRST, SmallJob

LEAST_SIDE = 480  # the rule photo.least_side
SIZE_STEPS = ("diagonals", "clear_height")
CRITICAL, MINOR = Defect.Severity.CRITICAL, Defect.Severity.MINOR
PASS = Inspection.Outcome.PASS


def always(job: SmallJob) -> list[str]:
    of_all = (
        _concessions,
        _gates,
        _shared_pictures,
        _critical_steps,
        _instruments,
        _deliveries,
        _dates,
        _visits,
        _cleared,
    )
    return [wrong for conditions in of_all for wrong in conditions(job)] + list(_verified(job))


def ordered(job: SmallJob) -> Iterator[str]:
    """The newest sound survey was accepted, and shows that this frame fits; the doorset is what
    its profile system allows on that day."""
    doorset = job.doorset
    firsts = job.opening.surveys.filter(stage=FIRST).order_by("-taken_at", "-created_at")
    newest = next((survey for survey in firsts if survey.agrees_with_itself), None)
    if newest is None or newest.accepted_at is None:
        yield "the newest sound survey is not accepted"
        return
    decision = newest.fit_decisions.filter(doorset=doorset).first()
    if decision is None or decision.verdict != FitDecision.Verdict.FITS:
        yield "the newest sound survey does not show that it fits"
    if doorset.calculation != work_out(doorset):
        yield "it was ordered as it was worked out under other limits"
    if doorset.calculation.broken_limits:
        yield "a leaf goes beyond its limits"


def certified(job: SmallJob) -> Iterator[str]:
    yield from _safety(job)
    yield from _readings(job)
    yield from _handed_over(job)
    yield from _photos(job)
    for visit in Visit.objects.not_cancelled().filter(job=job.job, kind=Visit.Kind.FITTING):
        newest = Handover.objects.filter(job=job.job).order_by("-created_at").first()
        booked_since = newest and visit.created_at > newest.created_at
        if not booked_since and not (visit.has_begun and visit.is_over):
            yield f"{visit} has not begun and ended"


def _steps(job: SmallJob) -> QuerySet[PlanStep]:
    return PlanStep.objects.filter(installation=job.installation).order_by("number")


def _safety(job: SmallJob) -> Iterator[str]:
    for step in _steps(job).filter(hold_point=True):
        if _newest(step) is None or not _passed(step):
            yield f"hold point {step.code} is not released"
    for defect in job.open_defects:
        if defect.severity == CRITICAL or not _is_accepted(defect):
            yield f"a {defect.severity} defect is open: {defect.description}"
    surveys = job.opening.surveys.order_by("-taken_at", "-created_at")
    suspecting = next((s for s in surveys if s.conditions["asbestos_suspected"]), None)
    if suspecting and not suspecting.conditions.get("asbestos_cleared"):
        yield "asbestos is suspected"


def _is_accepted(defect: Defect) -> bool:
    """By a concession of it alone, or of the last place of the step whose failure opened it."""
    for concession in defect.concession_set.all():
        if defect.severity == MINOR and concession.code == "minor_defect":
            return True
        if defect.inspection_id and concession.step_id == defect.step_id:
            return True
    return False


def _readings(job: SmallJob) -> Iterator[str]:
    for step in _steps(job).exclude(gates=[]):
        if not _passed(step):
            yield f"step {step.code} fell short"
    for gap in _newest_gaps(job):
        accepted = {"code": "junction_gap", "place": str(gap.junction)}
        since = _conceded(job).filter(**accepted, created_at__gte=gap.created_at)
        if gap.decision != PASS and not since.exists():
            yield f"junction {gap.junction} is uneven"


def _passed(step: PlanStep) -> bool:
    """Every place that the newest inspection fell short at has a concession of its own since."""
    return _newest(step) is not None and not _short_places(step)


def _short_places(step: PlanStep) -> set[str]:
    """Those of the newest inspection that nobody has accepted since."""
    newest = _newest(step)
    if newest is None:
        return set()
    granted = Concession.objects.filter(step=step, created_at__gte=newest.created_at)
    return set(newest.short_places) - set(granted.values_list("place", flat=True))


def _newest(step: PlanStep) -> Inspection | None:
    return step.inspections.order_by("created_at", "id").last()


def _conceded(job: SmallJob) -> QuerySet[Concession]:
    return Concession.objects.filter(installation=job.installation)


def _newest_gaps(job: SmallJob) -> list[JunctionGap]:
    gaps = JunctionGap.objects.filter(installation=job.installation).order_by("created_at", "id")
    return list({gap.junction: gap for gap in gaps}.values())


def _handed_over(job: SmallJob) -> Iterator[str]:
    known = keys_handed_over(job.job)
    for opening in job.job.openings.filter(left_out_at=None):
        doorset = opening.doorsets.current().first()
        installation = getattr(doorset, "installation", None)
        if installation is None or str(installation.pk) not in known:
            yield f"{opening} was not handed over"
    for handover in job.job.handovers.all():
        if not handover.signature and not handover.unsigned_because:
            yield "nobody signed, and nobody says why"


def _photos(job: SmallJob) -> Iterator[str]:
    for photo in SitePhoto.objects.all():
        if min(photo.width, photo.height) < LEAST_SIDE:
            yield "a picture is too small to show anything"
    for step in _steps_not_shown(job):
        yield f"no picture shows step {step.code} alone"


def _shared_pictures(job: SmallJob) -> Iterator[str]:
    """A picture that was sent for two steps leaves one of them asked for."""
    sent = SitePhoto.objects.filter(step__isnull=False).values_list("sha256", "step_id").distinct()
    if len(dict(sent)) == len(sent) or not job.installation:
        return
    blockers = gate_of(job.installation, "handover")
    asked = {blocker.place for blocker in blockers if blocker.code == "photo"}
    for step in _steps_not_shown(job):
        if step.code not in asked:
            yield f"step {step.code} is shown by a picture of another, and nothing is in the way"


def _steps_not_shown(job: SmallJob) -> Iterator[PlanStep]:
    shown: dict[str, object] = {}
    for photo in SitePhoto.objects.filter(step__isnull=False).order_by("created_at", "id"):
        shown.setdefault(photo.sha256, photo.step_id)
    conceded = set(_conceded(job).filter(code="photo").values_list("place", flat=True))
    for step in _steps(job):
        wanted = "photo" in step.evidence and step.code not in conceded and _newest(step)
        if wanted and step.pk not in shown.values():
            yield step


def _concessions(job: SmallJob) -> Iterator[str]:
    for concession in Concession.objects.select_related("defect"):
        defect = concession.defect
        if defect is None:
            continue
        by_name = concession.code == "minor_defect" and defect.severity == MINOR
        by_step = defect.inspection_id and defect.severity != CRITICAL
        if not (by_name or (by_step and defect.step_id == concession.step_id)):
            yield f"the concession of {concession.code} goes for {defect}"


def _gates(job: SmallJob) -> Iterator[str]:
    """Whatever was accepted, what was not is in the way of the handover."""
    if not job.installation or not _conceded(job).exists():
        return
    blockers = gate_of(job.installation, "handover")
    in_the_way = {(blocker.code, blocker.place) for blocker in blockers}
    about = {blocker.record["id"] for blocker in blockers}
    for step in _steps(job).exclude(gates=[]):
        for place in _short_places(step):
            if "handover" in step.gates and (step.code, place) not in in_the_way:
                yield f"{step.code} fell short at {place}, and nothing is in the way"
    for defect in job.open_defects:
        if str(defect.pk) not in about and not _is_accepted(defect):
            yield f"{defect} is open, and not in the way"


def _critical_steps(job: SmallJob) -> Iterator[str]:
    """Each failure is followed by a critical defect, which two people close."""
    for step in PlanStep.objects.filter(critical=True):
        newest = _newest(step)
        failed = newest and newest.outcome == Inspection.Outcome.FAIL
        if failed and not step.defects.filter(severity=CRITICAL, inspection__isnull=False).exists():
            yield f"critical step {step.code} failed, and no second person is asked"
    for defect in Defect.objects.filter(severity=CRITICAL, closed_at__isnull=False):
        if defect.put_right_by_id == defect.reinspected_by_id:
            yield "one person alone closed a critical defect"


def _instruments(job: SmallJob) -> Iterator[str]:
    cannot = ("gauge", "level")
    sizes = Inspection.objects.filter(step__code__in=SIZE_STEPS, instrument__kind__in=cannot)
    if sizes.exists() or Survey.objects.filter(instrument__kind__in=cannot).exists():
        yield "a size was read with a gauge"


def _deliveries(job: SmallJob) -> Iterator[str]:
    for delivery in Delivery.objects.select_related("doorset"):
        doorset = delivery.doorset
        if delivery.accepted and doorset.superseded_at:
            yield "an accepted delivery is on a superseded doorset"
        first = timezone.localdate(doorset.ordered_at) if doorset.ordered_at else None
        if first is None or not first <= delivery.delivered_on <= timezone.localdate():
            yield "a delivery is dated before its order, or ahead"


def _dates(job: SmallJob) -> Iterator[str]:
    now, tolerance = timezone.now(), tolerance_of(job.job.rule_set.rules)
    for survey in Survey.objects.select_related("visit"):
        visit = survey.visit
        end = (visit.ended_at or visit.end) + tolerance
        if not visit.start - tolerance <= survey.taken_at <= end:
            yield "a survey is dated beyond its visit"
        if survey.taken_at > now + CLOCK_DIFFERENCE:
            yield "a survey is dated ahead"
    earliest = job.job.created_at - FURTHEST_AHEAD
    for inspection in Inspection.objects.exclude(recorded_at=None):
        recorded_at = cast(datetime, inspection.recorded_at)
        if not earliest <= recorded_at <= now + FURTHEST_AHEAD:
            yield "a record is dated before its job, or ahead"


def _visits(job: SmallJob) -> Iterator[str]:
    for visit in Visit.objects.filter(job=job.job).exclude(cancelled_at=None):
        if visit.surveys.exists() or visit.began_at:
            yield "a visit that had begun was cancelled"


def _cleared(job: SmallJob) -> Iterator[str]:
    for survey in Survey.objects.filter(conditions__has_key="asbestos_cleared"):
        words = survey.conditions["asbestos_cleared"]
        papers = survey.conditions.get("asbestos_papers", ())
        if sum(letter.isalpha() for letter in words) < 20 or survey.surveyor == job.fitter:
            yield "asbestos was cleared by a mark, or by a fitter"
        if not Photo.objects.filter(pk__in=papers, survey__opening=survey.opening_id).exists():
            yield "asbestos was cleared without a report"


def _verified(job: SmallJob) -> Iterator[str]:
    open_critical = any(defect.severity == CRITICAL for defect in job.open_defects)
    certificate = job.certificate
    paper = find_paper(certificate.verification_code) if certificate and open_critical else None
    if paper and paper.status != "safety_open":
        yield "a certificate is plainly genuine while a critical defect is open"
    withdrawn = Document.objects.filter(job=job.job, withdrawn_for_safety=True)
    for document in withdrawn:
        since = Defect.objects.filter(
            severity=CRITICAL, installation__doorset__opening__job=job.job
        )
        if not since.exists():
            yield f"{document} was withdrawn for safety, and nothing is to be put right"


def can_be_left_out(job: SmallJob) -> bool:
    """Whether nothing of the fitting of the newest opening is on record."""
    newest = job.job.openings.order_by("-number").first()
    fitted = Inspection.objects.filter(step__installation__doorset__opening=newest)
    defects = Defect.objects.filter(installation__doorset__opening=newest)
    photos = SitePhoto.objects.filter(installation__doorset__opening=newest)
    begun = fitted.exists() or defects.exists() or photos.exists()
    return newest.left_out_at is None and not begun
