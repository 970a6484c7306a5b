"""The people of most tests of the fitting, and a 5-5-0 whose fitting is planned."""

from uuid import uuid4

import pytest

from installs.models import Installation, PlanStep
from jobs.models import Job, Person
from tests import factories
from tests.installs.queue_session import Queue


@pytest.fixture
def office() -> Person:
    return factories.person("office")


@pytest.fixture
def fitter(office: Person) -> Person:
    return factories.person("fitter")


@pytest.fixture
def job(office: Person, fitter: Person) -> Job:
    return factories.job(office)


@pytest.fixture
def installation(office: Person, fitter: Person, job: Job) -> Installation:
    return factories.installation(office, fitter, job)


@pytest.fixture
def step(installation: Installation):
    """Finds a step of the plan by its code."""

    def find(code: str) -> PlanStep:
        return installation.steps.get(code=code)

    return find


@pytest.fixture
def queue() -> Queue:
    """The queue of the fitter's phone."""
    return Queue()


@pytest.fixture
def queue_defect(installation: Installation, queue: Queue):
    """Queues a defect."""

    def add(**otherwise):
        body = {
            "installation": str(installation.pk),
            "severity": "minor",
            "description": "Scratch on a bead of leaf 3",
        }
        return queue.add("report_defect", str(uuid4()), **(body | otherwise))

    return add
