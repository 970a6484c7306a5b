"""What the frozen records of all papers begin with: plain JSON of the paper, its firm and its job.

A record holds everything that its paper will say, and no more. Data only; it is put into words when
the paper is drawn (`job_words`, `doorset_words`, `plan_words`).
"""

from collections.abc import Collection
from typing import Any

from django.conf import settings
from django.utils import timezone

from jobs.models import Job, JournalStream
from jobs.rules import Rule, Rules
from jobs.services.seals import latest_seal_root
from reports.addresses import verification_address
from reports.models import Document
from reports.papers.plain import instant

# What differs between two editions of a paper although nothing on record has changed.
OF_THE_EDITION = ("paper", "journal")


def job_record(document: Document, shown_rules: Collection[str] = ()) -> dict[str, Any]:
    """The paper, the firm, the job with customer and site, the rule set and the journal.

    `shown_rules` are the sections of the rule set whose limits the paper lists.
    """
    job = document.job
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
        "rule_set": _rule_set(job.rule_set.rules, shown_rules),
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


def _rule_set(rules: Rules, shown: Collection[str]) -> dict[str, Any]:
    decided_by = rules.complete()
    return {
        "name": rules.name,
        "title": rules.title,
        "issued_on": rules.issued_on.isoformat(),
        "sha256": rules.sha256,
        "confidence": rules["decision.confidence"],
        "rules": [
            _rule(name, rule) | ({} if name in rules.rules else {"decided_by": rule.decided_by})
            for name, rule in decided_by.items()
            if name.partition(".")[0] in shown
        ],
        **rules.from_newer_sets(),
    }


def _rule(name: str, rule: Rule) -> dict[str, Any]:
    return {
        "name": name,
        "value": rule.value,
        "unit": rule.unit,
        "source": rule.source,
        "standing": rule.provenance,
    }


def _journal(job: Job) -> dict[str, Any]:
    stream = JournalStream.objects.get(name=job.journal_stream)
    return {"entries": stream.length, "head": stream.head, "seal_root": latest_seal_root()}
