"""What is recorded is judged beside its form at once: no page is loaded for it."""

import pytest
from playwright.sync_api import expect

from installs.models import Inspection, JunctionGap
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound_in_every_look

expect.set_options(timeout=20_000)

REMEMBERS = "() => { window.sameDocument = true; }"
IS_SAME = "() => window.sameDocument === true"
# What is said of each record on the way, for who builds on it.
LISTENS = """() => {
  window.said = [];
  for (const name of ["sheet:recorded", "sheet:answered"]) {
    document.addEventListener(name, ({ detail }) =>
      window.said.push([name, detail.entry.operation.kind, detail.verdict?.decision ?? null]));
  }
}"""


@pytest.fixture
def fitter(transactional_db):
    return factories.person("fitter")


@pytest.fixture
def fitting(fitter):
    office = factories.person("office")
    planned = factories.installation(office, fitter, factories.job(office))
    return factories.fitted(fitter, planned, until="plumb")


@pytest.fixture
def page(context_of, fitter, fitting):
    page = context_of(fitter, PHONE).new_page()
    number = fitting.steps.get(code="plumb").number
    page.goto(f"/fittings/{fitting.pk}/steps/{number}/")
    page.evaluate(REMEMBERS)
    return page


def read_plumb(page, left_in_plane):
    for label in ("Left jamb across wall", "Right jamb in wall plane", "Right jamb across wall"):
        page.get_by_label(label).fill("0")
    page.get_by_label("Left jamb in wall plane").fill(left_in_plane)
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record this step").click()


def test_a_jamb_out_of_plumb_is_judged_in_place_with_what_to_do_and_the_form_is_free(page):
    read_plumb(page, "9")
    here = page.locator("form .outcome-here")
    expect(here).to_contain_text("Not in order")
    expect(here).to_contain_text("Left jamb:")
    expect(page.get_by_label("Left jamb in wall plane")).to_have_value("")
    # The page itself shows what is on record by now, too.
    expect(page.get_by_role("heading", name="What to do next")).to_be_visible()
    assert page.evaluate(IS_SAME)
    assert Inspection.objects.filter(step__code="plumb").count() == 1
    assert_sound_in_every_look(page)

    read_plumb(page, "0")
    expect(here).to_contain_text("In order")
    expect(page.get_by_role("heading", name="What to do next")).to_have_count(0)
    assert page.evaluate(IS_SAME)


def test_each_record_is_said_on_the_page_as_noted_and_as_answered(page):
    page.evaluate(LISTENS)
    read_plumb(page, "9")
    expect(page.get_by_role("heading", name="What to do next")).to_be_visible()
    verdicts = [["sheet:recorded", "inspect_step", "fail"]]
    assert page.evaluate("window.said") == [*verdicts, ["sheet:answered", "inspect_step", "fail"]]


def test_what_comes_next_is_under_the_thumb(page, fitting):
    bar = page.get_by_role("navigation", name="Next").get_by_role("link")
    expect(bar).to_be_in_viewport()
    assert bar.bounding_box()["height"] >= 48
    following = fitting.steps.get(code="plumb").number + 1
    assert bar.get_attribute("href").endswith(f"/steps/{following}/")
    page.get_by_role("button", name="Record this step").focus()
    button = page.get_by_role("button", name="Record this step").bounding_box()
    assert button["y"] + button["height"] <= bar.bounding_box()["y"]


def test_turns_that_somebody_types_stay_while_the_gaps_are_answered(context_of, fitter, fitting):
    factories.fitted(fitter, fitting, until="running_gear")
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/fittings/{fitting.pk}/junctions/2/")
    page.evaluate(REMEMBERS)
    page.get_by_text("Record turns at the carrier here").click()
    page.get_by_label("Turns made").fill("0.5")
    page.get_by_label("Gap at the head").fill("5.8")
    page.get_by_label("Gap at the sill").fill("2.2")
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record these gaps").click()
    expect(page.locator("form .outcome-here")).to_contain_text("Not in order")
    expect(page.locator(".sheet-state")).to_contain_text("all sent")
    assert page.get_by_label("Turns made").input_value() == "0.5"
    assert page.evaluate(IS_SAME)
    assert JunctionGap.objects.count() == 1


# -- where there is no network ----------------------------------------------------------------


@pytest.fixture
def cut_off(page):
    """With what the phone compares readings with, which the page has loaded."""
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    return page


def test_without_a_network_the_verdict_is_there_as_it_will_be_on_record(cut_off):
    read_plumb(cut_off, "9")
    here = cut_off.locator("form .outcome-here")
    expect(here).to_contain_text("Not in order")
    expect(here).to_contain_text("Left jamb in wall plane 9 mm; allowed is within")
    expect(cut_off.get_by_label("Left jamb in wall plane")).to_have_value("")
    assert not Inspection.objects.filter(step__code="plumb").exists()
    assert_sound_in_every_look(cut_off)

    cut_off.context.set_offline(False)
    expect(cut_off.locator(".sheet-state")).to_contain_text("all sent")
    expect(here).to_contain_text("Left jamb:")
    expect(cut_off.get_by_text("This phone had judged it otherwise")).to_have_count(0)
    assert Inspection.objects.get(step__code="plumb").outcome == "fail"


def test_a_reading_too_near_its_limit_is_said_to_be_open(cut_off):
    read_plumb(cut_off, "3")
    here = cut_off.locator("form .outcome-here")
    expect(here).to_contain_text("Not decided")
    expect(here).to_contain_text("too near that for this instrument")


def test_where_the_service_judges_otherwise_it_counts_and_that_is_said(page, fitting):
    """Somebody changed the rules of the page, say; the records decide."""
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    read_plumb(page, "0")
    expect(page.locator("form .outcome-here")).to_contain_text("In order")
    step = fitting.steps.get(code="plumb")
    for criterion in step.criteria.values():
        criterion["lower"], criterion["upper"] = 6.0, 6.0 + 2 * criterion["upper"]
    step.save(update_fields=["criteria"])
    page.context.set_offline(False)
    here = page.locator("form .outcome-here")
    expect(here).to_contain_text("Not in order")
    expect(here).to_contain_text("This phone had judged it otherwise")
