"""The fitting pack is on a fitter's phone before it loses its network."""

from playwright.sync_api import expect

from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.test_offline import SAVED_AHEAD
from tests.reports.asked import asked_certificate

PDF = b"%PDF-1.7 a pack that was issued"
READ = """async (address) => {
  const response = await fetch(address);
  return [response.status, await response.text()];
}"""


def test_the_pack_opens_without_a_network(context_of, transactional_db):
    office, fitter = factories.person("office"), factories.person("fitter")
    job = factories.job(office)
    fitting = factories.installation(office, fitter, job)
    factories.visit_about_now(office, job, "return", fitter)
    pack = asked_certificate(office, job, Document.Kind.FITTING_PACK)
    store_paper(document=pack, pdf=PDF)
    page = context_of(fitter, PHONE, saves_pages=True).new_page()
    page.goto("/today/")
    expect(page.locator(".sheet-state")).to_contain_text(SAVED_AHEAD, timeout=90_000)
    page.context.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/")
    link = page.get_by_role("link", name="Fitting pack, edition 1 (PDF)")
    assert page.evaluate(READ, link.get_attribute("href")) == [200, PDF.decode()]


def test_the_sheet_names_no_pack_while_there_is_none(client, db):
    office, fitter = factories.person("office"), factories.person("fitter")
    fitting = factories.installation(office, fitter, factories.job(office))
    client.force_login(fitter)
    assert "pack.pdf" not in client.get(f"/fittings/{fitting.pk}/").content.decode()
    assert client.get(f"/fittings/{fitting.pk}/pack.pdf").status_code == 404
