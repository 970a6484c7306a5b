"""A queue that never sticks: what is refused stops only what depends on it, and says so there."""

from datetime import timedelta

import pytest
from playwright.sync_api import expect

from installs.models import Inspection, JunctionGap, SetAside, SyncOperation
from tests import factories
from tests.browser.conftest import PHONE
from tests.installs.queue_session import evidence

# The machine that runs this may be slow.
expect.set_options(timeout=20_000)

# The clock of a phone that is a day ahead.
A_DAY_AHEAD = """() => {
  const Right = Date;
  window.Date = class extends Right {
    constructor(...given) { super(...(given.length ? given : [Right.now() + 86400000])); }
    static now() { return Right.now() + 86400000; }
  };
}"""


@pytest.fixture
def fitter(transactional_db):
    return factories.person("fitter")


@pytest.fixture
def fitting(fitter):
    office = factories.person("office")
    return factories.installation(office, fitter, factories.job(office))


@pytest.fixture
def page(context_of, fitter):
    return context_of(fitter, PHONE).new_page()


@pytest.fixture
def cut(page):
    """The server cannot be reached until it is given back."""
    page.context.route("**/api/v1/sync/", lambda route: route.abort())
    return lambda: page.context.unroute("**/api/v1/sync/")


def state(page):
    return page.locator(".sheet-state")


def open_step(page, step):
    page.goto(f"/fittings/{step.installation_id}/steps/{step.number}/")


def record_step(page, step, **readings):
    """On its page: every reading and choice of it, and Enter nowhere."""
    open_step(page, step)
    form = page.locator("form[data-operation=inspect_step]")
    body = evidence(step, factories.instrument(factories.person("office")), **readings)
    for number, reading in enumerate(body.get("readings", ())):
        form.locator(f"[name='readings.{number}.value']").fill(str(reading["value"]))
    if "readings" in body:
        form.locator("[name=instrument]").select_option(index=1)
    for choice in form.locator("input[type=radio][value=true]").all():
        choice.check()
    if "note" in body:
        form.locator("[name=note]").fill(body["note"])
    form.locator(".actions button").last.click()
    expect(page.locator("form[inert]")).to_have_count(0)


def read_gaps(page, fitting, junction, head="4", sill="4"):
    page.goto(f"/fittings/{fitting.pk}/junctions/{junction}/")
    page.get_by_label("Gap at the head").fill(head)
    page.get_by_label("Gap at the sill").fill(sill)
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record these gaps").click()
    expect(page.locator("form[inert]")).to_have_count(0)


def test_step_3_before_step_2_is_done_when_the_network_is_back(page, fitter, fitting, cut):
    second, third = fitting.steps.order_by("number")[1:3]
    factories.fitted(fitter, fitting, until=second.code)
    factories.instrument(fitter)
    record_step(page, third)
    record_step(page, second)
    expect(state(page)).to_contain_text("2 waiting")
    cut()
    page.goto("/queue/")
    expect(state(page)).to_contain_text("all sent")
    assert set(Inspection.objects.values_list("outcome", flat=True)) == {"pass"}
    assert {second.inspections.count(), third.inspections.count()} == {1}


def test_gaps_after_a_failing_frame_wait_for_its_good_reading_and_nobody_deletes_them(
    page, fitter, fitting, cut
):
    factories.fitted(fitter, fitting, until="running_gear")
    bow = fitting.steps.get(code="bow")
    record_step(page, bow, left_jamb_middle=5)
    for junction in (0, 1):
        read_gaps(page, fitting, junction)
    expect(state(page)).to_contain_text("3 waiting")
    cut()
    page.goto("/queue/")
    expect(state(page)).to_contain_text("2 to decide")
    assert not JunctionGap.objects.exists()

    # It is said where it was recorded, with what is in its way.
    page.goto(f"/fittings/{fitting.pk}/junctions/1/")
    refused = page.locator(".unsent", has_text="Gap at the head: 4 mm")
    expect(refused).to_contain_text("not bowed")
    expect(refused.get_by_role("button", name="Set it aside")).to_be_visible()

    # One of them is set aside; the good reading lets the other one through.
    refused.get_by_role("button", name="Set it aside").click()
    expect(state(page)).to_contain_text("1 to decide")
    record_step(page, bow)
    expect(state(page)).to_contain_text("all sent")
    assert JunctionGap.objects.get().junction == 0
    kept = SetAside.objects.get()
    assert (kept.body["junction"], kept.person, kept.job) == (1, fitter, fitting.job)
    assert "not bowed" in kept.reason
    page.goto("/queue/")
    expect(page.get_by_text("set aside; the office sees it")).to_be_visible()


def test_go_on_the_keypad_leads_to_the_next_field_and_half_a_step_is_not_saved(
    page, fitter, fitting
):
    factories.fitted(fitter, fitting, until="diagonals")
    factories.instrument(fitter)
    step = fitting.steps.get(code="diagonals")
    open_step(page, step)
    first, second = (page.locator(f"[name='readings.{number}.value']") for number in (0, 1))
    first.fill("2000")
    first.press("Enter")
    expect(second).to_be_focused()
    page.locator("form[data-operation=inspect_step] .actions button").last.click()
    expect(second).to_have_attribute("aria-invalid", "true")
    expect(first).not_to_have_attribute("aria-invalid", "true")
    expect(state(page)).to_contain_text("all sent")
    assert not SyncOperation.objects.exists()


def test_a_double_tap_records_once(page, fitter, fitting):
    factories.fitted(fitter, fitting, until="running_gear")
    factories.instrument(fitter)
    page.goto(f"/fittings/{fitting.pk}/junctions/1/")
    page.get_by_label("Gap at the head").fill("4")
    page.get_by_label("Gap at the sill").fill("4")
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record these gaps").dblclick()
    expect(page.locator(".large").first).to_contain_text("4")
    expect(state(page)).to_contain_text("all sent")
    assert JunctionGap.objects.count() == 1


def test_a_clock_that_is_a_day_ahead_is_said_and_put_right(page, fitter, fitting):
    factories.fitted(fitter, fitting, until="running_gear")
    factories.instrument(fitter)
    page.add_init_script(f"({A_DAY_AHEAD})()")
    page.goto(f"/fittings/{fitting.pk}/junctions/1/")
    read_gaps(page, fitting, 1)
    expect(state(page)).to_contain_text("all sent")
    gap, operation = JunctionGap.objects.get(), SyncOperation.objects.get()
    assert operation.made_at
    assert gap.recorded_at
    assert operation.made_at - gap.recorded_at > timedelta(hours=23)
    assert gap.created_at - gap.recorded_at < timedelta(minutes=2)
