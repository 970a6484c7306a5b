"""The fitter's own pages where there is no network: read, filled in, and sent afterwards."""

import re

import pytest
from playwright.sync_api import expect

from installs.models import CarrierLift, JunctionGap
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound
from tests.browser.test_offline import SAVED_ADDRESSES, SAVED_AHEAD


@pytest.fixture
def fitter(transactional_db):
    return factories.person("fitter")


@pytest.fixture
def fitting(fitter):
    """With a visit that is today; the gaps of the running gear are to be read."""
    office = factories.person("office")
    job = factories.job(office)
    planned = factories.installation(office, fitter, job)
    factories.visit_about_now(office, job, "return", fitter)
    return factories.fitted(fitter, planned, until="running_gear")


@pytest.fixture
def phone(context_of, fitter):
    return context_of(fitter, PHONE, saves_pages=True)


@pytest.fixture
def page(phone, fitting):
    page = phone.new_page()
    page.goto("/today/")
    # A hundred pages are fetched for it.
    expect(page.locator(".sheet-state")).to_contain_text(SAVED_AHEAD, timeout=90_000)
    return page


def read_gaps(page, head, sill):
    page.get_by_label("Gap at the head").fill(head)
    page.get_by_label("Gap at the sill").fill(sill)
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record these gaps").click()
    expect(page.locator("form[inert]")).to_have_count(0)


def test_every_page_of_todays_fittings_is_saved_with_the_labels_of_its_operations(
    phone, page, fitting
):
    addresses = page.evaluate(SAVED_ADDRESSES)
    saved = set(addresses)
    assert len(saved) == len(addresses)
    sheet = f"/fittings/{fitting.pk}/"
    steps = {f"{sheet}steps/{step.number}/" for step in fitting.steps.all()}
    junctions = {f"{sheet}junctions/{junction.number}/" for junction in fitting.plan.junctions}
    sashes = {f"{sheet}sashes/{leaf.number}/" for leaf in fitting.plan.leaves}
    others = {"/today/", "/queue/", sheet, f"{sheet}defects/"}
    handover = {f"/jobs/{fitting.job.reference}/handover/"}
    assert steps | junctions | sashes | others | handover <= saved

    # Steps lead to the defects each with a question of its own.
    phone.set_offline(True)
    step = fitting.steps.get(code="level")
    page.goto(f"{sheet}steps/{step.number}/")
    page.get_by_role("link", name="Report a defect at this step").click()
    expect(page.get_by_label("At step")).to_have_value(str(step.pk))
    page.goto(f"{sheet}defects/")
    expect(page.get_by_label("At step")).to_have_value("")

    # An entry without values is known by the label of its operation alone.
    page.goto(f"{sheet}sashes/1/")
    page.get_by_label(re.compile("is back: top")).check()
    page.get_by_role("button", name="Save these beads").click()
    expect(page.locator(".unsent", has_text="Bead put back")).to_be_visible()
    page.reload()
    expect(page.locator(".unsent", has_text="Bead put back")).to_be_visible()


def test_a_cycle_of_gaps_on_the_sheet_arrives_once_in_its_order(phone, page, fitting):
    phone.set_offline(True)
    page.get_by_role("link", name="Fitting sheet").first.click()
    page.goto(f"/fittings/{fitting.pk}/junctions/2/")
    read_gaps(page, "5.8", "2.2")
    page.get_by_text("Record turns at the carrier here").click()
    page.get_by_label(re.compile("Turns made")).fill("1.2")
    page.get_by_role("button", name="Record these turns").click()
    expect(page.locator(".sheet-state")).to_contain_text("2 waiting")
    page.reload()
    expect(page.locator(".unsent", has_text="Gap at the head: 5.8 mm")).to_be_visible()
    read_gaps(page, "4.1", "3.9")
    expect(page.locator(".sheet-state")).to_contain_text("3 waiting")
    assert_sound(page)
    assert not JunctionGap.objects.exists()

    phone.set_offline(False)
    expect(page.locator(".sheet-state")).to_contain_text("all sent")
    gaps = JunctionGap.objects.order_by("created_at")
    assert [(gap.junction, gap.head_gap) for gap in gaps] == [(2, 5.8), (2, 4.1)]
    assert [(lift.junction, lift.turns) for lift in CarrierLift.objects.all()] == [(2, 1.2)]
    page.reload()
    expect(page.locator(".large").first).to_contain_text("4.1")


def test_turns_that_were_advised_before_are_not_put_back_into_the_form(phone, fitting):
    """What is in the queue is no draft any more, although the server never answered the form."""
    page = phone.new_page()
    page.goto(f"/fittings/{fitting.pk}/junctions/2/")
    read_gaps(page, "5.8", "2.2")
    expect(page.locator(".large").first).to_contain_text("5.8")
    expect(page.get_by_text("What you typed here before")).to_have_count(0)
    expect(page.get_by_label("Gap at the head")).to_have_value("")
