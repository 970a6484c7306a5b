"""A firm with many jobs, for benchmarks: most of them bare rows, one job fitted and handed over.

The bare rows are written past the services and the journal: they only have to be there.
"""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils import timezone

from installs.models import Installation
from jobs.models import Customer, Job, Opening, Person, RuleSet, Site, Visit
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.reports.asked import asked_certificate
from tests.reports.fitted import handed_over_job

AT_ONCE = 2_000
CREWS = 6
VISITS_A_DAY = 12


@dataclass(frozen=True, slots=True)
class CrowdedFirm:
    """`job` is handed over, all but a second opening with a draft; `installation` is its only
    one."""

    office: Person
    fitter: Person
    job: Job
    installation: Installation
    paper: Document


def crowded_firm(jobs: int) -> CrowdedFirm:
    """Into an empty database with its rule sets loaded."""
    office, fitter = factories.person("office"), factories.person("fitter")
    job = handed_over_job(office, fitter)
    rows = [_rows(number, job.rule_set) for number in range(jobs)]
    for model in (Customer, Site, Job, Opening):
        model._default_manager.bulk_create([row[model] for row in rows], batch_size=AT_ONCE)
    _book(office, [row[Job] for row in rows])
    installation = Installation.objects.get(doorset__opening__job=job)
    factories.doorset(office, factories.opening(office, job, "Side return"))
    paper = asked_certificate(office, job)
    store_paper(document=paper, pdf=b"%PDF-1.7")
    return CrowdedFirm(office, fitter, job, installation, paper)


def _rows(number: int, rule_set: RuleSet) -> dict[Any, Any]:
    customer = Customer(name=f"Customer {number}", email=f"customer-{number}@example.org")
    site = Site(address_line_1=f"{number} Heron Rise", town="Sampleton", postcode="ZZ2 7QQ")
    job = Job(
        customer=customer,
        site=site,
        title="Folding doors to the garden",
        rule_set=rule_set,
        reference=f"SW-25-{number + 1:04d}",
    )
    return {
        Customer: customer,
        Site: site,
        Job: job,
        Opening: Opening(job=job, number=1, name="Garden wall"),
    }


def _book(office: Person, jobs: list[Job]) -> None:
    """Survey visits, a dozen a day, each crew's one after the other."""
    crews = [factories.crew(office, factories.person("surveyor")) for _ in range(CREWS)]
    today = timezone.localtime().replace(hour=8, minute=0, second=0, microsecond=0)
    visits = []
    for number, job in enumerate(jobs):
        day, place = divmod(number, VISITS_A_DAY)
        start = today + timedelta(days=day, hours=place // CREWS * 4)
        crew = crews[place % CREWS]
        end = start + timedelta(hours=3)
        visits.append(Visit(job=job, kind="survey", crew=crew, start=start, end=end))
    Visit.objects.bulk_create(visits, batch_size=AT_ONCE)
