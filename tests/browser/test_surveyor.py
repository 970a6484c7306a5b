"""A surveyor with a phone at an opening, in a real browser."""

import pytest
from playwright.sync_api import Page, expect

from jobs.idempotency import IdempotencyKey
from surveys.models import Survey
from surveys.services.photos import add_photo
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound_in_every_look
from tests.pictures import picture


@pytest.fixture
def office(transactional_db):
    return factories.person("office")


@pytest.fixture
def surveyor(office):
    return factories.person("surveyor")


@pytest.fixture
def opening(office, surveyor):
    """With a drafted doorset, and a survey visit of the surveyor."""
    opening = factories.opening(office, factories.job(office))
    factories.visit(office, opening.job, "survey", surveyor)
    factories.doorset(office, opening)
    factories.instrument(office)
    factories.instrument(office, name="Laser", **factories.LASER)
    return opening


def address(opening, page: str = "survey/") -> str:
    return f"/jobs/{opening.job.reference}/openings/{opening.number}/{page}"


def fill_in(page: Page, **values: str) -> None:
    """The sound opening of the factories, as it would be typed."""
    typed = {f"widths_{n}": "3612" for n in range(3)}
    typed |= {f"heights_{n}": "2115" for n in range(3)}
    typed |= {"diagonals_rising": "4186", "diagonals_falling": "4186", "outside_drop": "150"}
    typed |= {f"sill_levels_{n}": "0" for n in range(3)}
    typed |= {f"plumb_left_{n}": str(n) for n in range(2)}
    open_all(page)
    for name, value in (typed | values).items():
        page.locator(f"#id_{name}").fill(value)
    for name, choice in CHOSEN.items():
        page.locator(f"#id_{name}").select_option(choice)
    page.get_by_label("Sizes read with").select_option(index=1)
    page.get_by_label("Levels and plumb read with").select_option(index=1)


def open_all(page: Page) -> None:
    """What is asked only where it is wanted, too."""
    page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")


def lay_off_and_square(page: Page) -> None:
    """Straight sides and a square reveal, with the tape: a laser reads no gap."""
    open_all(page)
    page.locator("#id_gap_instrument").select_option(index=1)
    for side in ("left", "right", "head", "sill"):
        page.locator(f"#id_straightedge_{side}_0").fill("0")
        for end in range(2):
            page.locator(f"#id_splay_{side}_{end}").fill("0")


CHOSEN = {
    "asbestos_suspected": "no",
    "built": "from_2000",
    "lintel_seen": "yes",
    "damp_proof_course": "ok",
    "measured_to": "structural",
    "substrate_left": "brick",
    "substrate_right": "brick",
    "substrate_head": "steel",
    "substrate_sill": "concrete",
}


def save(page: Page) -> None:
    page.get_by_role("button", name="Save and see the result").click()


def test_a_surveyor_measures_an_opening_on_a_phone_and_sees_the_verdict(
    context_of, surveyor, opening
):
    page = context_of(surveyor, PHONE).new_page()
    page.goto(address(opening))
    fill_in(page)
    save(page)
    expect(page.get_by_text("The readings agree with each other")).to_be_visible()
    # Other tools see a bulge between the widths and a splayed reveal, so these are asked for.
    page.get_by_role("link", name="Hold the square at the reveal").click()
    lay_off_and_square(page)
    save(page)
    expect(page.get_by_text("the probability that it fits is")).to_be_visible()
    expect(page.get_by_role("img", name="Opening seen from outside with a frame")).to_be_visible()
    page.get_by_role("button", name="Record this decision").click()
    expect(page.get_by_text("This decision is recorded")).to_be_visible()


def test_a_swapped_digit_is_pointed_at_and_read_again(context_of, surveyor, opening):
    page = context_of(surveyor, PHONE).new_page()
    page.goto(address(opening))
    fill_in(page, diagonals_rising="4816")
    save(page)
    # It is said at its field at once; who is sure of it has it kept, and judged.
    expect(page.locator("#id_diagonals_rising")).to_have_attribute("aria-invalid", "true")
    page.get_by_label("I looked again").check()
    save(page)
    expect(page.get_by_text("The readings contradict each other")).to_be_visible()
    expect(page.locator('[data-mark="diagonals.rising"]')).to_be_visible()
    expect(page.get_by_text("Two digits swapped would make it 4186 mm")).to_be_visible()
    page.get_by_role("link", name="Read this one again").first.click()
    again = page.locator("#id_diagonals_rising")
    expect(again).to_have_value("4816")
    again.fill("4186")
    save(page)
    expect(page.get_by_text("The readings agree with each other")).to_be_visible()
    assert Survey.objects.count() == 2


def test_the_line_of_the_field_in_hand_is_lit_and_a_touched_line_goes_to_its_field(
    context_of, surveyor, opening
):
    page = context_of(surveyor, PHONE).new_page()
    page.goto(address(opening))
    page.locator("#id_heights_1").focus()
    expect(page.locator('[data-mark="heights.1"]')).to_contain_class("now")
    page.locator('[data-mark="widths.0"] text').click()
    expect(page.locator("#id_widths_0")).to_be_focused()
    expect(page.locator('[data-mark="heights.1"]')).not_to_contain_class("now")


def test_readings_that_were_not_sent_are_there_again_and_gone_once_they_are(
    context_of, surveyor, opening
):
    page = context_of(surveyor, PHONE).new_page()
    page.goto(address(opening))
    page.locator("#id_widths_0").fill("3612")
    page.reload()
    expect(page.locator("#id_widths_0")).to_have_value("3612")
    fill_in(page)
    save(page)
    expect(page.get_by_role("heading", name="Result")).to_be_visible()
    page.goto(address(opening))
    expect(page.locator("#id_widths_0")).to_have_value("")


def test_the_form_is_sound_empty_and_refused(context_of, surveyor, opening):
    page = context_of(surveyor).new_page()
    page.goto(address(opening))
    assert_sound_in_every_look(page)
    page.get_by_text("More about the place").click()
    page.locator("#id_widths_0").fill("3.6")
    save(page)
    expect(page.get_by_text("looks like metres")).to_be_visible()
    assert_sound_in_every_look(page)


def test_what_a_survey_says_is_sound(context_of, office, opening):
    sound = factories.survey(office, opening)
    wrong = factories.survey(office, opening, readings=factories.contradictory_readings())
    page = context_of(office).new_page()
    for survey in (sound, wrong):
        page.goto(address(opening, f"surveys/{survey.pk}/"))
        assert_sound_in_every_look(page)


def test_photos_and_instruments_are_sound(context_of, office, opening):
    survey = factories.survey(office, opening)
    page = context_of(office).new_page()
    add_photo(
        actor=office,
        idempotency_key=IdempotencyKey(),
        survey=survey,
        content=picture(),
        caption="Left jamb",
    )
    instrument = survey.instrument
    for place in (
        address(opening, "photos/"),
        "/instruments/",
        "/instruments/new/",
        f"/instruments/{instrument.pk}/",
    ):
        page.goto(place)
        assert_sound_in_every_look(page)
    bare = factories.opening(office, opening.job)
    for place in (address(bare, "photos/"), address(bare)):
        page.goto(place)
        assert_sound_in_every_look(page)
