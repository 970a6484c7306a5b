"""Taking on a job: customer, site, job, openings."""

from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Customer, Job, Opening, Person, RuleSet, Site, YearCounter
from jobs.services.records import store_change, store_new


@transaction.atomic
def add_customer(
    *, actor: Person, idempotency_key: IdempotencyKey, name: str, email: str, telephone: str = ""
) -> Customer:
    record = Customer(**idempotency_key.columns, name=name, email=email, telephone=telephone)
    return store_new(record, actor=actor, entry_type=JournalType.CUSTOMER_ADDED)


@transaction.atomic
def change_customer(
    *, actor: Person, customer: Customer, expected_version: int, **changes: Any
) -> Customer:
    _refuse_erased(customer)
    return store_change(
        customer,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.CUSTOMER_CHANGED,
    )


@transaction.atomic
def add_site(*, actor: Person, idempotency_key: IdempotencyKey, **address: str) -> Site:
    return store_new(
        Site(**idempotency_key.columns, **address), actor=actor, entry_type=JournalType.SITE_ADDED
    )


@transaction.atomic
def change_site(*, actor: Person, site: Site, expected_version: int, **changes: str) -> Site:
    return store_change(
        site,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.SITE_CHANGED,
    )


@transaction.atomic
def take_on_job(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    customer: Customer,
    site: Site,
    title: str,
    rule_set: RuleSet | None = None,
) -> Job:
    """Open a job under a rule set, by default the newest, and give it its reference.

    Raises `InvalidField` when no rule set has been loaded, `Conflict` for an erased customer.
    """
    _refuse_erased(customer)
    chosen = rule_set or RuleSet.objects.newest_first().first()
    if chosen is None:
        raise InvalidField("/rule_set", _("no rule set is loaded; run manage.py load_rule_sets"))
    job = Job(
        **idempotency_key.columns,
        reference=_next_reference(timezone.localdate().year),
        customer=customer,
        site=site,
        title=title,
        rule_set=chosen,
    )
    return store_new(job, actor=actor, entry_type=JournalType.JOB_TAKEN_ON)


@transaction.atomic
def change_job(*, actor: Person, job: Job, expected_version: int, **changes: Any) -> Job:
    return store_change(
        job,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.JOB_CHANGED,
    )


@transaction.atomic
def add_opening(
    *, actor: Person, idempotency_key: IdempotencyKey, job: Job, name: str, **case: Any
) -> Opening:
    """Add the next opening of a job; openings are numbered from 1.

    `case` may have nation, work and existing_upstand.
    """
    Job.objects.select_for_update(no_key=True).get(pk=job.pk)
    number = job.openings.count() + 1
    record = Opening(**idempotency_key.columns, job=job, number=number, name=name, **case)
    return store_new(record, actor=actor, entry_type=JournalType.OPENING_ADDED)


@transaction.atomic
def change_opening(
    *, actor: Person, opening: Opening, expected_version: int, **changes: Any
) -> Opening:
    return store_change(
        opening,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.OPENING_CHANGED,
    )


def _refuse_erased(customer: Customer) -> None:
    if customer.erased_at:
        text = _("this customer was erased; add them again if they come back")
        raise Conflict(text, named(customer))


def _next_reference(year: int) -> str:
    """`SW-26-0007`: the year and a number that grows through it, under the year's row lock."""
    YearCounter.objects.get_or_create(year=year)
    counter = YearCounter.objects.select_for_update().get(year=year)
    counter.last_number += 1
    counter.save(update_fields=["last_number"])
    return f"SW-{year % 100:02d}-{counter.last_number:04d}"
