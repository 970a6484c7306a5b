"""The frozen record of a certificate: plain JSON of everything the paper will say, and no more.

Data only; it is put into words when the paper is drawn (`job_words`, `doorset_words`).
"""

from typing import Any

from django.conf import settings
from django.utils import timezone

from installs.models import Concession, Defect, Handover
from jobs.models import Job, JournalStream
from jobs.rules import Rules
from jobs.services.seals import latest_seal_root
from reports.addresses import verification_address
from reports.models import Document
from reports.papers.doorset_record import doorset_record
from reports.papers.plain import instant, instruments_of

# What differs between two editions of a paper although nothing on record has changed.
OF_THE_EDITION = ("paper", "journal")

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
    return {
        "paper": _paper(document),
        "firm": {
            "name": settings.FIRM_NAME,
            "address": settings.FIRM_ADDRESS,
            "email": settings.FIRM_EMAIL,
            "telephone": settings.FIRM_TELEPHONE,
        },
        "job": {"reference": job.reference, "title": job.title},
        "customer": {"name": job.customer.name},
        "site": {"address": _address(job)},
        "rule_set": _rule_set(job),
        "handover": _handover(job.handover),
        "doorsets": doorsets,
        "concessions": [_concession(c) for c in _of_job(Concession, job)],
        "defects": [_defect(d) for d in _of_job(Defect, job)],
        "instruments": _instruments(doorsets),
        "journal": _journal(job),
    }


def substance(record: dict[str, Any]) -> dict[str, Any]:
    """What a record says of the job, without what belongs to the edition of the paper."""
    return {name: value for name, value in record.items() if name not in OF_THE_EDITION}


def _paper(document: Document) -> dict[str, Any]:
    return {
        "number": document.number,
        "edition": document.edition,
        "issued_at": instant(timezone.now()),
        "verification_address": verification_address(document.verification_code),
    }


def _address(job: Job) -> list[str]:
    site = job.site
    lines = (site.address_line_1, site.address_line_2, site.town, site.postcode)
    return [line for line in lines if line]


def _rule_set(job: Job) -> dict[str, Any]:
    rules: Rules = job.rule_set.rules
    return {
        "name": rules.name,
        "title": rules.title,
        "issued_on": rules.issued_on.isoformat(),
        "sha256": rules.sha256,
        "confidence": rules["decision.confidence"],
        "rules": [
            {
                "name": name,
                "value": rule.value,
                "unit": rule.unit,
                "source": rule.source,
                "standing": rule.standing,
            }
            for name, rule in rules.rules.items()
            if name.partition(".")[0] in SHOWN_RULES
        ],
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


def _of_job(model: Any, job: Job) -> Any:
    """Records of all fittings of a job, in the order in which they were made."""
    return model.objects.filter(installation__doorset__opening__job=job).order_by(
        "created_at", "id"
    )


def _concession(concession: Concession) -> dict[str, Any]:
    return {
        "opening": concession.installation.doorset.opening.number,
        "code": concession.code,
        "step": concession.step.number if concession.step else None,
        "defect": concession.defect.description if concession.defect else None,
        "reason": concession.reason,
        "accepted_by": concession.accepted_by.display_name,
        "accepted_at": instant(concession.created_at),
    }


def _defect(defect: Defect) -> dict[str, Any]:
    conceded = defect.concession_set.exists()
    return {
        "opening": defect.installation.doorset.opening.number,
        "step": defect.step.number if defect.step else None,
        "severity": defect.severity,
        "description": defect.description,
        "found_by": defect.found_by.display_name,
        "found_at": instant(defect.created_at),
        "put_right_by": defect.put_right_by.display_name if defect.put_right_by else None,
        "put_right_at": instant(defect.put_right_at),
        "put_right_how": defect.put_right_how,
        "reinspected_by": defect.reinspected_by.display_name if defect.reinspected_by else None,
        "reinspected_at": instant(defect.reinspected_at),
        "reinspection_note": defect.reinspection_note,
        "closed_at": instant(defect.closed_at),
        "conceded": conceded,
    }


def _instruments(doorsets: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Every instrument that a reading of the paper was taken with, once for each calibration."""
    used = {
        (instrument["serial"], instrument["calibration_due"]): instrument
        for doorset in doorsets
        for instrument in instruments_of(doorset)
    }
    return [used[key] for key in sorted(used)]


def _journal(job: Job) -> dict[str, Any]:
    stream = JournalStream.objects.get(name=job.journal_stream)
    return {"entries": stream.length, "head": stream.head, "seal_root": latest_seal_root()}
