"""The frozen record of a completion certificate."""

from typing import Any

from installs.models import Handover
from reports.models import Document
from reports.papers.defect_records import concession_records, defect_record, defects_of
from reports.papers.doorset_record import doorset_record
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


def certificate_record(document: Document) -> dict[str, Any]:
    """The record of a completion certificate of a job that has been handed over."""
    job = document.job
    doorsets = [doorset_record(opening) for opening in job.openings.order_by("number")]
    return job_record(document, SHOWN_RULES) | {
        "handover": _handover(job.handover),
        "doorsets": doorsets,
        "concessions": concession_records(job),
        "defects": [defect_record(defect) for defect in defects_of(job)],
        "instruments": each_instrument_once(
            instrument for doorset in doorsets for instrument in instruments_of(doorset)
        ),
    }


def _handover(handover: Handover) -> dict[str, Any]:
    numbers = {
        str(pk): number
        for pk, number in handover.job.openings.filter(
            doorsets__installation__isnull=False
        ).values_list("doorsets__installation", "number")
    }
    return {
        "made_at": instant(handover.created_at),
        "customer_name": handover.customer_name,
        "signature": handover.signature,
        "fitter": handover.fitter.display_name,
        "demonstrated": handover.demonstrated,
        "care_given": handover.care_given,
        "keys": [
            {"opening": numbers.get(installation), "count": count}
            for installation, count in sorted(handover.keys.items())
        ],
    }
