"""A survey where there is no signal: measured, photographed and kept; slips are said at once."""

import random
from dataclasses import asdict

import pytest
from playwright.sync_api import expect

from installs.models import Installation, SyncOperation
from surveys.arithmetic.plausibility import Thresholds, doubts
from surveys.models import Photo, Survey
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound_in_every_look
from tests.browser.test_surveyor import CHOSEN, address
from tests.pictures import picture

# The machine that runs this may be slow.
expect.set_options(timeout=20_000)


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
    return opening


def state(page):
    return page.locator(".sheet-state")


def measure(page, **values):
    """Eight sizes, what decides on the day, and the tape: all that a survey asks at first."""
    typed = {f"widths_{n}": "3612" for n in range(3)} | {f"heights_{n}": "2115" for n in range(3)}
    typed |= {"diagonals_rising": "4186", "diagonals_falling": "4186", "outside_drop": "150"}
    for name, value in (typed | values).items():
        page.locator(f"#id_{name}").fill(value)
    for name, choice in CHOSEN.items():
        page.locator(f"#id_{name}").select_option(choice)
    page.get_by_label("Sizes read with").select_option(index=1)


def save(page):
    page.get_by_role("button", name="Save and see the result").click()
    expect(page.locator("form[inert]")).to_have_count(0)


def today_is_saved(page):
    page.goto("/today/")
    expect(state(page)).to_contain_text("saved for when there is no network")


def test_a_survey_with_its_photos_is_made_without_a_network_and_arrives_once(
    context_of, surveyor, opening
):
    phone = context_of(surveyor, PHONE, saves_pages=True)
    page = phone.new_page()
    today_is_saved(page)
    phone.set_offline(True)
    page.goto("/today/")
    page.get_by_role("link", name="Survey this opening").click()
    measure(page, widths_1="3612,5")
    page.get_by_label("Photos of the opening").set_input_files(
        {"name": "opening.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    save(page)
    expect(state(page)).to_contain_text("2 waiting")
    assert not Survey.objects.exists()
    phone.set_offline(False)
    expect(page.get_by_role("heading", name="Result")).to_be_visible()
    survey = Survey.objects.get()
    assert survey.taken_at == SyncOperation.objects.get().recorded_at
    assert sorted(r.value for r in survey.readings.filter(quantity="width"))[-1] == 3612.5
    assert Photo.objects.get().survey == survey
    # Only what the answer asks for is asked for then, by itself.
    page.get_by_role("link", name="Hold the square at the reveal").click()
    expect(page.get_by_role("heading", name="Read this now")).to_be_visible()
    expect(page.locator("#id_splay_left_0")).to_be_visible()
    expect(page.locator("#id_widths_0")).to_be_hidden()
    assert_sound_in_every_look(page)


def test_slips_are_said_at_their_fields_without_a_network_and_nothing_is_queued(
    context_of, surveyor, opening
):
    phone = context_of(surveyor, PHONE, saves_pages=True)
    page = phone.new_page()
    today_is_saved(page)
    phone.set_offline(True)
    page.goto(address(opening, "survey/first/"))
    measure(page, widths_0="3.612", heights_1="211.5", widths_2="3162", diagonals_falling="")
    save(page)
    for name, said in {
        "widths_0": "this looks like metres; in mm it is 3612",
        "heights_1": "this looks like centimetres; in mm it is 2115",
        "widths_2": "by the others it is about",
        "diagonals_falling": "fill this in",
    }.items():
        field = page.locator(f"#id_{name}")
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(page.locator(".slot", has=field)).to_contain_text(said)
    expect(state(page)).to_contain_text("all sent")
    # The list at the top leads to each of them.
    page.locator("[role=alert]").get_by_role("link", name="Height in the middle").click()
    expect(page.locator("#id_heights_1")).to_be_focused()

    # Who looked again and read the same says so.
    measure(page, widths_2="3562")
    save(page)
    page.get_by_label("I looked again").check()
    save(page)
    expect(state(page)).to_contain_text("1 waiting")


def test_a_refused_survey_comes_back_to_its_fields_and_goes_in_its_place(
    context_of, surveyor, opening
):
    """The visit it names was cancelled; another was booked meanwhile."""
    phone = context_of(surveyor, PHONE)
    page = phone.new_page()
    page.goto(address(opening, "survey/first/"))
    phone.route("**/api/v1/sync/", lambda route: route.abort())
    measure(page, outside_drop="150")
    page.locator("summary", has_text="More about the place").click()
    page.get_by_label("Right-angled corners").fill("900 by 1000")
    save(page)
    expect(state(page)).to_contain_text("1 waiting")
    phone.unroute("**/api/v1/sync/")
    page.goto("/today/")
    expect(state(page)).to_contain_text("1 to decide")
    page.goto(address(opening, "survey/first/"))
    corners = page.get_by_label("Right-angled corners")
    expect(corners).to_have_attribute("aria-invalid", "true")
    expect(corners).to_have_value("900 by 1000")
    expect(page.locator("#id_widths_0")).to_have_value("3612")
    corners.fill("900 x 1000")
    save(page)
    expect(page.get_by_role("heading", name="Result")).to_be_visible()
    (corner,) = Survey.objects.get().conditions["way_in"]["corners"]
    assert corner == {"before": 900, "after": 1000}
    assert SyncOperation.objects.count() == 1


def test_a_fitter_measures_again_and_asks_for_the_plan_without_a_network(context_of, office):
    fitter = factories.person("fitter")
    opening = factories.opening(office, factories.job(office))
    doorset = factories.ordered_doorset(office, opening)
    factories.delivery(office, doorset)
    factories.visit(office, opening.job, "fitting", fitter)
    phone = context_of(fitter, PHONE, saves_pages=True)
    page = phone.new_page()
    today_is_saved(page)
    phone.set_offline(True)
    page.goto("/today/")
    page.get_by_role("link", name="Measure it again").click()
    # The first survey stands beside the fields, and what cannot have changed is not asked again.
    expect(page.get_by_text("read before: 3612").first).to_be_visible()
    expect(page.locator("#id_substrate_left")).to_be_hidden()
    expect(page.get_by_text("Left jamb is of: Brick")).to_be_visible()
    for name in ("widths_0", "widths_1", "widths_2"):
        page.locator(f"#id_{name}").fill("3612")
    for name in ("heights_0", "heights_1", "heights_2"):
        page.locator(f"#id_{name}").fill("2115")
    for name in ("diagonals_rising", "diagonals_falling"):
        page.locator(f"#id_{name}").fill("4186")
    for name, choice in {"asbestos_suspected": "no", "built": "from_2000"}.items():
        page.locator(f"#id_{name}").select_option(choice)
    page.get_by_label("Sizes read with").select_option(index=1)
    save(page)
    expect(state(page)).to_contain_text("1 waiting")
    page.goto("/today/")
    page.get_by_role("link", name="Plan this fitting").click()
    expect(page.get_by_text("leave the old door in until the plan is here")).to_be_visible()
    page.get_by_role("button", name="Plan it as soon as nothing is in the way").click()
    expect(state(page)).to_contain_text("2 waiting")
    phone.set_offline(False)
    # Sizes alone do not settle it: the refusal says at the plan which reading would.
    expect(state(page)).to_contain_text("1 to decide")
    assert Survey.objects.filter(stage="before_removal").count() == 1
    assert not Installation.objects.exists()
    unsent = page.locator(".unsent").first
    expect(unsent).to_contain_text("leave the old door in")
    expect(unsent).to_contain_text("straightedge")
    assert_sound_in_every_look(page)


CASES = 3000


def test_the_phone_doubts_what_the_service_doubts(context_of, surveyor, opening):
    page = context_of(surveyor, PHONE).new_page()
    page.goto(address(opening, "survey/first/"))
    cases = [drawn(random.Random(number)) for number in range(CASES)]
    told = page.evaluate(
        """async ([cases, thresholds]) => {
          const { doubts } = await import("/static/surveys/plausibility.js");
          return cases.map(([sizes, diagonals]) => doubts(sizes, diagonals, thresholds));
        }""",
        [cases, asdict(Thresholds())],
    )
    kinds = set()
    for (sizes, diagonals), by_the_phone in zip(cases, told, strict=True):
        own = [asdict(doubt) for doubt in doubts(sizes, diagonals, Thresholds())]
        assert [(d["reading"], d["kind"]) for d in own] == [
            (d["reading"], d["kind"]) for d in by_the_phone
        ]
        assert [d["about"] for d in own] == pytest.approx([d["about"] for d in by_the_phone])
        kinds |= {doubt["kind"] for doubt in own}
    assert kinds == {"metres", "centimetres", "impossible", "missing", "few", "off"}


def drawn(chance):
    """An opening with slips: a unit, a digit, a reading left out."""

    def slip(value):
        how = chance.random()
        if how < 0.1:
            return None
        value += chance.gauss(0, 8)
        if how < 0.2:
            return value / chance.choice((10, 1000, 100))
        return value + chance.choice((0, 0, 0, 100, -45, 30_000)) if how < 0.4 else value

    width, height = chance.uniform(700, 6000), chance.uniform(1900, 2600)
    sizes = {"widths": [slip(width) for _ in range(3)], "heights": [slip(height) for _ in range(3)]}
    diagonal = (width**2 + height**2) ** 0.5
    return sizes, {"rising": slip(diagonal), "falling": slip(diagonal)}
