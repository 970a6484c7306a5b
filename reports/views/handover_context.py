"""The context of a customer's handover page: their doorsets, and what is still to come.

Names of the firm's own people stay away from it; who to ask is the firm.
"""

from collections.abc import Collection
from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Defect, Inspection, Installation
from installs.services.handing_over import current_installations, keys_of
from jobs.arithmetic.fold import Fold
from jobs.elevations import drawn
from jobs.figures import day
from jobs.models import Job, Visit
from jobs.translation import translated
from reports.instructions_for_use import closing_steps, opening_steps, threshold_advice
from reports.models import Document
from reports.papers.defect_records import concession_record, concessions_of, signed_for
from reports.papers.labels.job import concession_labels
from surveys.models import Survey


def handover_context(job: Job) -> dict[str, Any]:
    """For a job that has been handed over; the same number of queries however many doorsets."""
    handovers = list(job.handovers.order_by("created_at", "id"))
    keys = keys_of(handovers)
    signed = signed_for(handovers)
    accepted = list(concessions_of(job))
    conceded = {concession.defect_id for concession in accepted}
    still_open = list(_open_defects(job))
    defects = [_defect(one, signed) for one in still_open if one.pk not in conceded]
    return {
        "job": job,
        "handover": handovers[-1],
        "doorsets": [
            _doorset(installation, keys)
            for installation in _installations(job)
            if str(installation.pk) in keys
        ],
        "findings": _findings(job),
        "defects": defects,
        "dangers": [_where(one) for one in still_open if one.severity == Defect.Severity.CRITICAL],
        "accepted": concession_labels(map(concession_record, accepted)),
        "awaited": bool(defects),
        "visits": _visits_to_come(job),
        "tape": _tape_until(job),
        "certificate": certificate_of(job),
    }


def certificate_of(job: Job) -> Document | None:
    """The valid certificate, once it is made."""
    kind = Document.Kind.COMPLETION_CERTIFICATE
    return job.documents.kept().current().filter(kind=kind).first()


def _installations(job: Job) -> QuerySet[Installation]:
    joined = current_installations(job).select_related("doorset__profile_system")
    return joined.order_by("doorset__opening__number")


def _doorset(installation: Installation, keys: dict[str, int]) -> dict[str, Any]:
    doorset = installation.doorset
    fold = Fold(doorset.leaves, doorset.left_leaves, doorset.right_leaves)
    return {
        "opening": doorset.opening,
        "svg": drawn(doorset),
        "order": doorset,
        "to_open": opening_steps(fold, doorset.opens),
        "to_close": closing_steps(fold),
        "threshold": threshold_advice(doorset.upstand),
        "keys": keys.get(str(installation.pk), 0),
    }


def _findings(job: Job) -> list[dict[str, str]]:
    """The findings of each opening's last survey that people should know of, such as a drop."""
    surveys = Survey.objects.filter(opening__job=job).exclude(stage=Survey.Stage.FIRST)
    in_order = surveys.select_related("opening").order_by(
        "opening__number", "taken_at", "created_at"
    )
    newest = {survey.opening_id: survey for survey in in_order}
    return [
        {
            "where": _("Opening {number}").format(number=survey.opening.number),
            "what": translated(finding.what),
            "caution": translated(finding.caution),
            "source": finding.source,
        }
        for survey in newest.values()
        for finding in survey.assessment.findings
    ]


def _open_defects(job: Job) -> QuerySet[Defect]:
    of_job = Defect.objects.filter(installation__doorset__opening__job=job).open()
    joined = of_job.select_related("installation__doorset__opening")
    return joined.order_by("created_at", "id")


def _defect(defect: Defect, signed: Collection[str]) -> dict[str, Any]:
    """`since`: it was found after the handover; `promise` is what was signed for at it."""
    accepted = str(defect.pk) in signed
    return {
        "where": _where(defect),
        "what": defect.description,
        "state": _still_to_do(defect, accepted=accepted),
        "sign": "fail" if defect.severity == Defect.Severity.CRITICAL else "waiting",
        "since": defect.found_after_id is not None,
        "promise": defect.to_come_promise if accepted else "",
    }


def _where(defect: Defect) -> str:
    opening = _("Opening {number}").format(number=defect.installation.doorset.opening.number)
    return f"{opening}, {defect.place_label}" if defect.place else opening


def _still_to_do(defect: Defect, *, accepted: bool) -> str:
    if defect.put_right_at:
        return _("put right, to be inspected again")
    if accepted and defect.to_come_by:
        return _("to be put right by {day}").format(day=day(defect.to_come_by))
    return _("to be put right")


def _visits_to_come(job: Job) -> QuerySet[Visit]:
    coming = job.visits.not_cancelled().filter(kind=Visit.Kind.RETURN, end__gte=timezone.now())
    return coming.order_by("start")


def _tape_until(job: Job) -> list[date]:
    """Days on which somebody comes for the protective tape that was left inside."""
    of_job = Inspection.objects.filter(step__installation__in=current_installations(job))
    to_return = of_job.left_for_return()
    return sorted({inspection.return_on for inspection in to_return if inspection.return_on})
