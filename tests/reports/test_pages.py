"""Signing in, the list of jobs, and the page of one job."""

import re
from uuid import uuid4

import pytest
from django.test import Client

from reports.models import Dispatch
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def browser_of(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def html_of(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def page_of(job) -> str:
    return f"/jobs/{job.reference}/"


def asking(job, kind: str) -> str:
    return f"{page_of(job)}papers/ask/{kind}/"


def test_whoever_is_not_signed_in_is_sent_to_sign_in(job):
    for path in ("/", "/jobs/", page_of(job)):
        final = Client().get(path, follow=True)
        assert final.redirect_chain[-1][0].startswith("/sign-in/")


def test_signing_in_leads_to_the_jobs_and_out_again(office, job):
    client = Client()
    signed = {"username": office.username, "password": factories.PASSWORD}
    assert client.post("/sign-in/", signed)["Location"] == "/"
    assert job.reference in html_of(client, "/jobs/")
    client.post("/sign-out/")
    assert client.get("/jobs/").status_code == 302


def test_a_wrong_password_is_told_and_guessing_is_slowed_down(office):
    client = Client()
    wrong = {"username": office.username, "password": "not it"}
    answers = [client.post("/sign-in/", wrong).status_code for _ in range(11)]
    assert set(answers[:10]) == {200}
    assert answers[10] == 429


def test_the_office_finds_a_job_by_its_customer(browser, office):
    wanted = factories.job(office, customer=factories.customer(office, name="Oona Quill"))
    other = factories.job(office)
    html = html_of(browser, "/jobs/?q=quill")
    assert wanted.reference in html
    assert other.reference not in html


def test_the_list_goes_on_page_by_page(browser, office):
    jobs = [factories.job(office) for _ in range(3)]
    first = html_of(browser, "/jobs/?page_size=2")
    assert jobs[2].reference in first
    assert jobs[0].reference not in first
    older = re.search(r'href="([^"]+)" rel="next"', first)[1].replace("&amp;", "&")
    assert jobs[0].reference in html_of(browser, older)


def test_a_page_of_jobs_costs_the_same_queries_however_many_there_are(
    browser, office, django_assert_max_num_queries
):
    for _ in range(6):
        factories.job(office)
    with django_assert_max_num_queries(6):
        html_of(browser, "/jobs/")


def test_a_fitter_sees_own_jobs_only(office, job):
    fitter = factories.person("fitter")
    foreign = factories.job(office)
    factories.visit(office, job, "fitting", fitter)
    client = browser_of(fitter)
    assert foreign.reference not in html_of(client, "/jobs/")
    assert job.reference in html_of(client, page_of(job))
    assert client.get(page_of(foreign)).status_code == 404


def test_the_page_of_a_job_draws_its_doorsets_and_says_what_stands_in_the_way(browser, office, job):
    opening = factories.opening(office, job, "Garden wall")
    factories.doorset(office, opening)
    page = html_of(browser, page_of(job))
    assert "Doorset 5-5-0 seen from outside, 3590 by 2100 mm" in page
    assert re.search(r"<strong>Order</strong> closed", page)
    assert "survey the opening" in page


def test_what_people_wrote_is_shown_as_words(browser, office):
    hostile = '<script>alert(1)</script><img src=x onerror="alert(1)">'
    job = factories.job(
        office,
        title=hostile,
        customer=factories.customer(office, name=hostile),
        site=factories.site(office, town=hostile, access_notes=hostile),
    )
    factories.doorset(office, factories.opening(office, job, hostile[:80]))
    for page in (html_of(browser, "/jobs/"), html_of(browser, page_of(job))):
        assert "<script>" not in page
        assert "<img" not in page
        assert "&lt;script&gt;" in page


def test_pages_carry_no_inline_script_and_no_inline_style(browser, job, issued):
    for path in ("/jobs/", page_of(job), f"/verify/{issued.verification_code}/"):
        page = html_of(browser, path)
        assert not re.search(r"<script(?![^>]*\ssrc=\"/static/)", page)
        assert not re.search(r"\sstyle=|\son\w+=|javascript:", page)


def test_the_papers_of_a_job_can_be_fetched_from_its_page(browser, job, issued):
    address = re.search(r'href="(/jobs/[^"]+/file/)"', html_of(browser, page_of(job)))[1]
    assert browser.get(address)["Content-Type"] == "application/pdf"


def test_a_fitter_cannot_ask_for_the_certificate(office, job):
    fitter = factories.person("fitter")
    factories.visit(office, job, "fitting", fitter)
    assert browser_of(fitter).post(asking(job, "completion_certificate")).status_code == 403
    assert not job.documents.exists()


def test_the_office_is_told_why_a_certificate_is_refused(browser, job):
    wanted = {"id": uuid4()}
    answer = browser.post(asking(job, "completion_certificate"), wanted, follow=True)
    assert "hand the doorsets over to the customer" in answer.content.decode()
    assert not job.documents.exists()


def test_a_letter_that_was_given_up_is_seen_by_the_office(browser, job, issued):
    Dispatch.objects.update(
        state="failed", outcome="the mail server refused the address (550)", next_attempt_at=None
    )
    assert "e-mail failed</span>: the mail server refused the address (550)" in html_of(
        browser, page_of(job)
    )
