"""The overview pages of the office with a real browser: the way through a job, and every page."""

from datetime import timedelta

import pytest
from django.utils import timezone

from reports.models import Document
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound_in_every_look


@pytest.fixture
def office(transactional_db):
    return factories.person("office")


@pytest.fixture
def job(office):
    """Ordered and delivered, its fitter booked, one opening still without a doorset."""
    site = factories.site(office, access_notes="Park in the lane, the gate is 900 mm wide")
    job = factories.job(office, site=site)
    fitter = factories.person("fitter")
    installation = factories.installation(office, fitter, job)
    fitted = factories.fitted(fitter, installation, until="plumb")
    step = fitted.steps.get(code="plumb")
    factories.inspection(fitter, step, **dict.fromkeys(step.criteria, 9.0))
    factories.opening(office, job, "Side return")
    factories.visit(office, job, "return", fitter)
    return job


@pytest.fixture
def addresses(office, job):
    """Every page of this subject that there is to look at, with something on it."""
    visit = job.visits.filter(kind="return").get()
    fitting = job.visits.filter(kind="fitting").latest("start")
    day = timezone.localdate(fitting.start).isoformat()
    paper = Document.objects.create(
        job=job,
        kind="defect_report",
        number=f"{job.reference}-D",
        edition=1,
        record="{}",
        next_attempt_at=timezone.now(),
    )
    step = job.openings.get(number=1).doorsets.get().installation.steps.get(code="plumb")
    page = f"/jobs/{job.reference}/"
    return {
        "diary": f"/diary/?from={day}",
        "empty-diary": "/diary/?from=2099-06-01",
        "jobs": "/jobs/",
        "no-jobs": "/jobs/?q=nothing+like+it&on=soon",
        "job": page,
        "journal": f"{page}journal/",
        "book": f"{page}visits/new/",
        "move": f"{page}visits/{visit.pk}/",
        "crews": "/crews/",
        "new-crew": "/crews/new/",
        "crew-calendar": f"/crews/{visit.crew_id}/calendar/",
        "cancel": f"{page}visits/{visit.pk}/cancel/",
        "withdraw": f"{page}papers/{paper.pk}/withdraw/",
        "concede": f"{page}concede/planstep/{step.pk}/plumb/",
    }


def test_every_page_of_the_office_is_sound(context_of, office, addresses):
    page = context_of(office).new_page()
    for address in addresses.values():
        page.goto(address)
        page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        assert_sound_in_every_look(page)


def test_the_office_finds_a_job_sees_what_is_in_the_way_and_books_a_visit(context_of, office):
    job = factories.job(office, title="Kitchen wall")
    factories.opening(office, job)
    crew = factories.crew(office, factories.person("surveyor"))
    page = context_of(office, PHONE).new_page()
    page.goto("/")
    assert page.url.endswith("/diary/")
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Jobs").click()
    page.get_by_label("Reference, title, customer or town").fill("kitchen")
    page.get_by_role("button", name="Find").click()
    page.get_by_role("link", name=job.reference).click()
    assert page.get_by_role("link", name="survey the opening").is_visible()
    page.get_by_role("link", name="Book a visit").click()
    page.get_by_label("Kind of visit").select_option("survey")
    page.get_by_label("Crew", exact=True).select_option(str(crew.pk))
    start = timezone.localtime() + timedelta(days=2)
    page.get_by_label("From").fill(start.strftime("%Y-%m-%dT09:00"))
    page.get_by_label("To").fill(start.strftime("%Y-%m-%dT08:00"))
    page.get_by_role("button", name="Book the visit").click()
    assert page.get_by_text("the visit must end after it starts").is_visible()
    page.get_by_label("To").fill(start.strftime("%Y-%m-%dT11:00"))
    page.get_by_role("button", name="Book the visit").click()
    assert page.get_by_role("status").get_by_text(f"{crew.name} is booked").is_visible()
    page.goto(f"/diary/?from={start:%Y-%m-%d}")
    assert page.get_by_role("link", name=f"{job.reference} Kitchen wall").is_visible()


def test_the_office_makes_an_address_for_the_calendar_of_a_crew_and_ends_it(context_of, office):
    factories.crew(office, factories.person("fitter"))
    page = context_of(office, PHONE).new_page()
    page.goto("/crews/")
    page.get_by_role("link", name="no address").click()
    page.get_by_role("button", name="Make a new address").click()
    assert page.get_by_role("link", name="/calendars/").is_visible()
    assert_sound_in_every_look(page)
    page.get_by_role("button", name="End the address").click()
    assert page.get_by_role("status").get_by_text("no longer has an address").is_visible()


def test_a_paper_that_is_being_made_appears_by_itself(context_of, office):
    job = factories.job(office)
    waiting = Document.objects.create(
        job=job,
        kind="defect_report",
        number=f"{job.reference}-D",
        edition=1,
        record="{}",
        next_attempt_at=timezone.now(),
    )
    page = context_of(office).new_page()
    page.goto(f"/jobs/{job.reference}/")
    papers = page.get_by_role("region", name="Papers")
    assert papers.get_by_text("being made").is_visible()
    Document.objects.filter(pk=waiting.pk).update(
        rendered_at=timezone.now(), file="x.pdf", sha256="0" * 64, version=2
    )
    papers.get_by_role("link", name="Defect report").wait_for(timeout=8000)
    assert papers.get_by_text("being made").count() == 0


def test_the_office_asks_for_a_paper_and_withdraws_it(context_of, office):
    job = factories.job(office)
    factories.survey(office, factories.opening(office, job))
    page = context_of(office).new_page()
    page.goto(f"/jobs/{job.reference}/")
    page.get_by_role("button", name="Make the survey sheet").click()
    assert page.get_by_role("status").get_by_text("is being made").is_visible()
    page.get_by_role("link", name="Withdraw").click()
    page.get_by_label("Why it is withdrawn").fill("surveyed in the wrong house")
    page.get_by_label("Could somebody be hurt?").select_option("no")
    page.get_by_role("button", name="Withdraw the paper").click()
    assert page.get_by_text("surveyed in the wrong house").is_visible()
