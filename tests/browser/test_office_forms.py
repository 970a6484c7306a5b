"""The office's forms with a real browser: from the customer to the doorset that is ordered."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from jobs.models import Doorset, Job
from tests import factories
from tests.browser.pages import assert_sound, assert_sound_in_every_look

pytestmark = pytest.mark.django_db(transaction=True)

FIGURES = {
    "Face of the frame": "60",
    "Face of a sash": "62",
    "Gap beside a leaf": "4",
    "Cover of the glass edge": "15",
    "Mass of the frame": "2.4",
    "Mass of a sash profile": "2.2",
    "Hardware of a leaf": "3",
    "Widest leaf": "1000",
    "Tallest leaf": "2500",
    "Heaviest leaf": "100",
    "Adjustment of a carrier": "3",
    "Lift of a whole turn": "1",
    "Track that stays at each end": "400",
    "U of frame and sash": "1.4",
    "Psi of the glass edge": "0.05",
    "Colours": "slate\nchalk",
    "Handles": "lever",
    "Thresholds": "low, 12\nweathered, 45",
}


@pytest.fixture
def office(transactional_db):
    factories.rule_set()
    return factories.person("office")


@pytest.fixture
def opening(office):
    return factories.opening(office, factories.job(office))


def of(opening, name: str) -> str:
    return reverse(name, args=[opening.job.reference, opening.number])


def fill(page: Page, **fields: str) -> None:
    """Type into fields by the names they are sent under; choose where they are lists."""
    for name, value in fields.items():
        field = page.locator(f"[name={name}]")
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def leaves_drawn(page: Page):
    return page.locator("#worked-out [data-leaf]")


def glaze(page: Page) -> None:
    fill(page, pane_1_glass="6", pane_1_safety="toughened", cavity_1_cavity="16")
    fill(page, cavity_1_argon="90", pane_2_glass="4", pane_2_safety="toughened")


def test_a_job_is_taken_on_from_the_customer_to_the_doorset(context_of, office):
    page = context_of(office).new_page()
    page.goto(reverse("customer-list"))
    page.get_by_role("link", name="Add a customer").click()
    fill(page, name="Oona Quill", email="oona@example.com")
    page.get_by_role("button", name="Add the customer").click()
    page.get_by_role("link", name="Add a site").click()
    fill(page, address_line_1="4 Sample Row", town="Sampleton", postcode="ZZ2 2ZZ")
    page.get_by_role("button", name="Add the site").click()
    expect(page.get_by_text("At 4 Sample Row, Sampleton, ZZ2 2ZZ.")).to_be_visible()
    fill(page, title="Kitchen doors")
    page.get_by_role("button", name="Take on the job").click()
    page.wait_for_url(re.compile(r"/jobs/SW-"))
    job = Job.objects.get()

    page.goto(reverse("add-opening", args=[job.reference]))
    fill(page, name="Rear wall")
    page.get_by_role("button", name="Add the opening").click()
    opening = job.openings.get()

    page.goto(reverse("profile-system-list"))
    page.get_by_role("link", name="Add a profile system").click()
    fill(page, name="Folding 60", material="timber")
    for label, value in FIGURES.items():
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_label("Head fixed in the channel").check()
    page.get_by_role("button", name="Add the profile system").click()
    expect(page.get_by_role("link", name="Folding 60", exact=True)).to_be_visible()

    page.goto(of(opening, "doorset"))
    page.get_by_label("Profile system").select_option(label="Folding 60")
    fill(page, fold="5-5-0", frame_width="3590", frame_height="2100", opens="out")
    glaze(page)
    expect(leaves_drawn(page)).to_have_count(5)
    page.get_by_label("Fold", exact=True).fill("")
    page.get_by_label("Fold", exact=True).press_sequentially("4-3-1")
    expect(leaves_drawn(page)).to_have_count(4)
    expect(page.get_by_text("3 leaves fold left", exact=True)).to_be_visible()
    fill(page, threshold="low", colour_inside="chalk", colour_outside="slate")
    expect(page.get_by_text("12 mm above the floor")).to_be_visible()
    page.get_by_role("button", name="Save as a draft").click()
    page.wait_for_url(re.compile(r"/jobs/SW-[\d-]+/$"))
    drafted = Doorset.objects.get()
    assert (drafted.fold, drafted.handle, drafted.colour_inside) == ("4-3-1", "lever", "chalk")


def test_a_limit_that_breaks_while_typing_is_told_with_the_limit(context_of, office, opening):
    factories.doorset(office, opening)
    page = context_of(office).new_page()
    page.goto(of(opening, "doorset"))
    expect(page.get_by_text("the profile system allows 1000 mm")).to_be_visible()
    assert page.get_by_text("beyond the limit").count() == 0
    fill(page, fold="3-3-0")
    expect(page.get_by_text("beyond the limit").first).to_be_visible()
    expect(page.get_by_text(re.compile(r"Widest leaf: 11\d\d"))).to_be_visible()
    fill(page, fold="3-3-1")
    expect(page.get_by_text("does not add up")).to_be_visible()
    expect(leaves_drawn(page)).to_have_count(0)


def test_another_profile_system_brings_its_own_choices(context_of, office, opening):
    factories.doorset(office, opening)
    other = factories.profile_system(
        office, choices=factories.ORDER_CHOICES | {"colours": ["moss", "chalk"]}
    )
    page = context_of(office).new_page()
    page.goto(of(opening, "doorset"))
    fill(page, profile_system=str(other.pk))
    expect(page.locator("[name=colour_inside] option", has_text="moss")).to_have_count(1)
    assert page.locator("[name=colour_inside]").input_value() == "chalk"


def test_errors_stand_beside_their_fields_and_what_was_typed_stays(context_of, office):
    page = context_of(office).new_page()
    page.goto(reverse("add-customer"))
    fill(page, name="Oona Quill", email="oona@example.com", telephone="12")
    page.get_by_role("button", name="Add the customer").click()
    field = page.get_by_label("Telephone")
    expect(field).to_have_attribute("aria-invalid", "true")
    described = field.get_attribute("aria-describedby").split()
    assert "too short or too long" in page.locator(f"#{described[-1]}").text_content()
    assert page.get_by_label("Name").input_value() == "Oona Quill"
    assert_sound(page)


def test_an_unsent_doorset_is_there_again_after_a_reload_and_drawn(context_of, office, opening):
    system = factories.profile_system(office)
    page = context_of(office).new_page()
    page.goto(of(opening, "doorset"))
    fill(page, profile_system=str(system.pk), fold="5-3-2", opens="out")
    fill(page, frame_width="3590", frame_height="2100")
    glaze(page)
    expect(page.locator("[name=colour_inside] option", has_text="slate")).to_have_count(1)
    fill(page, colour_inside="slate")
    page.reload()
    expect(page.get_by_text("is filled in again")).to_be_visible()
    assert page.locator("[name=fold]").input_value() == "5-3-2"
    expect(leaves_drawn(page)).to_have_count(5)
    assert page.locator("[name=colour_inside]").input_value() == "slate"


def test_a_customer_that_was_added_leaves_no_draft_behind(context_of, office):
    page = context_of(office).new_page()
    page.goto(reverse("add-customer"))
    fill(page, name="Oona Quill", email="oona@example.com")
    page.reload()
    assert page.get_by_label("Name").input_value() == "Oona Quill"
    page.get_by_role("button", name="Add the customer").click()
    page.wait_for_url(re.compile(r"/customers/[0-9a-f-]{36}/"))
    page.goto(reverse("add-customer"))
    assert page.get_by_label("Name").input_value() == ""


def test_a_doorset_is_ordered_and_its_delivery_recorded(context_of, office, opening):
    drafted = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), drafted)
    page = context_of(office).new_page()
    page.goto(of(opening, "order-doorset"))
    page.get_by_label("cannot be altered").check()
    page.get_by_role("button", name="Order this doorset").click()
    page.goto(of(opening, "record-delivery"))
    fill(page, frame_width="3590", frame_height="2100", leaves_counted="5", accepted="yes")
    page.get_by_role("button", name="Record the delivery").click()
    page.wait_for_url(re.compile(r"/jobs/SW-[\d-]+/$"))
    assert drafted.deliveries.get().accepted


def test_every_form_of_the_office_is_sound(context_of, office, opening):
    drafted = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), drafted)
    ordered = factories.ordered_doorset(office, factories.opening(office, opening.job, "Side"))
    factories.delivery(office, ordered, accepted=False, damage="a bent sill")
    customer, reference = opening.job.customer, opening.job.reference
    page = context_of(office).new_page()
    for address in (
        reverse("customer-list"),
        reverse("customer", args=[customer.pk]),
        reverse("add-customer"),
        reverse("change-customer", args=[customer.pk]),
        reverse("add-site", args=[customer.pk]),
        reverse("change-site", args=[customer.pk, opening.job.site_id]),
        reverse("take-on-job", args=[customer.pk]),
        reverse("change-job", args=[reference]),
        reverse("add-opening", args=[reference]),
        of(opening, "change-opening"),
        reverse("profile-system-list"),
        reverse("add-profile-system"),
        reverse("change-profile-system", args=[drafted.profile_system_id]),
        of(opening, "doorset"),
        of(opening, "order-doorset"),
        of(opening, "record-delivery"),
        of(ordered.opening, "record-delivery"),
    ):
        page.goto(address)
        page.wait_for_load_state("networkidle")
        assert_sound_in_every_look(page)


def test_a_doorset_that_cannot_be_drawn_yet_is_told_on_a_sound_page(context_of, office, opening):
    factories.profile_system(office)
    page = context_of(office).new_page()
    page.goto(of(opening, "doorset"))
    fill(page, fold="five")
    expect(page.get_by_text("is not leaves-left-right")).to_be_visible()
    assert_sound_in_every_look(page)
