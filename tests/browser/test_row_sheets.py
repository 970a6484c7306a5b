"""Sheets of many rows on a phone: one Save, with the network cut and given back."""

import re

import pytest
from playwright.sync_api import FilePayload, expect

from installs.models import Bead, Defect, Fixing, JunctionGap, SitePhoto
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound
from tests.pictures import picture

expect.set_options(timeout=20_000)
SIDES = ["top", "bottom", "left", "right"]
RUN_OUT = """() => {
  const options = document.querySelectorAll("option[data-until]");
  for (const option of options) option.dataset.until = "2020-01-01";
  document.dispatchEvent(new Event("page:refreshed"));
}"""


@pytest.fixture
def office(transactional_db):
    return factories.person("office")


@pytest.fixture
def fitter(office):
    return factories.person("fitter")


@pytest.fixture
def fitting(office, fitter):
    return factories.installation(office, fitter, factories.job(office))


@pytest.fixture
def gauge(office):
    return factories.instrument(
        office, name="Gap gauge", kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
    )


@pytest.fixture
def phone(context_of, fitter):
    return context_of(fitter, PHONE, saves_pages=True)


@pytest.fixture
def open_page(phone, fitting):
    """Opens a page of the fitting, which this phone then has saved."""

    def opened(part: str):
        page = phone.pages[0] if phone.pages else phone.new_page()
        page.goto(f"/fittings/{fitting.pk}/{part}")
        page.evaluate("navigator.serviceWorker.ready")
        return page

    return opened


def state(page):
    return page.locator(".sheet-state")


def instrument(page):
    """Asked for once above the rows."""
    return page.locator("[data-shared-field=instrument]")


def row(page, junction):
    return page.locator("form[data-operation=record_gap]").nth(junction)


def read(page, junction, head, sill=""):
    row(page, junction).locator("[name=head_gap]").fill(head)
    row(page, junction).locator("[name=sill_gap]").fill(sill)


def test_gaps_of_a_cellar_are_saved_at_once_and_arrive_one_by_one(
    phone, open_page, fitter, fitting, gauge
):
    factories.fitted(fitter, fitting, until="running_gear")
    page = open_page("gaps/")
    instrument(page).select_option(str(gauge.pk))
    phone.set_offline(True)
    read(page, 0, "4", "4,2")
    read(page, 1, "3.9", "4")
    read(page, 3, "4")
    page.get_by_role("button", name="Save these gaps").click()
    # Half a row stays, marked at its field; nothing is in its way, and it is in nothing's.
    expect(row(page, 3).locator("[name=sill_gap]")).to_be_focused()
    expect(row(page, 3).locator("[aria-invalid]")).to_have_count(1)
    expect(state(page)).to_contain_text("2 waiting")
    assert not JunctionGap.objects.exists()
    assert_sound(page)

    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    gaps = JunctionGap.objects.order_by("created_at").values_list(
        "junction", "head_gap", "sill_gap", "instrument"
    )
    assert list(gaps) == [(0, 4, 4.2, gauge.pk), (1, 3.9, 4, gauge.pk)]
    row(page, 3).locator("[name=sill_gap]").fill("4")
    page.get_by_role("button", name="Save these gaps").click()
    expect(page.get_by_text("3 junctions to read in this round")).to_be_visible()
    assert JunctionGap.objects.count() == 3


def test_a_refused_row_is_marked_with_its_reason_and_the_others_are_recorded(
    open_page, fitter, fitting, gauge
):
    factories.fitted(fitter, fitting, until="running_gear")
    page = open_page("gaps/")
    instrument(page).select_option(str(gauge.pk))
    read(page, 0, "444", "4")
    read(page, 1, "4", "4")
    page.get_by_role("button", name="Save these gaps").click()
    expect(row(page, 0).locator(".error")).to_contain_text("50")
    expect(row(page, 0).locator("[name=head_gap]")).to_have_value("444")
    expect(row(page, 1)).to_contain_text("In order")
    expect(state(page)).to_contain_text("all sent")
    assert list(JunctionGap.objects.values_list("junction", flat=True)) == [1]
    row(page, 0).locator("[name=head_gap]").fill("4.4")
    page.get_by_role("button", name="Save these gaps").click()
    expect(page.get_by_text("4 junctions to read in this round")).to_be_visible()


def test_what_is_asked_once_is_refused_once_where_it_is_asked(open_page, office, fitter, fitting):
    factories.fitted(fitter, fitting, until="running_gear")
    page = open_page("gaps/")
    instrument(page).select_option("")
    read(page, 0, "4", "4")
    page.get_by_role("button", name="Save these gaps").click()
    expect(instrument(page)).to_be_focused()
    expect(page.locator(".error")).to_have_count(1)
    expect(page.get_by_role("status").filter(has_text="Not saved")).to_be_visible()
    assert row(page, 0).locator("[name=head_gap]").input_value() == "4"
    assert_sound(page)


def test_enter_walks_from_row_to_row_and_ends_at_save(open_page, fitter, fitting, gauge):
    factories.fitted(fitter, fitting, until="running_gear")
    page = open_page("gaps/")
    row(page, 4).locator("[name=head_gap]").focus()
    for _ in range(2):
        page.keyboard.press("Enter")
    expect(row(page, 5).locator("[name=head_gap]")).to_be_focused()
    # Its temperature is read, too, since the chain closes there.
    for _ in range(3):
        page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Save these gaps")).to_be_focused()


def test_all_beads_come_off_without_a_network_and_go_back_in_their_order(
    phone, open_page, fitter, fitting
):
    factories.fitted(fitter, fitting, until="beads_off")
    page = open_page("beads/")
    phone.set_offline(True)
    page.get_by_role("button", name="Fill in the numbers").first.click()
    page.get_by_label("Top, sash 1", exact=True).fill("A1")
    page.get_by_role("button", name="Save these beads").click()
    expect(state(page)).to_contain_text("4 waiting")
    phone.set_offline(False)
    expect(page.get_by_text("Bead A1 is back: top, sash 1")).to_be_visible()
    numbers = Bead.objects.order_by("created_at").values_list("number", "side")
    assert list(numbers) == [("A1", "top"), ("12", "bottom"), ("13", "left"), ("14", "right")]


def test_beads_that_came_off_without_a_network_go_back_without_one(
    phone, open_page, fitter, fitting
):
    factories.fitted(fitter, fitting, until="beads_off")
    page = open_page("sashes/1/")
    back = page.get_by_role("button", name="All of them are back")
    expect(back).to_be_hidden()
    phone.set_offline(True)
    page.get_by_role("button", name="Fill in the numbers").click()
    page.get_by_role("button", name="Save these beads").click()
    expect(state(page)).to_contain_text("4 waiting")
    # What is noted is not asked for again.
    page.get_by_role("button", name="Fill in the numbers").click()
    expect(page.get_by_label("Top, sash 1", exact=True)).to_have_value("")
    back.click()
    page.get_by_role("button", name="Save these beads").click()
    expect(state(page)).to_contain_text("8 waiting")
    phone.set_offline(False)
    # The gate decides: nothing goes back before the glass may go in, and each says so.
    expect(state(page)).to_contain_text("4 to decide")
    page.goto("/queue/")
    expect(page.get_by_text("Sash 1, bead back: top")).to_be_visible()
    assert Bead.objects.filter(put_back_at=None).count() == 4


def test_all_beads_of_a_sash_go_back_in_one_go_each_where_it_came_from(
    phone, open_page, fitter, fitting
):
    factories.fitted(fitter, fitting, until="beads_back")
    page = open_page("sashes/2/")
    phone.set_offline(True)
    page.get_by_role("button", name="All of them are back").click()
    page.get_by_role("button", name="Save these beads").click()
    expect(state(page)).to_contain_text("4 waiting")
    phone.set_offline(False)
    expect(page.locator("[data-operation=put_bead_back]")).to_have_count(0)
    back = Bead.objects.exclude(put_back_at=None).order_by("put_back_at")
    assert [(bead.leaf, bead.side) for bead in back] == [(2, side) for side in SIDES]


def test_a_whole_member_is_fixed_as_planned_but_for_what_differs(phone, open_page, fitter, fitting):
    factories.fitted(fitter, fitting, until="fix_jambs")
    factories.fixing(fitter, fitting, member="left", position=199, kind="bracket")
    page = open_page("members/left/")
    phone.set_offline(True)
    page.get_by_role("button", name="All 3 that are left are fixed as planned").click()
    expect(state(page)).to_contain_text("3 waiting")
    page.get_by_role("button", name="are fixed as planned").click()
    expect(page.get_by_text("Nothing is filled in yet")).to_be_visible()
    expect(state(page)).to_contain_text("3 waiting")
    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    expect(page.get_by_text("not fixed yet")).to_have_count(0)
    assert Fixing.objects.filter(member="left", kind="frame_screw").count() == 3


def test_the_instrument_of_a_visit_is_chosen_again_where_it_suits(
    phone, open_page, fitter, fitting, gauge
):
    laser = {"kind": "laser", "expanded_uncertainty": 0.4, "coverage_factor": 2}
    factories.instrument(fitter, name="Laser", **laser)
    factories.instrument(fitter, name="Tape")
    factories.fitted(fitter, fitting, until="running_gear")
    height = fitting.steps.get(code="clear_height").number
    page = open_page("../../today/")
    expect(state(page)).to_contain_text("your visits are saved", timeout=90_000)
    page = open_page("gaps/")
    instrument(page).select_option(str(gauge.pk))
    phone.set_offline(True)
    page = open_page("junctions/1/")
    expect(page.get_by_label("Read with")).to_have_value(str(gauge.pk))
    page = open_page(f"steps/{height}/")
    expect(page.get_by_label("Read with")).not_to_have_value(str(gauge.pk))
    # The calibration runs out while the page is on the phone.
    page = open_page("junctions/1/")
    page.evaluate(RUN_OUT)
    expect(page.get_by_label("Read with")).to_have_value("")


def test_a_defect_is_reported_in_one_go_with_its_place_and_photo(phone, open_page, fitting):
    page = open_page("defects/")
    phone.set_offline(True)
    page.get_by_label("What is not in order").fill("Scratch of 40 mm")
    page.get_by_text("Choose the place on the map").click()
    page.get_by_role("link", name=re.compile("Sash 2")).click()
    expect(page.get_by_label("Where on the doorset")).to_have_value("sash 2")
    page.get_by_label("Severity").select_option("minor")
    image = FilePayload(name="s.jpg", mimeType="image/jpeg", buffer=picture(size=(720, 480)))
    page.get_by_label("Photo").set_input_files(image)
    page.get_by_role("button", name="Report this defect").click()
    expect(state(page)).to_contain_text("2 waiting")
    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    defect = Defect.objects.get()
    assert (defect.place, SitePhoto.objects.get().defect) == ("sash 2", defect)


def test_the_office_which_has_no_queue_records_row_by_row(context_of, office, fitter, fitting):
    factories.fitted(fitter, fitting, until="fix_jambs")
    page = context_of(office, PHONE).new_page()
    page.goto(f"/fittings/{fitting.pk}/members/left/")
    expect(page.get_by_role("button", name="that are left are fixed")).to_be_hidden()
    page.get_by_role("button", name="Fixed as planned").first.click()
    expect(page.get_by_text("The fixing is recorded")).to_be_visible()
    assert Fixing.objects.count() == 1
