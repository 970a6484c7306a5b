"""The frozen record of a completion certificate."""

from typing import cast

from installs.models import Defect, Handover
from installs.notification import notify_by
from installs.services.handing_over import keys_handed_over, newest_handover
from jobs.frozen import extended
from jobs.models import Job
from reports.models import Document
from reports.papers.defect_records import concession_records, defect_record, defects_of, signed_for
from reports.papers.doorset_record import doorset_record
from reports.papers.frozen.papers import CertificateRecord, HandoverFacts, KeyFacts, ToComeFacts
from reports.papers.job_record import job_record
from reports.papers.plain import each_instrument_once, instant, instruments_of

# Sections of the rule set that decide something which the paper shows.
SHOWN_RULES = (
    "decision",
    "clearance",
    "joint",
    "delivered",
    "fixing",
    "frame",
    "running_gear",
    "glass",
    "threshold",
    "thermal",
)


def certificate_record(document: Document) -> CertificateRecord:
    """The record of a completion certificate of a job that has been handed over."""
    job = document.job
    signed = signed_for(job.handovers.all())
    doorsets = tuple(map(doorset_record, job.openings.wanted().order_by("number")))
    return extended(
        CertificateRecord,
        job_record(document, SHOWN_RULES),
        handover=_handover(job),
        doorsets=doorsets,
        concessions=concession_records(job),
        defects=tuple(defect_record(defect, signed) for defect in defects_of(job)),
        instruments=each_instrument_once(
            instrument for doorset in doorsets for instrument in instruments_of(doorset)
        ),
    )


def _handover(job: Job) -> HandoverFacts:
    """The newest, with the keys of all of them."""
    handover = cast(Handover, newest_handover(job))
    due = notify_by(job)
    numbers = {
        str(pk): number
        for pk, number in job.openings.filter(doorsets__installation__isnull=False).values_list(
            "doorsets__installation", "number"
        )
    }
    return HandoverFacts(
        made_at=instant(handover.created_at),
        customer_name=handover.customer_name,
        signature=handover.signature,
        unsigned_because=handover.unsigned_because,
        fitter=handover.fitter.display_name,
        demonstrated=handover.demonstrated,
        care_given=handover.care_given,
        keys=tuple(
            KeyFacts(numbers.get(installation), count)
            for installation, count in sorted(keys_handed_over(job).items())
        ),
        to_come=_to_come(job),
        notify_by=due.isoformat() if due else None,
    )


def _to_come(job: Job) -> tuple[ToComeFacts, ...]:
    """What the customer accepted at all handovers, and is not closed yet."""
    of_job = Defect.objects.open().filter(installation__doorset__opening__job=job)
    open_now = set(map(str, of_job.values_list("pk", flat=True)))
    handovers = job.handovers.order_by("created_at", "id")
    accepted = (entry for handover in handovers for entry in handover.to_come)
    return tuple(ToComeFacts(**entry) for entry in accepted if entry["defect"] in open_now)
