"""Jobs found by what is typed, whether a few have it in them or many."""

import pytest
from django.db import connection

from jobs.models import Job
from office import job_search
from office.job_search import named_like
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(params=["few", "many"])
def way(request, monkeypatch):
    """Few are picked out by their ids, of many the newest are met; either finds the same."""
    monkeypatch.setattr(job_search, "FEW", 500 if request.param == "few" else 0)


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def wanted(office):
    for _ in range(2):
        factories.job(office)
    return factories.job(
        office,
        title="Orangery 100%",
        customer=factories.customer(office, name="Oona Quill"),
        site=factories.site(office, town="Upper Sallow"),
    )


def found(text: str) -> list[Job]:
    return list(named_like(Job.objects.all(), text))


@pytest.mark.usefixtures("way")
@pytest.mark.parametrize("text", ["ORANGE", "quill", "na Qu", "sallow", "100%"])
def test_a_job_is_found_by_a_part_of_its_title_its_customers_name_or_its_town(wanted, text):
    assert found(text) == [wanted]


@pytest.mark.usefixtures("way")
def test_a_job_is_found_by_its_reference_and_by_the_digits_of_it(wanted):
    assert found(wanted.reference.lower()) == [wanted]
    assert found(wanted.reference[-4:]) == [wanted]


@pytest.mark.usefixtures("way", "wanted")
@pytest.mark.parametrize("text", ["nobody", "1%0", "Q_ill", "SW-26-9999", "Oona Sallow"])
def test_what_no_job_has_in_it_finds_none_and_no_sign_is_a_wild_card(text):
    assert found(text) == []


@pytest.mark.usefixtures("way")
def test_a_job_that_matches_twice_is_found_once_and_the_newest_come_first(office, wanted):
    newer = factories.job(office, title="Quill", customer=wanted.customer)
    assert found("quill") == [newer, wanted]


@pytest.mark.usefixtures("way")
def test_a_search_finds_nothing_that_its_asker_may_not_see(office, wanted):
    fitter = factories.person("fitter")
    own = factories.job(office, customer=wanted.customer)
    factories.visit(office, own, "fitting", fitter)
    assert list(named_like(Job.objects.visible_to(fitter), "quill")) == [own]


@pytest.mark.skipif(
    connection.vendor != "postgresql", reason="needs PostgreSQL: set DATABASE_URL to one"
)
@pytest.mark.parametrize(
    ("path", "index"),
    [
        ("reference", "jobs_job_reference_trigrams"),
        ("title", "jobs_job_title_trigrams"),
        ("customer__name", "jobs_customer_name_trigrams"),
        ("site__town", "jobs_site_town_trigrams"),
    ],
)
def test_what_a_job_is_searched_by_is_indexed_as_it_is_asked_for(path, index):
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute("SET LOCAL enable_indexscan = off")
    plan = Job.objects.filter(**{f"{path}__icontains": "quill"}).order_by().explain()
    assert index in plan
