"""What the frozen records of all papers begin with: the paper, its firm and its job.

A record holds everything that its paper will say, and no more. Data only; its labels are made when
the paper is drawn (`reports.papers.labels`).
"""

from collections.abc import Collection
from dataclasses import fields
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.utils import timezone
from msgspec import UNSET, convert

from jobs.models import Job, JournalStream
from jobs.rules import BorrowedRule, BorrowedRules, Rule, Rules
from jobs.seal_log import latest_seal
from reports.addresses import verification_address
from reports.models import Document
from reports.papers.frozen.job import (
    CustomerFacts,
    EditionFacts,
    FirmFacts,
    JobFacts,
    JournalFacts,
    PaperRecord,
    RuleFacts,
    RuleSetFacts,
    SiteFacts,
)
from reports.papers.plain import instant
from reports.signing_key import signing_certificates

# What differs between two editions of a paper although nothing on record has changed.
OF_THE_EDITION = ("paper", "journal")


def job_record(document: Document, shown_rules: Collection[str] = ()) -> PaperRecord:
    """The paper, the firm, the job with customer and site, the rule set and the journal.

    `shown_rules` are the sections of the rule set whose limits the paper lists.
    """
    job = document.job
    return PaperRecord(
        paper=_edition(document),
        firm=FirmFacts(
            name=settings.FIRM_NAME,
            address=settings.FIRM_ADDRESS,
            email=settings.FIRM_EMAIL,
            telephone=settings.FIRM_TELEPHONE,
        ),
        job=JobFacts(job.reference, job.title),
        customer=CustomerFacts(job.customer.name),
        site=SiteFacts(_address(job)),
        rule_set=_rule_set(job.rule_set.rules, shown_rules),
        journal=_journal(job),
    )


def substance(record: PaperRecord) -> dict[str, Any]:
    """What a record says of the job, without what belongs to the edition of the paper."""
    names = {field.name for field in fields(record)}.difference(OF_THE_EDITION)
    return {name: getattr(record, name) for name in names}


def _edition(document: Document) -> EditionFacts:
    return EditionFacts(
        number=document.number,
        edition=document.edition,
        issued_at=instant(timezone.now()),
        verification_address=verification_address(document.verification_code),
    )


def _address(job: Job) -> tuple[str, ...]:
    site = job.site
    lines = (site.address_line_1, site.address_line_2, site.town, site.postcode)
    return tuple(line for line in lines if line)


def _rule_set(rules: Rules, groups: Collection[str]) -> RuleSetFacts:
    return RuleSetFacts(
        name=rules.name,
        title=rules.title,
        issued_on=rules.issued_on.isoformat(),
        sha256=rules.sha256,
        confidence=rules["decision.confidence"],
        rules=tuple(
            _rule(name, rule, borrowed=name not in rules.rules)
            for name, rule in rules.complete().items()
            if name.partition(".")[0] in groups
        ),
        rules_from_newer_sets=_borrowed(rules),
    )


def _borrowed(rules: Rules) -> BorrowedRules:
    borrowed = rules.from_newer_sets().get("rules_from_newer_sets")
    return convert(borrowed, tuple[BorrowedRule, ...]) if borrowed else UNSET


def _rule(name: str, rule: Rule, *, borrowed: bool) -> RuleFacts:
    return RuleFacts(
        name=name,
        value=rule.value,
        unit=rule.unit,
        source=rule.source,
        standing=rule.provenance,
        decided_by=rule.decided_by if borrowed else UNSET,
    )


def _journal(job: Job) -> JournalFacts:
    stream = JournalStream.objects.get(name=job.journal_stream)
    seal = latest_seal()
    return JournalFacts(
        stream.length,
        stream.head,
        seal.root if seal else None,
        checkpoint=(seal and seal.checkpoint) or UNSET,
        checkpoint_key=(seal and seal.key) or UNSET,
        signing_certificates=signing_certificates(),
        time_authority=urlsplit(settings.TIMESTAMP_URL).hostname or UNSET,
    )
