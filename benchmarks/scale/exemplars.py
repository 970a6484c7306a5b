"""One firm and a job at each point of its way, made through the services."""

from dataclasses import dataclass

from installs.models import Installation
from jobs.models import Job, Person
from jobs.services.people import issue_token
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.reports.asked import asked_certificate
from tests.reports.fitted import handed_over_job

FITTERS = 200


@dataclass(frozen=True, slots=True)
class Firm:
    """`certified`, `being_fitted`, `ordered` and `taken_on` are jobs at these stages;
    `installation` is that of the second. `fitters` are those whom the copied visits go to."""

    office: Person
    fitter: Person
    fitters: list[Person]
    certified: Job
    being_fitted: Job
    ordered: Job
    taken_on: Job
    installation: Installation
    paper: Document

    def token_of(self, person: Person) -> str:
        return issue_token(person=person, role=next(iter(person.held_roles)))[0]


def found_firm() -> Firm:
    """Into an empty database with its rule sets loaded."""
    office, fitter = factories.person("office"), factories.person("fitter")
    certified = handed_over_job(office, fitter)
    paper = asked_certificate(office, certified)
    store_paper(document=paper, pdf=b"%PDF-1.7")
    being_fitted, ordered, taken_on = (factories.job(office) for _ in range(3))
    installation = factories.installation(office, fitter, being_fitted)
    factories.fitted(fitter, installation, until="glazing")
    factories.ordered_doorset(office, factories.opening(office, ordered))
    factories.opening(office, taken_on)
    fitters = [factories.person("fitter") for _ in range(FITTERS)]
    return Firm(
        office,
        fitter,
        fitters,
        certified,
        being_fitted,
        ordered,
        taken_on,
        installation,
        paper,
    )
