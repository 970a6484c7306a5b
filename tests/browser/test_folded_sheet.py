"""The fitter's sheet where there is no network: it goes on as what is recorded goes on."""

import pytest
from playwright.sync_api import expect

from installs.models import Inspection
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound_in_every_look
from tests.browser.test_offline import SAVED_AHEAD

expect.set_options(timeout=20_000)


@pytest.fixture
def fitter(transactional_db):
    return factories.person("fitter")


@pytest.fixture
def fitting(fitter):
    office = factories.person("office")
    job = factories.job(office)
    planned = factories.installation(office, fitter, job)
    factories.visit_about_now(office, job, "return", fitter)
    return factories.fitted(fitter, planned, until="bow")


@pytest.fixture
def page(context_of, fitter, fitting):
    """Saved ahead; from now on there is no network."""
    page = context_of(fitter, PHONE, saves_pages=True).new_page()
    page.goto("/today/")
    expect(page.locator(".sheet-state")).to_contain_text(SAVED_AHEAD, timeout=90_000)
    page.context.set_offline(True)
    return page


def read_bow(page, fitting, worst):
    step = fitting.steps.get(code="bow")
    page.goto(f"/fittings/{fitting.pk}/steps/{step.number}/")
    for field in page.locator("input[data-as=number]").all():
        field.fill("0")
    page.get_by_label("Left jamb middle").fill(worst)
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record this step").click()
    expect(page.locator("form[inert]")).to_have_count(0)


def test_progress_marks_and_what_is_next_follow_what_was_recorded(page, fitting):
    step = fitting.steps.get(code="bow")
    done = step.number - 1
    page.goto(f"/fittings/{fitting.pk}/")
    expect(page.locator("[data-fold=done]")).to_have_text(f"{done} of {fitting.steps.count()}")

    read_bow(page, fitting, "9")
    expect(page.locator("form .outcome-here")).to_contain_text("Not in order")
    expect(page.locator(f"[data-step='{step.number}']").first).to_contain_text("Not in order")
    page.goto(f"/fittings/{fitting.pk}/junctions/1/")
    gap = page.get_by_role("button", name="Record these gaps")
    page.get_by_label("Gap at the head").fill("4")
    page.get_by_label("Gap at the sill").fill("4")
    page.get_by_label("Read with").select_option(index=1)
    gap.click()
    # It would be refused: the frame is bowed.
    here = page.locator("form .outcome-here")
    expect(here).to_contain_text(f"put right and record again step {step.number}")

    read_bow(page, fitting, "0")
    expect(page.locator("form .outcome-here")).to_contain_text("In order")
    page.goto(f"/fittings/{fitting.pk}/")
    expect(page.locator("[data-fold=done]")).to_have_text(f"{done + 1} of {fitting.steps.count()}")
    following = page.get_by_role("navigation", name="Next").get_by_role("link")
    expect(following).to_contain_text(f"Next: {step.number + 1},")
    assert following.get_attribute("href").endswith(f"/phases/fixing/#{step.number + 1}")
    expect(page.locator("[data-fold=defects]")).to_have_text("open defects: 1")
    assert_sound_in_every_look(page)
    page.goto("/today/")
    expect(page.locator("[data-fitting]").first).to_contain_text(f"{done + 1} of")

    page.context.set_offline(False)
    page.goto("/today/")
    expect(page.locator(".sheet-state")).not_to_contain_text("waiting")
    outcomes = Inspection.objects.filter(step=step).order_by("created_at")
    assert list(outcomes.values_list("outcome", flat=True)) == ["fail", "pass"]


def test_a_fixing_is_marked_on_the_map_before_it_is_sent(page, fitting):
    page.goto(f"/fittings/{fitting.pk}/")
    places = fitting.plan.fixing_layout.member("head").positions
    mark = page.locator(f".map a.part[href$='/members/head/#at-{places[0]:g}']")
    expect(mark).to_have_attribute("class", "part rest")
    page.goto(f"/fittings/{fitting.pk}/members/head/")
    fixed = page.locator(f"#at-{places[0]:g}")
    fixed.get_by_role("button", name="Fixed as planned").click()
    expect(fixed.locator("[data-part]")).to_contain_text("✓ fixed")
    expect(page.locator("[data-part='members/head/']")).to_contain_text("1 fixings made")
    page.goto(f"/fittings/{fitting.pk}/")
    expect(mark).to_have_attribute("class", "part good")
    expect(mark).to_have_attribute("aria-label", f"Fixing at {places[0]:g} mm, head: fixed")
