"""Problem documents name their type (RFC 9457 3.1.1, 4.2.1): what refuses which request, and where
each type is explained."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client
from rest_framework.test import APIClient

from jobs.api.problem_types import ProblemType
from jobs.api.throttles import ScopedThrottle
from jobs.errors import ContradictsJournal, StorageFull
from jobs.services import jobs as services
from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db

CUSTOMERS = "/api/v1/customers/"
CUSTOMER = {"name": "Customer Example", "email": "customer@example.com"}


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def client(office) -> APIClient:
    client = signed_in(office)
    client.raise_request_exception = False
    return client


class Refused:
    """Requests that are refused, one for each type of problem."""

    def __init__(self, client: APIClient, office, monkeypatch, settings) -> None:
        self.client, self.office = client, office
        self.monkeypatch, self.settings = monkeypatch, settings

    def unreadable_request(self) -> Any:
        return self.client.post(CUSTOMERS, "not json", content_type="application/json")

    def invalid_field(self) -> Any:
        return self.client.post(CUSTOMERS, {})

    def not_signed_in(self) -> Any:
        return APIClient().get(CUSTOMERS)

    def not_allowed(self) -> Any:
        return signed_in(factories.person("fitter")).post(CUSTOMERS, CUSTOMER)

    def second_factor_required(self) -> Any:
        self.settings.OFFICE_NEEDS_SECOND_FACTOR = True
        browser = Client()
        browser.force_login(self.office)
        return browser.get(CUSTOMERS)

    def not_found(self) -> Any:
        return self.client.get("/api/v1/nothing/")

    def method_not_allowed(self) -> Any:
        return self.client.put(CUSTOMERS, CUSTOMER)

    def not_acceptable(self) -> Any:
        return self.client.get(CUSTOMERS, headers={"Accept": "image/png"})

    def conflict(self) -> Any:
        customer = factories.customer(self.office)
        return self.client.post(CUSTOMERS, {"id": str(customer.pk), **CUSTOMER})

    def contradicts_journal(self) -> Any:
        return self._while_adding_fails(ContradictsJournal(["jobs.customer"]))

    def gate_closed(self) -> Any:
        doorset = factories.doorset(
            self.office, factories.opening(self.office, factories.job(self.office))
        )
        version = {"If-Match": '"1"'}
        return self.client.post(f"/api/v1/doorsets/{doorset.pk}/order/", headers=version)

    def version_conflict(self) -> Any:
        return self._changed({"If-Match": '"7"'})

    def body_too_large(self) -> Any:
        self.settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 10
        return self.client.post(CUSTOMERS, CUSTOMER)

    def unsupported_media_type(self) -> Any:
        return self.client.post(CUSTOMERS, "<a/>", content_type="application/xml")

    def version_required(self) -> Any:
        return self._changed({})

    def too_many_requests(self) -> Any:
        self.monkeypatch.setattr(ScopedThrottle, "THROTTLE_RATES", {"sign_in": "0/min"})
        return APIClient().post("/api/v1/tokens/", {})

    def internal_error(self) -> Any:
        return self._while_adding_fails(RuntimeError())

    def unavailable(self) -> Any:
        return self._while_adding_fails(OperationalError())

    def storage_full(self) -> Any:
        return self._while_adding_fails(StorageFull())

    def _changed(self, headers: dict[str, str]) -> Any:
        customer = factories.customer(self.office)
        return self.client.patch(f"{CUSTOMERS}{customer.pk}/", {"name": "Other"}, headers=headers)

    def _while_adding_fails(self, error: Exception) -> Any:
        def fail(**_):
            raise error

        self.monkeypatch.setattr(services, "add_customer", fail)
        return self.client.post(CUSTOMERS, CUSTOMER)


@pytest.mark.parametrize("problem_type", ProblemType, ids=lambda each: each.slug)
def test_every_type_is_answered_where_it_is_meant(
    problem_type, client, office, monkeypatch, settings
):
    refused = Refused(client, office, monkeypatch, settings)
    request: Callable[[], Any] = getattr(refused, problem_type.name.lower())
    answer = request()
    assert answer["Content-Type"] == "application/problem+json"
    problem = answer.json()
    assert (problem["type"], problem["title"], problem["status"], answer.status_code) == (
        problem_type.address,
        problem_type.title,
        problem_type.status,
        problem_type.status,
    )
    assert problem["detail"]


@pytest.mark.parametrize("problem_type", ProblemType, ids=lambda each: each.slug)
def test_the_address_of_a_type_leads_to_what_it_means(problem_type):
    """Without signing in; a browser goes to the element of that id (HTML, 7.4.6.3)."""
    page = Client().get(problem_type.address)
    assert page.status_code == 200
    section = page.content.decode().partition(f'<section id="{problem_type.slug}">')[2]
    assert str(problem_type.title) in section.partition("</section>")[0]


def test_the_description_of_the_api_lists_every_type(client):
    schema = client.get("/api/v1/schema/", headers={"Accept": "application/json"}).json()
    listed = schema["components"]["schemas"]["Problem"]["properties"]["type"]["enum"]
    assert listed == [each.address for each in ProblemType]
