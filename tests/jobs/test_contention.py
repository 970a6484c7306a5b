"""Several at once, each with a connection of its own; SQLite lets in one writer at a time."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from functools import partial
from typing import Any

import pytest
from django.db import connection
from django.utils import timezone

from jobs.errors import Conflict, DomainError, VersionConflict
from jobs.idempotency import IdempotencyKey
from jobs.models import Customer, Doorset, Job, Person, Visit
from jobs.services import diary, doorsets, jobs
from jobs.services.journal_check import find_flaws
from tests import factories

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor == "sqlite", reason="needs PostgreSQL: set DATABASE_URL to one"
    ),
]
AT_ONCE = 8


def all_at_once(act: Callable[[int], Any], at_once: int = AT_ONCE) -> list[Any]:
    """What each of several threads got, or the refusal it met."""

    def one(number: int) -> Any:
        try:
            return act(number)
        except DomainError as refusal:
            return refusal
        finally:
            connection.close()

    with ThreadPoolExecutor(at_once) as pool:
        return list(pool.map(one, range(at_once)))


@pytest.fixture
def office():
    return factories.person("office")


def test_jobs_taken_on_at_once_get_references_of_their_own(office):
    customer, site = factories.customer(office), factories.site(office)
    rules = factories.rule_set()
    all_at_once(
        lambda _: jobs.take_on_job(
            actor=office,
            idempotency_key=IdempotencyKey(),
            customer=customer,
            site=site,
            title="Garden doors",
            rule_set=rules,
        )
    )
    assert len(set(Job.objects.values_list("reference", flat=True))) == AT_ONCE
    assert list(find_flaws()) == []


def test_a_crew_asked_for_by_many_at_once_is_booked_by_one(office):
    crew = factories.crew(office, factories.person("fitter"))
    wanted = [factories.job(office) for _ in range(AT_ONCE)]
    start = timezone.now() + timedelta(days=1)
    answers = all_at_once(
        lambda number: diary.book_visit(
            actor=office,
            idempotency_key=IdempotencyKey(),
            job=wanted[number],
            kind="fitting",
            crew=crew,
            start=start,
            end=start + timedelta(hours=4),
        )
    )
    assert sum(isinstance(answer, Visit) for answer in answers) == 1
    assert sum(isinstance(answer, Conflict) for answer in answers) == AT_ONCE - 1


def test_openings_added_at_once_are_numbered_without_a_gap_and_the_chain_holds(office):
    job = factories.job(office)
    all_at_once(
        lambda number: jobs.add_opening(
            actor=office, idempotency_key=IdempotencyKey(), job=job, name=f"Opening {number}"
        )
    )
    numbers = job.openings.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, AT_ONCE + 1))
    assert list(find_flaws()) == []


def test_a_record_changed_by_many_from_one_version_is_changed_once(office):
    customer = factories.customer(office)

    def change(number: int) -> bool:
        try:
            jobs.change_customer(
                actor=office,
                customer=Customer.objects.get(pk=customer.pk),
                expected_version=1,
                name=f"Name {number}",
            )
        except VersionConflict:
            return False
        return True

    assert sum(all_at_once(change)) == 1
    assert Customer.objects.get().version == 2


def receive_or_revise(office: Person, ordered: Doorset, number: int) -> Any:
    doorset = Doorset.objects.get(pk=ordered.pk)
    if number % 2:
        return factories.delivery(office, doorset)
    return doorsets.draft_doorset(
        actor=office,
        idempotency_key=IdempotencyKey(),
        opening=doorset.opening,
        **factories.doorset_order(profile_system=doorset.profile_system),
    )


@pytest.mark.parametrize("rounds", range(3))
def test_what_was_accepted_is_never_revised_and_what_was_revised_is_never_accepted(office, rounds):
    ordered = factories.ordered_doorset(office, factories.opening(office, factories.job(office)))
    all_at_once(partial(receive_or_revise, office, ordered), at_once=16)
    ordered.refresh_from_db()
    assert bool(ordered.superseded_at) != ordered.deliveries.filter(accepted=True).exists()
    assert list(find_flaws()) == []
