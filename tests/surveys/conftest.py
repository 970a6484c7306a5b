"""The people and the opening that tests of surveys begin with."""

from typing import Any

import pytest
from django.utils import timezone

from jobs.models import Opening, Person, Visit
from tests import factories


@pytest.fixture
def office() -> Person:
    return factories.person("office")


@pytest.fixture
def opening(office) -> Opening:
    return factories.opening(office, factories.job(office))


@pytest.fixture
def surveyor() -> Person:
    return factories.person("surveyor")


@pytest.fixture
def fitter() -> Person:
    return factories.person("fitter")


@pytest.fixture
def survey_visit(office, opening, surveyor) -> Visit:
    return factories.visit(office, opening.job, "survey", surveyor)


@pytest.fixture
def fitting_visit(office, opening, fitter) -> Visit:
    return factories.visit(office, opening.job, "fitting", fitter)


@pytest.fixture
def survey_body(office, opening, survey_visit) -> dict[str, Any]:
    """A first survey as a surveyor sends it."""
    return {
        "opening": str(opening.pk),
        "visit": str(survey_visit.pk),
        "stage": "first",
        "taken_at": timezone.now().isoformat(),
        "instrument": str(factories.instrument(office).pk),
        "level_instrument": str(factories.instrument(office, **factories.LASER).pk),
        "readings": factories.READINGS,
        "conditions": factories.CONDITIONS,
    }
