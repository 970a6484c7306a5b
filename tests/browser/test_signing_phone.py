"""A phone that signs what is recorded on it: enrolled, also without a network, and ended."""

import json

import pytest
from playwright.sync_api import expect

from installs.models import Defect, SetAside
from jobs.models import EnrolledKey, JournalEntry
from jobs.services.device_keys import end_key
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.browser.conftest import PHONE

expect.set_options(timeout=20_000)

KEY = """(person) => new Promise((resolve) => {
  const request = indexedDB.open(`sillwright-key-${person}`);
  request.onsuccess = () => {
    const read = request.result.transaction("keys").objectStore("keys").get("own");
    read.onsuccess = () => { request.result.close(); resolve(read.result); };
  };
})"""
EXPORTS = f"""async (person) => {{
  const key = await ({KEY})(person);
  const refused = [];
  for (const format of ["jwk", "pkcs8", "raw"]) {{
    await crypto.subtle.exportKey(format, key.privateKey).catch((why) => refused.push(why.name));
  }}
  return {{ extractable: key.privateKey.extractable, usages: key.privateKey.usages, refused }};
}}"""

CORRECT_ONE_AND_SET_ASIDE_ANOTHER = """async ([person, body]) => {
  const { Queue } = await import("/static/installs/queue.js");
  const queue = new Queue(person);
  const [first, second] = [
    await queue.add("report_defect", crypto.randomUUID(), body),
    await queue.add("report_defect", crypto.randomUUID(), body),
  ];
  await queue.correct(first.id, { ...body, description: "Scratch on the jamb" });
  await queue.setAside(second.id, "no such leaf");
  await queue.send();
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


def enrol(page, password=factories.PASSWORD):
    page.goto("/phones/")
    page.get_by_label("What you call this phone").fill("Work phone")
    page.get_by_label("Your password").fill(password)
    page.get_by_role("button", name="Let this phone sign").click()


def enrolled(page):
    enrol(page)
    expect(page.locator("[data-this-phone]:not([hidden])")).to_have_count(1)


def report_defect(page, fitting, words):
    page.goto(f"/fittings/{fitting.pk}/defects/")
    write_defect(page, words)


def write_defect(page, words):
    form = page.locator("form[data-operation=report_defect]")
    form.locator("[name=severity]").select_option("minor")
    form.locator("[name=description]").fill(words)
    form.locator(".actions button").last.click()
    expect(page.locator("form[inert]")).to_have_count(0)


def signature_of(defect) -> dict | None:
    entry = JournalEntry.objects.filter(record_id=defect.pk).earliest("number")
    return json.loads(entry.text)["signature"]


def test_an_enrolled_phone_signs_without_a_network_and_the_journal_says_so(
    page, fitter, fitting, context_of
):
    enrolled(page)
    page.goto(f"/fittings/{fitting.pk}/defects/")
    page.context.set_offline(True)
    write_defect(page, "Scratch on the sill")
    expect(page.locator(".sheet-state")).to_contain_text("1 waiting")
    page.context.set_offline(False)
    page.goto("/queue/")
    expect(page.locator(".sheet-state")).to_contain_text("all sent")
    defect = Defect.objects.get()
    assert signature_of(defect)["thumbprint"] == EnrolledKey.objects.get().thumbprint
    assert list(find_flaws()) == []
    office = context_of(factories.person("office")).new_page()
    office.goto(f"/jobs/{fitting.job.reference}/journal/")
    entry = office.locator(".journal li", has_text="Defect found").first
    expect(entry).to_contain_text("signed by the phone “Work phone”")


def test_nobody_gets_the_private_key_out_of_the_phone(page, fitter):
    enrolled(page)
    exported = page.evaluate(EXPORTS, str(fitter.pk))
    assert exported == {
        "extractable": False,
        "usages": ["sign"],
        "refused": ["InvalidAccessError"] * 3,
    }


def test_a_wrong_password_enrols_nothing_and_the_phone_signs_nothing(page, fitting):
    enrol(page, password="not mine")
    expect(page.get_by_text("this is not your password")).to_be_visible()
    report_defect(page, fitting, "Scratch on the sill")
    page.goto("/queue/")
    expect(page.locator(".sheet-state")).to_contain_text("all sent")
    assert not EnrolledKey.objects.exists()
    assert signature_of(Defect.objects.get()) is None


def test_what_is_corrected_or_set_aside_is_signed_anew(page, fitter, fitting):
    enrolled(page)
    page.goto("/queue/")
    body = {
        "installation": str(fitting.pk),
        "severity": "minor",
        "description": "Scratch on the sill",
    }
    page.evaluate(CORRECT_ONE_AND_SET_ASIDE_ANOTHER, [str(fitter.pk), body])
    defect, kept = Defect.objects.get(), SetAside.objects.get()
    assert (defect.description, kept.reason) == ("Scratch on the jamb", "no such leaf")
    assert signature_of(defect) is not None
    assert signature_of(kept) is not None
    assert list(find_flaws()) == []


def test_a_phone_whose_signatures_the_office_ended_stops_signing(page, fitter, fitting):
    enrolled(page)
    office = factories.person("office")
    end_key(actor=office, key=EnrolledKey.objects.get(), expected_version=1, because="lost")
    report_defect(page, fitting, "Scratch on the sill")
    page.goto("/queue/")
    expect(page.locator(".sheet-state")).to_contain_text("all sent")
    assert signature_of(Defect.objects.get()) is None
    assert page.evaluate(KEY, str(fitter.pk)) is None
    enrolled(page)
    assert EnrolledKey.objects.not_ended().count() == 1
