"""A fitter's day on a phone: from the visit over the sheet to the keys."""

import re

import pytest
from playwright.sync_api import expect

from tests import factories
from tests.browser.conftest import DESK, PHONE
from tests.browser.pages import assert_sound_in_every_look
from tests.pictures import picture


@pytest.fixture
def office(transactional_db):
    return factories.person("office")


@pytest.fixture
def fitter(office):
    return factories.person("fitter")


@pytest.fixture
def job(office):
    site = factories.site(office, access_notes="Side gate; park at the church, the lane is narrow.")
    return factories.job(office, site=site)


@pytest.fixture
def installation(office, fitter, job):
    """With a visit that is today."""
    planned = factories.installation(office, fitter, job)
    factories.visit_about_now(office, job, "return", fitter)
    return planned


@pytest.fixture
def gauge(office):
    return factories.instrument(
        office, name="Gap gauge", kind="gauge", expanded_uncertainty=0.2, coverage_factor=2
    )


@pytest.fixture
def half_fitted(fitter, installation, gauge):
    """Something of everything: states of every kind, a doubtful step, a defect with a photo."""
    factories.fitted(fitter, installation, until="glass_in")
    for junction, head in enumerate([4, 4.5, 6.5, 4]):
        factories.gap(fitter, installation, junction, head_gap=head, instrument=gauge)
    factories.sash(fitter, installation, 1, rising_diagonal=2091, falling_diagonal=2087)
    factories.sash(fitter, installation, 2, brace_set=False)
    factories.fixing(fitter, installation, member="head", position=1000, kind="foam_only")
    factories.inspection(fitter, installation.steps.get(code="bow"), left_jamb_middle=9)
    doubtful = {"rising": 4161.7, "falling": 4160}
    factories.inspection(fitter, installation.steps.get(code="diagonals"), **doubtful)
    return installation


def pages_of(installation) -> list[str]:
    sheet = f"/fittings/{installation.pk}/"
    defect = installation.defects.order_by("created_at").first()
    parts = ["", "steps/1/", "steps/8/", "steps/10/", "steps/27/", "steps/33/", "steps/36/"]
    parts += ["junctions/1/", "junctions/2/", "sashes/1/", "sashes/3/", "members/left/"]
    parts += ["gaps/", "beads/", "phases/setting/", "phases/fixing/", "phases/glazing/"]
    parts += ["members/head/", "defects/", f"defects/{defect.pk}/"]
    handover = f"/jobs/{installation.job.reference}/handover/"
    return ["/today/", *(sheet + part for part in parts), handover]


def test_every_page_is_sound(context_of, fitter, half_fitted):
    page = context_of(fitter).new_page()
    for address in pages_of(half_fitted):
        page.goto(address)
        assert_sound_in_every_look(page)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_every_part_of_the_map_can_be_hit_with_a_thumb(context_of, fitter, half_fitted, size):
    page = context_of(fitter, size).new_page()
    page.goto(f"/fittings/{half_fitted.pk}/")
    boxes = [link.bounding_box() for link in page.locator(".map a").all()]
    assert len(boxes) > 30
    assert min(min(box["width"], box["height"]) for box in boxes) >= 47.9
    centres = [(b["x"] + b["width"] / 2, b["y"] + b["height"] / 2) for b in boxes]
    nearest = min(
        max(abs(a[0] - b[0]), abs(a[1] - b[1]))
        for number, a in enumerate(centres)
        for b in centres[:number]
    )
    assert nearest >= 40


def test_the_map_is_walked_and_opened_with_the_keyboard(context_of, fitter, installation):
    page = context_of(fitter).new_page()
    page.goto(f"/fittings/{installation.pk}/")
    page.locator(".map").focus()
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name=re.compile("Sash 1"))).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Sash 1")).to_be_visible()


def test_from_today_to_a_step_with_its_readings(context_of, office, fitter, installation):
    factories.fitted(fitter, installation, until="diagonals")
    tape = factories.instrument(office)
    page = context_of(fitter, PHONE).new_page()
    page.goto("/today/")
    expect(page.get_by_text("park at the church").first).to_be_visible()
    page.get_by_role("link", name="Fitting sheet").first.click()
    page.get_by_role("link", name="Record step 10").click()
    page.get_by_label("Read with").select_option(str(tape.pk))
    page.get_by_label("Rising").fill("4160.5")
    page.get_by_label("Falling").fill("4160")
    page.get_by_role("button", name="Record this step").click()
    expect(page.locator(".outcome")).to_contain_text("In order")
    expect(page.get_by_text(re.compile("with a probability of"))).to_be_visible()


def test_what_is_wrong_with_a_reading_is_shown_beside_it(context_of, office, fitter, installation):
    factories.fitted(fitter, installation, until="diagonals")
    tape = factories.instrument(office)
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/fittings/{installation.pk}/steps/10/")
    page.get_by_label("Read with").select_option(str(tape.pk))
    page.get_by_label("Rising").fill("4.16")
    page.get_by_label("Falling").fill("4160")
    page.get_by_role("button", name="Record this step").click()
    expect(page.locator(".error")).to_contain_text("looks like metres")
    expect(page.get_by_label("Rising")).to_have_value("4.16")


def test_gaps_turn_into_what_to_turn_at_once(context_of, fitter, installation, gauge):
    factories.fitted(fitter, installation, until="running_gear")
    # The carrier at junction 2 hangs 1.8 mm low, and half of that is seen at either side of it.
    for junction, low in ((0, 0), (1, 0.9), (3, 0.9), (4, 0), (5, 0)):
        gaps = {"head_gap": 4 + low, "sill_gap": 4 - low}
        factories.gap(fitter, installation, junction, instrument=gauge, **gaps)
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/fittings/{installation.pk}/")
    page.get_by_role("link", name=re.compile("Junction 2: gaps not read")).click()
    page.get_by_label("Gap at the head").fill("5.8")
    page.get_by_label("Gap at the sill").fill("2.2")
    page.get_by_label("Read with").select_option(str(gauge.pk))
    page.get_by_role("button", name="Record these gaps").click()
    advice = page.locator(".turns li", has_text="Junction 2")
    expect(advice).to_contain_text("1.8 turns")
    expect(advice).to_contain_text("up")
    page.get_by_text("Record turns at the carrier here").click()
    expect(page.get_by_label(re.compile("Turns made"))).to_have_value("1.8")
    page.get_by_role("button", name="Record these turns").click()
    expect(page.get_by_text(re.compile("1.80 turns, 1.80 mm"))).to_be_visible()


def test_a_defect_gets_its_photo(context_of, fitter, installation):
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/fittings/{installation.pk}/defects/")
    page.get_by_label("What is not in order").fill("Scratch on leaf 2")
    page.get_by_label("Severity").select_option("minor")
    page.get_by_role("button", name="Report this defect").click()
    page.get_by_role("link", name="Scratch on leaf 2").click()
    page.get_by_text("Add a photo").click()
    image = {"name": "site.jpg", "mimeType": "image/jpeg", "buffer": picture(size=(720, 480))}
    page.get_by_label("Photo", exact=True).set_input_files(image)
    page.get_by_label("Caption").fill("Leaf 2, middle")
    page.get_by_role("button", name="Save the photo").click()
    drawing = page.get_by_role("img", name="Leaf 2, middle")
    expect(drawing).to_be_visible()
    width = "async image => { await image.decode(); return image.naturalWidth }"
    assert drawing.evaluate(width) == 480


def test_the_customer_signs_on_glass(context_of, fitter, installation):
    factories.fitted(fitter, installation)
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/jobs/{installation.job.reference}/handover/")
    page.get_by_label(re.compile("demonstrated how to open")).check()
    page.get_by_label(re.compile("explained its care")).check()
    page.get_by_label(re.compile("Keys of opening 1")).fill("3")
    page.get_by_label(re.compile("Name of whoever")).fill("Oona Quill")
    expect(page.get_by_text("signs on paper")).to_be_hidden()
    draw(page, [(0.2, 0.5), (0.4, 0.2), (0.6, 0.7)])
    page.get_by_role("button", name="Clear the signature").click()
    draw(page, [(0.1, 0.5), (0.3, 0.3), (0.5, 0.6)])
    draw(page, [(0.6, 0.4), (0.8, 0.6)])
    page.get_by_role("button", name="Hand over").click()
    expect(page.get_by_text("on record, drawn on the screen")).to_be_visible()
    strokes = installation.job.handovers.get().signature
    assert len(strokes) == 2
    assert all(0 <= x <= 600 and 0 <= y <= 200 for stroke in strokes for x, y in stroke)


def draw(page, places) -> None:
    """A stroke on the pad through places that are shares of its width and height."""
    pad = page.locator("svg.pad")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    at = [(box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in places]
    page.mouse.move(*at[0])
    page.mouse.down()
    for x, y in at[1:]:
        page.mouse.move(x, y, steps=4)
    page.mouse.up()


TARGETS = (
    "main button, main select, main textarea, main a.button, main a.second, main a.target, "
    "main summary, main .choices label, main .field.box label, "
    "main input:not([type=radio]):not([type=checkbox]):not([type=hidden])"
)


def test_what_is_touched_on_a_sheet_is_large_enough_for_gloves(context_of, fitter, half_fitted):
    page = context_of(fitter, PHONE).new_page()
    for part in ("", "gaps/", "beads/", "phases/glazing/", "members/head/", "defects/"):
        page.goto(f"/fittings/{half_fitted.pk}/{part}")
        boxes = [target.bounding_box() for target in page.locator(TARGETS).all()]
        heights = [box["height"] for box in boxes if box and box["height"]]
        assert len(heights) > 5
        assert min(heights) >= 47.9, part


def test_a_drawing_wider_than_the_phone_is_shown_whole_and_moved_by_a_tap(
    context_of, fitter, half_fitted
):
    page = context_of(fitter, PHONE).new_page()
    page.goto(f"/fittings/{half_fitted.pk}/members/head/")
    whole, drawing = page.locator(".drawing-overview"), page.locator(".elevation.close")
    box = whole.bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]
    assert drawing.evaluate("region => region.scrollLeft") == 0
    whole.click(position={"x": box["width"] - 5, "y": box["height"] / 2})
    moved = "region => region.scrollLeft + region.clientWidth >= region.scrollWidth - 2"
    assert drawing.evaluate(moved)
    page.set_viewport_size({"width": 1280, "height": 900})
    expect(whole).to_be_hidden()
