from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest

from jobs.journal_types import JournalType
from jobs.models import Customer, Job, JournalEntry, Person
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def client(office):
    return signed_in(office)


CUSTOMER = {"name": "Customer Example", "email": "customer@example.com"}


def test_a_job_gets_the_next_reference_of_its_year(office, time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z")
    assert factories.job(office).reference == "SW-26-0001"
    assert factories.job(office).reference == "SW-26-0002"
    time_machine.move_to("2027-01-04T09:00:00Z")
    assert factories.job(office).reference == "SW-27-0001"


def test_a_job_is_taken_on_through_the_api_under_the_newest_rule_set(client, office):
    factories.rule_set()
    body = {
        "customer": str(factories.customer(office).pk),
        "site": str(factories.site(office).pk),
        "title": "Garden doors",
    }
    answer = client.post("/api/v1/jobs/", body)
    assert answer.status_code == 201, answer.content
    job = Job.objects.get(reference=answer.json()["reference"])
    assert job.rule_set.name == factories.NEWEST_RULE_SET
    assert answer["ETag"] == '"1"'


def test_a_repeated_creation_stores_nothing_twice(client):
    body = {"id": str(uuid4()), **CUSTOMER}
    first, second = (client.post("/api/v1/customers/", body) for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert Customer.objects.count() == 1
    assert JournalEntry.objects.filter(type=JournalType.CUSTOMER_ADDED).count() == 1


def test_an_identity_used_with_another_body_is_a_conflict(client):
    identifier = str(uuid4())
    client.post("/api/v1/customers/", {"id": identifier, **CUSTOMER})
    answer = client.post(
        "/api/v1/customers/", {"id": identifier, **CUSTOMER, "name": "Somebody Else"}
    )
    assert answer.status_code == 409
    assert Customer.objects.get().name == CUSTOMER["name"]


def test_a_name_that_must_be_unique_is_named_when_it_is_taken(client, office):
    crew = factories.crew(office, factories.person("fitter"))
    members = [str(member.pk) for member in crew.members.all()]
    answer = client.post("/api/v1/crews/", {"name": crew.name, "members": members})
    assert pointers(answer) == ["/name"]


def test_a_change_without_if_match_is_asked_for_it(client, office):
    customer = factories.customer(office)
    answer = client.patch(f"/api/v1/customers/{customer.pk}/", {"name": "New Name"})
    assert answer.status_code == 428
    assert answer["Content-Type"] == "application/problem+json"


def test_a_change_from_a_stale_version_is_refused_and_says_the_current_one(client, office):
    customer = factories.customer(office)
    path = f"/api/v1/customers/{customer.pk}/"
    assert client.patch(path, {"name": "First"}, headers={"If-Match": '"1"'}).status_code == 200
    answer = client.patch(path, {"name": "Second"}, headers={"If-Match": '"1"'})
    assert answer.status_code == 412
    assert answer.json()["current_version"] == 2
    assert Customer.objects.get().name == "First"


def test_an_unknown_field_is_named_and_nothing_is_stored(client):
    answer = client.post("/api/v1/customers/", {**CUSTOMER, "nickname": "x"})
    assert pointers(answer) == ["/nickname"]
    assert not Customer.objects.exists()


def test_a_telephone_number_is_kept_in_international_form(client):
    answer = client.post("/api/v1/customers/", {**CUSTOMER, "telephone": "01632 960001"})
    assert answer.json()["telephone"] == "+441632960001"


def test_a_telephone_number_that_is_none_is_named(client):
    answer = client.post("/api/v1/customers/", {**CUSTOMER, "telephone": "ring me"})
    assert pointers(answer) == ["/telephone"]


def test_openings_are_numbered_within_their_job(client, office):
    job = factories.job(office)
    body = {"job": str(job.pk), "name": "Rear wall"}
    numbers = [client.post("/api/v1/openings/", body).json()["number"] for _ in range(2)]
    assert numbers == [1, 2]


def test_nobody_reads_without_signing_in(client):
    client.credentials()
    answer = client.get("/api/v1/jobs/")
    assert answer.status_code == 401
    assert answer["Content-Type"] == "application/problem+json"


def test_a_surveyor_sees_the_jobs_of_own_survey_visits_and_no_other(office):
    surveyor = factories.person("surveyor")
    own, foreign = factories.job(office), factories.job(office)
    factories.visit(office, own, "survey", surveyor)
    client = signed_in(surveyor)
    seen = client.get("/api/v1/jobs/").json()["results"]
    assert [job["reference"] for job in seen] == [own.reference]
    assert client.get(f"/api/v1/jobs/{foreign.reference}/").status_code == 404
    assert client.get(f"/api/v1/customers/{foreign.customer_id}/").status_code == 404
    assert client.get(f"/api/v1/customers/{own.customer_id}/").status_code == 200


def test_a_fitter_may_not_take_on_jobs(office):
    answer = signed_in(factories.person("fitter")).post("/api/v1/jobs/", {})
    assert answer.status_code == 403


def test_a_token_of_one_role_does_not_lend_the_other(office):
    both = factories.person("office", "fitter")
    factories.job(office)
    assert signed_in(both, "fitter").get("/api/v1/jobs/").json()["results"] == []
    assert len(signed_in(both, "office").get("/api/v1/jobs/").json()["results"]) == 1


def test_a_page_of_jobs_costs_the_same_queries_however_many_there_are(
    office, client, django_assert_max_num_queries
):
    for _ in range(8):
        factories.job(office)
    with django_assert_max_num_queries(6):
        assert len(client.get("/api/v1/jobs/").json()["results"]) == 8


def test_updated_since_leaves_what_changed_later(office, client, time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z")
    factories.job(office)
    time_machine.move_to("2026-03-03T09:00:00Z")
    late = factories.job(office)
    client = signed_in(office)
    seen = client.get("/api/v1/jobs/?updated_since=2026-03-02T12:00:00Z").json()["results"]
    assert [job["reference"] for job in seen] == [late.reference]
    assert pointers(client.get("/api/v1/jobs/?updated_since=yesterday")) == ["/updated_since"]


def test_an_address_that_no_route_knows_is_a_problem_document(client):
    answer = client.get("/api/v1/nothing-here/")
    assert (answer.status_code, answer["Content-Type"]) == (
        404,
        "application/problem+json",
    )


MAKERS: dict[str, Callable[[Person], Any]] = {
    "customers": factories.customer,
    "sites": factories.site,
    "crews": lambda actor: factories.crew(actor, factories.person("fitter")),
}


@pytest.mark.parametrize("kind", MAKERS)
def test_the_identity_of_a_record_is_not_changed(client, office, kind):
    record = MAKERS[kind](office)
    answer = client.patch(
        f"/api/v1/{kind}/{record.pk}/", {"id": str(uuid4())}, headers={"If-Match": '"1"'}
    )
    assert pointers(answer) == ["/id"]


def test_a_change_that_changes_nothing_is_asked_what_it_means(client, office):
    customer = factories.customer(office)
    answer = client.patch(f"/api/v1/customers/{customer.pk}/", {}, headers={"If-Match": '"1"'})
    assert answer.status_code == 400
    assert Customer.objects.get().version == 1


@pytest.mark.parametrize("cursor", ["zzz", "cD1hYmM%3D", "cD0yMDI2LTEzLTQ1", "cD0lRkY%3D"])
def test_a_cursor_that_is_none_is_named(client, cursor):
    assert pointers(client.get(f"/api/v1/jobs/?cursor={cursor}")) == ["/cursor"]


@pytest.mark.parametrize("moment", ["9999-12-31T23:59:59-23:59", "0001-01-01T00:00:00%2B14:00"])
def test_a_moment_beyond_the_calendar_is_named(client, moment):
    answer = client.get(f"/api/v1/jobs/?updated_since={moment}")
    assert pointers(answer) == ["/updated_since"]


@pytest.mark.parametrize(
    "body",
    [
        '{"name": "\\ud800", "email": "a@example.com"}',
        '{"\\ud800": 1}',
        "[" * 100_000,
        '{"name": 1000000000000000000000000000000, "email": "a@example.com"}',
        '{"name": -1e400, "email": "a@example.com"}',
        "not json",
        "[]",
    ],
)
def test_a_body_that_cannot_be_kept_exactly_is_refused_and_nothing_stored(client, body):
    answer = client.post("/api/v1/customers/", body, content_type="application/json")
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"
    assert not Customer.objects.exists()


def test_a_body_that_is_too_large_is_answered_as_a_problem(client):
    body = {**CUSTOMER, "name": "x" * (6 * 1024 * 1024)}
    answer = client.post("/api/v1/customers/", body)
    assert (answer.status_code, answer["Content-Type"]) == (413, "application/problem+json")


def test_a_complaint_does_not_echo_a_megabyte(client):
    answer = client.post("/api/v1/customers/", {**CUSTOMER, "x" * 100_000: 1})
    assert answer.status_code == 400
    assert len(answer.json()["detail"]) < 2000


def test_a_token_of_strange_bytes_is_none(client):
    client.credentials(HTTP_AUTHORIZATION="Token \xff\xfe")
    assert client.get("/api/v1/jobs/").status_code == 401


def test_a_fitter_does_not_see_the_crews_of_others(office):
    fitter = factories.person("fitter")
    own = factories.crew(office, fitter)
    factories.crew(office, factories.person("fitter"))
    seen = signed_in(fitter).get("/api/v1/crews/").json()["results"]
    assert [crew["id"] for crew in seen] == [str(own.pk)]
