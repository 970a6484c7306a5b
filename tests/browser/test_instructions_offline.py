"""What the maker of the profiles gives is on a fitter's phone before it loses its network."""

from playwright.sync_api import expect

from tests import factories, pdfs
from tests.browser.conftest import PHONE
from tests.browser.test_offline import SAVED_AHEAD

READ = """async (address) => {
  const bytes = new Uint8Array(await (await fetch(address)).arrayBuffer());
  return Array.from(bytes);
}"""


def test_a_document_and_a_picture_of_the_maker_open_without_a_network(context_of, transactional_db):
    office, fitter = factories.person("office"), factories.person("fitter")
    job = factories.job(office)
    fitting = factories.installation(office, fitter, job)
    factories.visit_about_now(office, job, "return", fitter)
    system, content = fitting.doorset.profile_system, pdfs.plain_pdf()
    factories.maker_instruction(office, system, content, title="Head track")
    picture = factories.maker_instruction(office, system, title="Screws", phase="fixing")
    page = context_of(fitter, PHONE, saves_pages=True).new_page()
    page.goto("/today/")
    expect(page.locator(".sheet-state")).to_contain_text(SAVED_AHEAD, timeout=90_000)
    page.context.set_offline(True)
    page.goto(f"/fittings/{fitting.pk}/")
    page.get_by_text("From the maker of the profiles (2)").click()
    document = page.get_by_role("link", name="Head track").get_attribute("href")
    assert bytes(page.evaluate(READ, document)) == content
    page.goto(f"/fittings/{fitting.pk}/phases/fixing/")
    drawing = page.get_by_role("link", name="Screws").get_attribute("href")
    assert bytes(page.evaluate(READ, drawing)) == picture.file.read()
