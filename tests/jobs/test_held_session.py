"""What a page kept for one person is never sent in the session of another."""

import pytest
from rest_framework.test import APIClient

from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def browser(fitter):
    client = APIClient()
    client.force_login(fitter)
    return client


def test_a_session_serves_what_is_meant_for_its_person(browser, fitter):
    answer = browser.get("/api/v1/installations/", HTTP_SILLWRIGHT_PERSON=str(fitter.pk))
    assert answer.status_code == 200


def test_a_session_refuses_what_is_meant_for_somebody_else(browser):
    other = factories.person("fitter")
    answer = browser.get("/api/v1/installations/", HTTP_SILLWRIGHT_PERSON=str(other.pk))
    assert answer.status_code == 401
    assert "somebody else" in answer.json()["detail"]


def test_a_session_alone_serves_its_own_person(browser):
    assert browser.get("/api/v1/installations/").status_code == 200
