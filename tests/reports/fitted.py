"""A job that has been fitted from survey to handover, through the services of every app."""

from typing import Any

from installs.services.handing_over import hand_over
from jobs.idempotency import IdempotencyKey
from jobs.models import Job, Person, RuleSet
from tests import factories
from tests.snapshots import built_once

KEYS = 3


@built_once
def handed_over_job(
    office: Person, fitter: Person, rule_set: RuleSet | None = None, **customer: Any
) -> Job:
    """One opening, one doorset, fitted without a fault and handed over."""
    contact = {"name": "Oona Quill", "email": "oona.quill@example.org"} | customer
    job = factories.job(
        office,
        customer=factories.customer(office, **contact),
        rule_set=rule_set or factories.rule_set(),
    )
    fit_and_hand_over(office, fitter, job)
    return job


def fit_and_hand_over(office: Person, fitter: Person, job: Job) -> None:
    """The one doorset of a job that was taken on just now."""
    doorset = factories.released_doorset(office, factories.opening(office, job, "Garden wall"))
    installation = factories.fitted(fitter, factories.planned(office, fitter, doorset))
    hand_over(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        job=job,
        customer_name=job.customer.name,
        keys={str(installation.pk): KEYS},
        demonstrated=True,
        care_given=True,
        signature=[[[0, 0], [10, 8], [20, 2]]],
    )
