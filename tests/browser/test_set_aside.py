"""Nothing that was read or photographed is lost: what cannot be taken is kept, and says so where it
was recorded."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from installs.models import Inspection, JunctionGap, SetAside, SitePhoto
from tests import factories
from tests.browser.conftest import PHONE, sign_in
from tests.browser.pages import assert_sound_in_every_look
from tests.browser.test_offline_queue import A_DAY_AHEAD, open_step, record_step, state
from tests.pictures import picture

expect.set_options(timeout=20_000)


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
def page(context_of, fitter):
    return context_of(fitter, PHONE).new_page()


def cut(page):
    """The server cannot be reached until the answer is called."""
    page.context.route("**/api/v1/**", lambda route: route.abort())
    return lambda: page.context.unroute("**/api/v1/**")


def photograph(page, name="sill.jpg", content=None):
    form = page.locator("form[data-photos]").first
    page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")
    form.locator("input[type=file]").set_input_files(
        {"name": name, "mimeType": "image/jpeg", "buffer": content or picture()}
    )
    form.get_by_role("button", name="Save the photo").click()
    expect(page.locator("form[inert]")).to_have_count(0)


def test_a_reading_with_a_tape_that_is_out_of_calibration_is_kept_and_read_again(
    page, office, fitter, fitting
):
    """The page was opened while the tape was good; the phone says so once it has a network."""
    step = fitting.steps.get(code="diagonals")
    factories.fitted(fitter, fitting, until=step.code)
    today = timezone.localdate()
    tape = factories.instrument(office, name="Old tape", calibration_due=today)
    back = cut(page)
    record_step(page, step, rising=2000, falling=2000)
    expect(state(page)).to_contain_text("1 waiting")
    type(tape).objects.filter(pk=tape.pk).update(calibration_due=today - timedelta(days=1))
    factories.instrument(office, name="Good tape")
    back()
    page.goto("/today/")
    expect(state(page)).to_contain_text("1 to read again")
    kept = SetAside.objects.get()
    assert (kept.kind, kept.job, len(kept.body["readings"])) == ("inspect_step", fitting.job, 2)
    assert not Inspection.objects.filter(step=step).exists()

    # It is said at the step, with what to read again with; a reading there settles it.
    open_step(page, step)
    said = page.locator(".unsent").first
    expect(said).to_contain_text("the calibration of Old tape")
    expect(said).to_contain_text("read again with one of these: Good tape")
    page.goto("/queue/")
    expect(page.get_by_role("heading", name="Set aside: to be read again")).to_be_visible()
    assert_sound_in_every_look(page)
    record_step(page, step, rising=2000, falling=2000)
    expect(state(page)).to_contain_text("all sent")
    assert Inspection.objects.get(step=step).instrument.name == "Good tape"


def test_a_photo_that_was_refused_is_set_aside_and_the_office_has_it(page, fitter, fitting):
    """Too small to show anything, say."""
    open_step(page, fitting.steps.get(number=1))
    photograph(page, content=picture(size=(200, 200)))
    page.goto("/queue/")
    expect(state(page)).to_contain_text("1 to decide")
    assert not SitePhoto.objects.exists()
    assert page.get_by_role("button", name="Delete").count() == 0
    page.get_by_role("button", name="Set it aside").click()
    expect(state(page)).to_contain_text("all sent")
    kept = SetAside.objects.get()
    assert (kept.kind, kept.job, kept.person) == ("photo", fitting.job, fitter)
    assert "show too little" in kept.reason
    assert kept.image.size > 0


def test_a_file_that_the_server_cannot_take_stays_until_it_is_saved_or_given_up_in_words(
    page, fitting, tmp_path
):
    open_step(page, fitting.steps.get(number=1))
    photograph(page, "one.jpg", b"%PDF-1.7 one")
    photograph(page, "two.jpg", b"%PDF-1.7 two")
    page.goto("/queue/")
    for _ in range(2):
        page.get_by_role("button", name="Set it aside").first.click()
        expect(state(page)).to_contain_text("2 to decide")
    expect(page.get_by_role("button", name="Set it aside")).to_have_count(0)
    assert_sound_in_every_look(page)

    # One is saved elsewhere, whole, before it can be taken off the phone.
    first = page.locator("li", has_text="one.jpg")
    expect(first.get_by_role("button", name="It is saved")).to_be_hidden()
    with page.expect_download() as saving:
        first.get_by_role("link", name="Save the file elsewhere").click()
    saving.value.save_as(tmp_path / "one.jpg")
    assert Path(tmp_path / "one.jpg").read_bytes() == b"%PDF-1.7 one"
    first.get_by_role("button", name="It is saved").click()
    expect(state(page)).to_contain_text("1 to decide")
    # The other goes with a reason, which the office reads.
    page.get_by_text("Or say why it may go", exact=True).click()
    page.get_by_label("Why it may go").fill("A drawing, no photo")
    page.get_by_role("button", name="Let it go").click()
    expect(state(page)).to_contain_text("all sent")
    reasons = [kept.reason for kept in SetAside.objects.order_by("created_at")]
    assert "Saved elsewhere" in reasons[0]
    assert "A drawing, no photo" in reasons[1]
    assert {kept.job for kept in SetAside.objects.all()} == {fitting.job}


def test_a_photo_under_a_wrong_clock_is_put_right(page, fitting):
    page.add_init_script(f"({A_DAY_AHEAD})()")
    open_step(page, fitting.steps.get(number=1))
    photograph(page)
    expect(state(page)).to_contain_text("all sent")
    photo = SitePhoto.objects.get()
    assert photo.made_at
    assert photo.recorded_at
    assert photo.made_at - photo.recorded_at > timedelta(hours=23)
    assert abs(photo.created_at - photo.recorded_at) < timedelta(minutes=2)


def test_whoever_signs_out_leaves_unsent_records_on_the_phone_and_sends_them_later(
    page, fitter, fitting
):
    factories.fitted(fitter, fitting, until="running_gear")
    factories.instrument(fitter)
    back = cut(page)
    page.goto(f"/fittings/{fitting.pk}/junctions/1/")
    page.get_by_label("Gap at the head").fill("4")
    page.get_by_label("Gap at the sill").fill("4")
    page.get_by_label("Read with").select_option(index=1)
    page.get_by_role("button", name="Record these gaps").click()
    expect(state(page)).to_contain_text("1 waiting")
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Sign out and leave them here").click()
    page.wait_for_url("**/sign-in/**")
    back()
    assert not JunctionGap.objects.exists()
    sign_in(page.context, fitter)
    page.goto("/queue/")
    expect(state(page)).to_contain_text("all sent")
    assert JunctionGap.objects.get().junction == 1
