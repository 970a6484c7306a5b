"""The office's pages of customers, sites, jobs and openings, without a browser."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Customer, Job, Opening, Site
from tests import factories
from tests.jobs.office_forms import error_beside, html_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


CUSTOMER = {"name": "Oona Quill", "email": "oona@example.com", "telephone": "01632 960123"}
SITE = {"address_line_1": "4 Sample Row", "town": "Sampleton", "postcode": "ZZ2 2ZZ"}


def test_a_customer_is_added_and_the_telephone_kept_in_international_form(browser):
    browser.post(reverse("add-customer"), CUSTOMER | {"id": str(uuid4())})
    customer = Customer.objects.get()
    assert (customer.name, customer.telephone) == ("Oona Quill", "+441632960123")


def test_pressing_twice_adds_one_customer(browser):
    sent = CUSTOMER | {"id": str(uuid4())}
    first, second = (browser.post(reverse("add-customer"), sent) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Customer.objects.count() == 1


def test_what_cannot_be_read_is_told_beside_its_field_and_all_that_was_typed_stays(browser):
    sent = CUSTOMER | {"id": str(uuid4()), "telephone": "ask Oona", "email": "oona"}
    page = html_of(browser.post(reverse("add-customer"), sent), 400)
    assert error_beside(page, "telephone") == "ask Oona is not a telephone number"
    assert "valid email" in error_beside(page, "email")
    assert 'value="Oona Quill"' in page
    assert not Customer.objects.exists()


def test_a_change_from_an_old_version_is_refused_and_what_was_typed_stays(browser, office):
    customer = factories.customer(office)
    address = reverse("change-customer", args=[customer.pk])
    sent = CUSTOMER | {"id": str(uuid4()), "version": 1}
    assert browser.post(address, sent).status_code == 302
    page = html_of(browser.post(address, sent | {"name": "Somebody Else"}), 400)
    assert "has changed this" in page
    assert 'value="Somebody Else"' in page
    customer.refresh_from_db()
    assert customer.name == "Oona Quill"


def test_a_customer_is_found_by_the_town_of_a_site(browser, office):
    theirs = factories.site(office, town="Quarryford")
    wanted = factories.customer(office, name="Wanted Example")
    factories.customer(office, name="Other Example")
    for _ in range(2):
        factories.job(office, customer=wanted, site=theirs)
    page = html_of(browser.get("/customers/?q=quarry"))
    assert page.count("Wanted Example") == 1
    assert "Other Example" not in page


def test_a_list_of_customers_costs_the_same_queries_however_many_there_are(
    browser, office, django_assert_max_num_queries
):
    for _ in range(6):
        factories.job(office)
    with django_assert_max_num_queries(6):
        browser.get("/customers/")


def test_an_empty_list_says_what_to_do_first(browser):
    assert "add the customer first" in html_of(browser.get("/customers/"))


def test_a_new_site_leads_on_to_taking_a_job_on_there(browser, office):
    customer = factories.customer(office)
    factories.rule_set()
    to_add = reverse("add-site", args=[customer.pk])
    answer = browser.post(to_add, SITE | {"id": str(uuid4())}, follow=True)
    assert "At 4 Sample Row, Sampleton, ZZ2 2ZZ." in html_of(answer)
    form = answer.context["form"]
    sent = {
        "id": str(uuid4()),
        "title": "Kitchen doors",
        "site": str(form["site"].value()),
        "rule_set": str(form["rule_set"].value()),
    }
    answer = browser.post(answer.request["PATH_INFO"], sent)
    job = Job.objects.get()
    assert answer["Location"] == f"/jobs/{job.reference}/"
    assert (job.customer, job.site, job.title) == (customer, Site.objects.get(), "Kitchen doors")
    assert str(job.rule_set_id) == sent["rule_set"]


def test_a_site_of_another_customer_cannot_be_chosen_or_changed(browser, office):
    customer, others = factories.customer(office), factories.job(office).site
    sent = {"id": str(uuid4()), "title": "Doors", "site": str(others.pk)}
    page = html_of(browser.post(reverse("take-on-job", args=[customer.pk]), sent), 400)
    assert "valid choice" in error_beside(page, "site")
    assert browser.get(reverse("change-site", args=[customer.pk, others.pk])).status_code == 404


def test_a_site_is_changed(browser, office):
    job = factories.job(office)
    address = reverse("change-site", args=[job.customer_id, job.site_id])
    browser.post(address, SITE | {"id": str(uuid4()), "version": 1, "access_notes": "narrow gate"})
    site = Site.objects.get()
    assert (site.town, site.access_notes, site.version) == ("Sampleton", "narrow gate", 2)


def test_a_job_gets_another_title_and_openings_that_are_numbered(browser, office):
    job = factories.job(office)
    changed = {"id": str(uuid4()), "version": 1, "title": "Terrace doors"}
    browser.post(reverse("change-job", args=[job.reference]), changed)
    for name in ("Rear wall", "Side return"):
        to_add = reverse("add-opening", args=[job.reference])
        browser.post(to_add, {"id": str(uuid4()), "name": name})
    renamed = {"id": str(uuid4()), "version": 1, "name": "Kitchen wall"}
    browser.post(reverse("change-opening", args=[job.reference, 1]), renamed)
    job.refresh_from_db()
    assert job.title == "Terrace doors"
    openings = Opening.objects.order_by("number").values_list("number", "name")
    assert list(openings) == [(1, "Kitchen wall"), (2, "Side return")]


def test_the_pages_are_for_the_office_alone(office):
    job = factories.job(office)
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    client = Client()
    client.force_login(surveyor)
    for address in (
        reverse("customer-list"),
        reverse("customer", args=[job.customer_id]),
        reverse("add-customer"),
        reverse("change-job", args=[job.reference]),
        reverse("add-opening", args=[job.reference]),
        reverse("profile-system-list"),
    ):
        assert client.get(address).status_code == 403
        assert Client().get(address)["Location"].startswith("/sign-in/")
