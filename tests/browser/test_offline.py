"""A fitter's phone where there is no network: every record arrives once, and in its order."""

from typing import Any

import pytest
from playwright.sync_api import expect

from installs.models import CarrierLift, Defect, JunctionGap, SetAside, SitePhoto
from installs.services import defects
from jobs.idempotency import IdempotencyKey
from surveys.models import Instrument
from tests import factories
from tests.api import signed_in
from tests.browser.conftest import PHONE, sign_in
from tests.browser.pages import assert_sound, assert_sound_in_every_look
from tests.installs.queue_sending import send
from tests.pictures import picture

# The machine that runs this may be slow.
expect.set_options(timeout=20_000)

SAVED_AHEAD = "your visits are saved for when there is no network"
SAVED_ADDRESSES = """async () => (await (await caches.open("sillwright-pages")).keys())
  .map((request) => new URL(request.url).pathname)"""

# Until the page is left, what it sends arrives and no answer comes back. Done in the page, as a
# request that a service worker has looked at cannot be held up from outside.
LOSE_ANSWERS = """() => {
  const ask = window.fetch;
  window.fetch = async (...asked) => {
    await ask(...asked);
    throw new TypeError("the network is gone");
  };
}"""

# Two changes of one record from one page, with nothing sent in between: their base versions.
CHANGE_TWICE = """async () => {
  const { Queue } = await import("/static/installs/queue.js");
  const queue = new Queue("nobody-who-is-signed-in");
  const record = crypto.randomUUID();
  for (const how of ["polished", "polished again"])
    await queue.change("put_defect_right", record, 3, { how });
  return (await queue.store.all()).map(({ operation }) => operation.base_version);
}"""


@pytest.fixture(autouse=True)
def _bare_pages(settings):
    settings.ROOT_URLCONF = "tests.browser.sheet_pages"


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
def glazed(office, fitting):
    """The leaves hang; the gaps of the running gear are to be read."""
    return factories.fitted(office, fitting, until="running_gear")


@pytest.fixture
def phone(context_of, fitter):
    return context_of(fitter, PHONE, saves_pages=True)


@pytest.fixture
def page(phone, fitting):
    """Today was opened with a network, and everything that it leads to is saved."""
    page = phone.new_page()
    page.goto("/today/")
    expect(state(page)).to_contain_text(SAVED_AHEAD)
    return page


def state(page):
    return page.locator(".sheet-state")


def read_gaps(page, head, sill):
    page.get_by_label("Gap at the head").fill(head)
    page.get_by_label("Gap at the sill").fill(sill)
    page.get_by_role("button", name="Record these gaps").click()


def turn(page, turns):
    page.get_by_label("Turns made").fill(turns)
    page.get_by_role("button", name="Record these turns").click()


def report(page, description, severity="minor"):
    page.get_by_label("What is wrong").fill(description)
    page.get_by_label("Severity").select_option(severity)
    page.get_by_role("button", name="Report it").click()
    expect(page.locator("form[inert]")).to_have_count(0)


# -- with a network ---------------------------------------------------------------------------


def test_a_change_is_based_on_the_one_that_waits_before_it(page):
    assert page.evaluate(CHANGE_TWICE) == [3, 4]


def test_what_is_recorded_with_a_network_is_on_the_page_at_once(page, glazed):
    page.goto(f"/fittings/{glazed.pk}/junctions/2/")
    read_gaps(page, "4.2", "3,9")
    expect(page.get_by_label("On record")).to_contain_text("4.2 and 3.9")
    expect(state(page)).to_contain_text("all sent")
    assert JunctionGap.objects.get().recorded_at is not None


def test_a_refusal_is_shown_beside_its_field_and_is_corrected_in_its_place(page, glazed):
    page.goto(f"/fittings/{glazed.pk}/junctions/2/")
    turn(page, "19")
    turns = page.get_by_label("Turns made")
    expect(turns).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field.wrong .error")).to_contain_text("is too far")
    expect(state(page)).to_contain_text("1 to decide")
    assert turns.input_value() == "19"
    assert_sound(page)
    turn(page, "1")
    expect(state(page)).to_contain_text("all sent")
    assert CarrierLift.objects.get().turns == 1


def test_what_cannot_be_meant_is_said_beside_its_field_and_never_queued(phone, page, glazed):
    page.goto(f"/fittings/{glazed.pk}/junctions/2/")
    expect(state(page)).to_contain_text("all sent")
    phone.set_offline(True)
    read_gaps(page, "42", "444")
    expect(page.get_by_label("Gap at the sill")).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field.wrong .error")).to_contain_text("give 0 to 50 mm")
    expect(state(page)).not_to_contain_text("waiting")


def test_what_is_typed_into_another_form_is_not_taken_by_showing_the_page_anew(page, glazed):
    page.goto(f"/fittings/{glazed.pk}/junctions/2/")
    page.get_by_label("Turns made").fill("0.5")
    read_gaps(page, "4", "4")
    expect(state(page)).to_contain_text("all sent")
    assert page.get_by_label("Turns made").input_value() == "0.5"


def test_the_browser_sends_just_what_the_endpoint_takes_of_any_client(page, fitter, glazed):
    page.goto(f"/fittings/{glazed.pk}/junctions/2/")
    with page.expect_response("**/api/v1/sync/") as answer:
        read_gaps(page, "4.2", "3,9")
    (operation,) = answer.value.request.post_data_json["operations"]
    names = ["after", "also_after", "base_version", "body", "id", "kind", "made_at", "record"]
    assert sorted(operation) == names
    assert operation["body"] == {
        "installation": str(glazed.pk),
        "junction": 2,
        "instrument": str(Instrument.objects.filter(kind=Instrument.Kind.TAPE).first().pk),
        "head_gap": 4.2,
        "sill_gap": 3.9,
    }
    (again,) = send(signed_in(fitter), operation)
    assert again["result"] == "already_applied"


# -- without one ------------------------------------------------------------------------------


def test_a_whole_cycle_of_gaps_is_recorded_in_a_cellar_and_arrives_once_in_its_order(
    phone, page, glazed
):
    phone.set_offline(True)
    for junction in (1, 2):
        page.goto(f"/fittings/{glazed.pk}/junctions/{junction}/")
        read_gaps(page, "5", "3")
        expect(page.locator(".unsent").first).to_contain_text("Gap at the head: 5 mm")
    turn(page, "1")
    expect(state(page)).to_contain_text("3 waiting")
    page.reload()
    expect(page.locator(".unsent").first).to_contain_text("Gap at the head: 5 mm")
    expect(state(page)).to_contain_text("no network, page as it was at")
    read_gaps(page, "4.1", "3.9")
    expect(state(page)).to_contain_text("4 waiting")
    assert not JunctionGap.objects.exists()

    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    gaps = JunctionGap.objects.order_by("created_at").values_list("junction", "head_gap")
    assert list(gaps) == [(1, 5), (2, 5), (2, 4.1)]
    (lift,) = CarrierLift.objects.all()
    _, before, after = JunctionGap.objects.order_by("created_at")
    in_order: list[Any] = [before, lift, after]
    assert sorted(in_order, key=lambda record: record.created_at) == in_order
    assert sorted(in_order, key=lambda record: str(record.recorded_at)) == in_order
    page.reload()
    expect(page.get_by_label("On record")).to_contain_text("4.1 and 3.9")
    assert JunctionGap.objects.count() == 3


def test_an_answer_that_was_lost_is_asked_for_again_and_nothing_is_stored_twice(page, fitting):
    page.goto(f"/fittings/{fitting.pk}/defects/")
    page.evaluate(LOSE_ANSWERS)
    report(page, "Scratch on a bead")
    expect(page.locator(".unsent")).to_contain_text("no answer yet")
    page.goto("/queue/")
    expect(page.get_by_text("Sent from this phone")).to_be_visible()
    assert Defect.objects.count() == 1


def test_pages_of_todays_fittings_are_saved_and_others_say_that_they_are_not(phone, page, fitting):
    phone.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/")
    page.get_by_role("link", name="Junction 3").click()
    expect(page.get_by_role("heading", name="Junction 3")).to_be_visible()
    page.goto("/jobs/")
    expect(page.get_by_role("heading", name="There is no network here")).to_be_visible()
    page.get_by_role("link", name="Records on this phone").click()
    expect(page.get_by_text("Nothing is waiting.")).to_be_visible()


def test_a_photo_follows_the_defect_that_it_shows(phone, page, fitting, tmp_path):
    (tmp_path / "bead.jpg").write_bytes(picture())
    phone.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/defects/")
    page.get_by_label("Photo").set_input_files(tmp_path / "bead.jpg")
    report(page, "Scratch on a bead")
    expect(state(page)).to_contain_text("2 waiting")
    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    assert SitePhoto.objects.get().defect == Defect.objects.get()


def test_the_api_is_never_saved(page):
    page.evaluate("fetch('/api/v1/installations/')")
    saved = page.evaluate(SAVED_ADDRESSES)
    assert [address for address in saved if address.startswith("/api/")] == []


def test_what_is_waiting_is_changed_or_set_aside_before_it_is_sent(phone, page, fitting):
    phone.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/defects/")
    report(page, "Scrach")
    report(page, "Dent")
    page.goto("/queue/")
    page.locator("summary").first.click()
    page.locator("details[open]").get_by_label("What is wrong").fill("Scratch")
    page.locator("details[open]").get_by_role("button").click()
    expect(page.get_by_text("What is wrong: Scratch")).to_be_visible()
    page.get_by_role("button", name="Set it aside").last.click()
    phone.set_offline(False)
    expect(state(page)).to_contain_text("all sent")
    assert Defect.objects.get().description == "Scratch"
    assert SetAside.objects.get().body["description"] == "Dent"


# -- what needs a decision --------------------------------------------------------------------


def test_what_is_refused_holds_nothing_else_up_and_is_corrected_in_the_queue(phone, page, fitting):
    phone.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/defects/")
    report(page, "Scratch", severity="cosmetic")
    report(page, "Dent")
    expect(state(page)).to_contain_text("2 waiting")
    phone.set_offline(False)
    expect(state(page)).to_contain_text("1 to decide")
    expect(state(page)).not_to_contain_text("waiting")
    assert Defect.objects.get().description == "Dent"
    page.goto("/queue/")
    page.locator("summary").first.click()
    page.locator("details[open]").get_by_label("Severity").select_option("minor")
    page.locator("details[open]").get_by_role("button", name="Correct it").click()
    expect(state(page)).to_contain_text("all sent")
    described = Defect.objects.order_by("created_at").values_list("description", "severity")
    assert list(described) == [("Dent", "minor"), ("Scratch", "minor")]


@pytest.fixture
def conflict(phone, page, fitting, office, fitter):
    """A defect that is put right on the phone, and by the office meanwhile."""
    defect = defects.record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=fitting,
        severity="minor",
        description="Loose bead",
    )
    page.goto(f"/fittings/{fitting.pk}/defects/")
    phone.set_offline(True)
    page.get_by_label("How it was put right").fill("bead glued")
    page.get_by_role("button", name="It is right").click()
    expect(state(page)).to_contain_text("1 waiting")
    right = {"actor": office, "defect": defect}
    defects.put_right(**right, expected_version=1, how="bead replaced")
    defects.reinspect(**right, expected_version=2, accepted=False, note="still loose")
    phone.set_offline(False)
    expect(state(page)).to_contain_text("1 to decide")
    page.goto("/queue/")
    return defect


def test_a_conflict_shows_both_and_mine_may_be_applied_after_all(page, conflict):
    both = page.get_by_role("table")
    expect(both).to_contain_text("bead glued")
    expect(both).to_contain_text("still loose")
    page.locator("summary").click()
    page.get_by_role("button", name="Apply my change").click()
    expect(state(page)).to_contain_text("all sent")
    conflict.refresh_from_db()
    assert conflict.put_right_how == "bead glued"


def test_a_conflict_may_be_left_as_the_other_person_made_it(page, conflict):
    page.get_by_role("button", name="Keep the other version").click()
    expect(state(page)).to_contain_text("all sent")
    conflict.refresh_from_db()
    assert conflict.reinspection_note == "still loose"


# -- whose queue it is ------------------------------------------------------------------------


@pytest.fixture
def unsent(phone, page, fitting):
    """One defect waits, as the server cannot be reached although there is a network."""
    phone.route("**/api/v1/sync/", lambda route: route.abort())
    page.goto(f"/fittings/{fitting.pk}/defects/")
    report(page, "Scratch on a bead")
    expect(state(page)).to_contain_text("1 waiting")
    return page


def test_signing_out_warns_of_what_was_not_sent_and_sends_it(phone, unsent):
    unsent.get_by_role("button", name="Sign out").click()
    warning = unsent.get_by_role("dialog")
    expect(warning).to_contain_text("Records not sent: 1")
    assert_sound(unsent)
    phone.unroute("**/api/v1/sync/")
    warning.get_by_role("button", name="Send now").click()
    unsent.wait_for_url("**/sign-in/**")
    assert Defect.objects.count() == 1


def test_signing_out_deletes_the_pages_and_nothing_that_is_unsent(unsent):
    unsent.get_by_role("button", name="Sign out").click()
    unsent.get_by_role("button", name="Stay signed in").click()
    expect(state(unsent)).to_contain_text("1 waiting")
    unsent.get_by_role("button", name="Sign out").click()
    unsent.get_by_role("button", name="Sign out and leave them here").click()
    unsent.wait_for_url("**/sign-in/**")
    names = unsent.evaluate("async () => (await indexedDB.databases()).map(({ name }) => name)")
    assert [name for name in names if name.startswith("sillwright-queue-")]
    assert [
        path for path in unsent.evaluate(SAVED_ADDRESSES) if path.startswith("/fittings/")
    ] == []


def test_another_person_on_the_same_phone_neither_sees_nor_sends_it(phone, unsent, fitter):
    phone.unroute("**/api/v1/sync/")
    phone.clear_cookies()
    other = factories.person("fitter")
    sign_in(phone, other)
    theirs = phone.new_page()
    theirs.goto("/queue/")
    expect(theirs.get_by_text("Nothing is waiting.")).to_be_visible()
    # The page of the first one is still open, and tries to send in the session of the second.
    unsent.evaluate("document.dispatchEvent(new Event('queue:send'))")
    expect(state(unsent)).to_contain_text("sign in as yourself to send")
    assert not Defect.objects.exists()
    phone.clear_cookies()
    sign_in(phone, fitter)
    theirs.goto("/queue/")
    expect(theirs.get_by_text("Sent from this phone")).to_be_visible()
    assert Defect.objects.count() == 1


def test_pages_of_one_person_are_never_shown_to_the_next(phone, page, fitting):
    phone.clear_cookies()
    sign_in(phone, factories.person("fitter"))
    theirs = phone.new_page()
    theirs.goto("/today/")
    theirs.wait_for_timeout(500)
    phone.set_offline(True)
    theirs.goto(f"/fittings/{fitting.pk}/defects/")
    expect(theirs.get_by_role("heading", name="There is no network here")).to_be_visible()


# -- the pages themselves ---------------------------------------------------------------------


def test_the_queue_is_sound_with_everything_in_it(context_of, fitter, fitting):
    context = context_of(fitter, saves_pages=True)
    page = context.new_page()
    page.goto(f"/fittings/{fitting.pk}/defects/")
    report(page, "Dent in a stile")
    page.goto(f"/fittings/{fitting.pk}/defects/")
    report(page, "Scratch on the glass of leaf 2", severity="cosmetic")
    expect(state(page)).to_contain_text("1 to decide")
    page.goto("/queue/")
    expect(page.get_by_role("heading", name="Needs a decision")).to_be_visible()
    assert_sound_in_every_look(page)
    page.goto("/offline/")
    assert_sound_in_every_look(page)


def test_it_can_be_put_on_the_home_screen(page):
    manifest = page.evaluate("async () => (await fetch('/app.webmanifest')).json()")
    assert manifest["start_url"] == "/today/"
    assert manifest["display"] == "standalone"
    sizes = page.evaluate(
        """(icons) => Promise.all(icons.map(async ({ src }) => {
          const image = new Image();
          image.src = src;
          await image.decode();
          return image.naturalWidth;
        }))""",
        manifest["icons"][1:3],
    )
    assert sizes == [192, 512]
