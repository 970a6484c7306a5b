"""What must hold of a small job after every deed, whatever was done about it before, read from the
records and not from the gates.

Each function yields, in words, what does not hold.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import cast

from django.db.models import Q
from django.utils import timezone

from installs.gates import gate_of
from installs.models import Concession, Defect, Inspection, JunctionGap, SitePhoto
from jobs.models import Delivery, Visit
from jobs.services.diary import tolerance_of
from jobs.services.phone_clock import FURTHEST_AHEAD
from reports.issued_papers import find_paper
from reports.models import Document
from surveys.models import Photo, Survey
from surveys.services.surveys import CLOCK_DIFFERENCE
from tests.reports.as_recorded import (
    MINOR,
    conceded,
    is_accepted,
    newest_inspections,
    short_places,
    steps_not_shown,
)
from tests.reports.small_job import CERTIFICATE, SmallJob

SIZE_STEPS = ("diagonals", "clear_height")
CRITICAL = Defect.Severity.CRITICAL


def always(job: SmallJob) -> list[str]:
    of_all = (
        _concessions,
        _gates,
        _shared_pictures,
        _failures,
        _looked_at_again,
        _instruments,
        _deliveries,
        _dates,
        _visits,
        _cleared,
        _verified,
        _papers,
    )
    return [wrong for conditions in of_all for wrong in conditions(job)]


def _shared_pictures(job: SmallJob) -> Iterator[str]:
    """A picture that was sent for two steps leaves one of them asked for."""
    sent = SitePhoto.objects.filter(step__isnull=False).values_list("sha256", "step_id").distinct()
    if len(dict(sent)) == len(sent) or not job.installation:
        return
    blockers = gate_of(job.installation, "handover")
    asked = {blocker.place for blocker in blockers if blocker.code == "photo"}
    for step in steps_not_shown(job):
        if step.code not in asked:
            yield f"step {step.code} is shown by a picture of another, and nothing is in the way"


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
    if not job.installation or not conceded(job).exists():
        return
    blockers = gate_of(job.installation, "handover")
    in_the_way = {(blocker.code, blocker.place) for blocker in blockers}
    about = {blocker.record["id"] for blocker in blockers}
    for inspection in newest_inspections(job).values():
        step = inspection.step
        for place in short_places(inspection):
            if "handover" in step.gates and (step.code, place) not in in_the_way:
                yield f"{step.code} fell short at {place}, and nothing is in the way"
    for defect in job.open_defects:
        if str(defect.pk) not in about and not is_accepted(defect):
            yield f"{defect} is open, and not in the way"


def _failures(job: SmallJob) -> Iterator[str]:
    """Each opens a defect, critical where the step is; one that was closed or accepted before says
    nothing of it, and neither does what somebody reported."""
    for inspection in newest_inspections(job).values():
        step = inspection.step
        if inspection.outcome != Inspection.Outcome.FAIL:
            continue
        severity = CRITICAL if step.critical else Defect.Severity.MAJOR
        opened = step.defects.filter(severity=severity, inspection__isnull=False)
        settled = Q(closed_at__lt=inspection.created_at)
        accepted = Q(concession__created_at__lt=inspection.created_at)
        if not opened.exclude(settled | accepted).exists():
            yield f"step {step.code} failed, and no {severity} defect is open for it"


def _looked_at_again(job: SmallJob) -> Iterator[str]:
    for defect in Defect.objects.exclude(severity=MINOR).filter(closed_at__isnull=False):
        if defect.put_right_by_id == defect.reinspected_by_id:
            yield f"one person alone closed a {defect.severity} defect"
        by_crew = defect.reinspected_by and defect.reinspected_by.has_capability("attend_visits")
        if not by_crew and not defect.photo_after_id:
            yield f"a {defect.severity} defect was closed from afar without a photo"
        before, after = defect.photo_before, defect.photo_after
        if before and after and before.sha256 == after.sha256:
            yield "a defect was closed on one picture of before and after"
    if Defect.objects.exclude(severity=MINOR).exclude(to_come_by=None).exists():
        yield "what is more than minor was left to come"


def _instruments(job: SmallJob) -> Iterator[str]:
    cannot = ("gauge", "level")
    sizes = Inspection.objects.filter(step__code__in=SIZE_STEPS, instrument__kind__in=cannot)
    if sizes.exists() or Survey.objects.filter(instrument__kind__in=cannot).exists():
        yield "a size was read with a gauge"
    expired = Q(instrument__calibration_due__lt=timezone.localdate())
    if Inspection.objects.filter(expired).exists() or JunctionGap.objects.filter(expired).exists():
        yield "an instrument was used after its calibration ran out"


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
    for document in Document.objects.filter(job=job.job, withdrawn_for_safety=True):
        critical = Defect.objects.filter(severity=CRITICAL, created_at__lte=document.withdrawn_at)
        if not critical.exclude(closed_at__lt=document.withdrawn_at).exists():
            yield f"{document} was withdrawn for safety, and nothing is to be put right"


def _papers(job: SmallJob) -> Iterator[str]:
    if job.job.documents.current().filter(kind=CERTIFICATE).count() > 1:
        yield "two certificates are current"


def can_be_left_out(job: SmallJob) -> bool:
    """Whether nothing of the fitting of the newest opening is on record."""
    newest = job.job.openings.order_by("-number").first()
    fitted = Inspection.objects.filter(step__installation__doorset__opening=newest)
    defects = Defect.objects.filter(installation__doorset__opening=newest)
    photos = SitePhoto.objects.filter(installation__doorset__opening=newest)
    begun = fitted.exists() or defects.exists() or photos.exists()
    return newest.left_out_at is None and not begun
