"""What the maker of the profiles gives to fitters: taken in by the office, shown at the doorset."""

import hashlib
from io import BytesIO
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from fixtures_demo.maker import instruction_of
from installs.models import MakerInstruction
from jobs.services.record_check import contradicting_records
from tests import factories, pdfs
from tests.api import pointers, signed_in
from tests.jobs.office_forms import error_beside, html_of
from tests.journal import types_written_by
from tests.pictures import heic, opened, picture, picture_from_a_phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def system(installation):
    return installation.doorset.profile_system


@pytest.fixture
def api(office):
    return signed_in(office)


def send(api, system, content, **said):
    body = {"file": SimpleUploadedFile("<b>.exe", content), "title": "Head track", **said}
    address = f"/api/v1/profile-systems/{system.pk}/instructions/"
    return api.post(address, body, format="multipart")


def stored(answer) -> MakerInstruction:
    assert answer.status_code == 201, answer.content
    return MakerInstruction.objects.get(pk=answer.json()["id"])


def test_a_pdf_is_kept_as_it_is_under_the_name_of_its_content(api, system):
    content = pdfs.plain_pdf()
    paper = stored(send(api, system, content, phase="fixing"))
    assert paper.file.read() == content
    assert Path(paper.file.name).name == f"{hashlib.sha256(content).hexdigest()}.pdf"
    assert (paper.phase, paper.size, paper.media_type) == (
        "fixing",
        len(content),
        "application/pdf",
    )


@pytest.mark.parametrize("content", [picture(), picture("PNG")], ids=["jpeg", "png"])
def test_a_picture_is_kept_as_jpeg(api, system, content):
    paper = stored(send(api, system, content))
    assert opened(paper.file.read()).format == "JPEG"
    assert paper.media_type == "image/jpeg"


def test_where_a_picture_was_taken_is_not_kept(api, system):
    assert b"Secret" not in stored(send(api, system, picture_from_a_phone())).file.read()


def test_what_the_papers_of_this_service_are_drawn_with_makes_a_pdf_that_is_taken(api, system):
    assert stored(send(api, system, instruction_of("Example 70"))).is_pdf


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"MZ a program", "neither a PDF nor a picture; give PDF, PNG or JPEG"),
        (heic(), "neither a PDF nor a picture"),
        (pdfs.plain_pdf()[:-40], "it was cut off on the way"),
        (b"%PDF-1.7 and nothing\n%%EOF", "damaged"),
        (pdfs.written(pdfs.pages(0)), "no page"),
        (pdfs.locked(), "locked by a password"),
        (pdfs.with_a_script(), "has a script"),
        (pdfs.with_a_file_inside(), "has another file inside"),
        (pdfs.with_an_action("/Launch"), "opens another file or program"),
        (pdfs.with_an_action("/SubmitForm"), "sends or fetches data"),
        (picture()[:-300], "damaged or not complete"),
    ],
)
def test_what_no_phone_should_open_is_refused_with_why(api, system, settings, content, why):
    answer = send(api, system, content)
    assert pointers(answer) == ["/file"]
    assert why in answer.json()["errors"][0]["detail"]
    assert not MakerInstruction.objects.exists()
    assert not list(Path(settings.MEDIA_ROOT).glob("instructions/**/*.*"))


def test_what_is_said_of_it_is_checked(api, system):
    answer = send(api, system, pdfs.plain_pdf(), title="x" * 121, phase="lunch")
    assert pointers(answer) == ["/title", "/phase"]
    assert pointers(send(api, system, pdfs.plain_pdf(), note="hello")) == ["/note"]


def test_one_file_and_all_of_a_system_have_a_largest_size(api, system, office, settings):
    content = pdfs.plain_pdf()
    settings.INSTRUCTION_LARGEST_SIZE = len(content) - 1
    assert "too large" in send(api, system, content).json()["errors"][0]["detail"]
    settings.INSTRUCTION_LARGEST_SIZE = settings.INSTRUCTIONS_LARGEST_TOTAL = len(content)
    first = stored(send(api, system, content))
    refused = send(api, system, pdfs.written(pdfs.pages()))
    assert pointers(refused) == ["/file"]
    assert "withdraw what is superseded" in refused.json()["errors"][0]["detail"]
    assert withdraw(api, first).status_code == 200
    stored(send(api, system, pdfs.written(pdfs.pages())))


def test_the_same_file_is_there_once_and_a_repeat_is_harmless(api, system):
    said = {"id": str(uuid4())}
    assert send(api, system, picture(), **said).status_code == 201
    assert send(api, system, picture(), **said).status_code == 200
    assert send(api, system, picture(colour="navy"), **said).status_code == 409
    again = send(api, system, picture(), title="Another")
    assert "there already, as Head track" in again.json()["errors"][0]["detail"]
    assert MakerInstruction.objects.count() == 1


def withdraw(api, paper):
    address = f"/api/v1/maker-instructions/{paper.pk}/withdraw/"
    return api.post(address, HTTP_IF_MATCH=f'"{paper.version}"')


def test_it_is_in_the_journal_and_compared_with_it(api, system):
    written = types_written_by(lambda: withdraw(api, stored(send(api, system, picture()))))
    assert written == ["instruction.added", "instruction.withdrawn"]
    assert not list(contradicting_records())
    paper = MakerInstruction.objects.get()
    Path(paper.file.path).write_bytes(pdfs.with_a_script())
    assert str(paper.pk) in str(list(contradicting_records()))


def test_what_is_withdrawn_stays_on_record_and_is_shown_to_no_fitter(
    api, office, installation, fitter, client
):
    paper = factories.maker_instruction(office, installation.doorset.profile_system)
    client.force_login(fitter)
    sheet = reverse("fitting", args=[installation.pk])
    address = reverse("open-maker-instruction", args=[paper.pk])
    assert address in html_of(client.get(sheet))
    assert withdraw(api, paper).json()["withdrawn_at"]
    assert address not in html_of(client.get(sheet))
    assert client.get(address).status_code == 404
    assert api.get(f"/api/v1/maker-instructions/{paper.pk}/file/").status_code == 200
    paper.refresh_from_db()
    assert withdraw(api, paper).status_code == 409


def test_a_fitter_finds_it_at_the_doorsets_of_its_system_and_the_steps_of_its_phase(
    office, fitter, installation, system, client
):
    papers = {
        phase: factories.maker_instruction(
            office, system, picture(colour=colour), title=f"Of {phase}", phase=phase
        )
        for phase, colour in (("", "teal"), ("fixing", "navy"), ("glazing", "plum"))
    }
    elsewhere = factories.maker_instruction(office, factories.profile_system(office))
    client.force_login(fitter)
    addresses = {p: reverse("open-maker-instruction", args=[i.pk]) for p, i in papers.items()}
    sheet = html_of(client.get(reverse("fitting", args=[installation.pk])))
    assert all(address in sheet for address in addresses.values())
    assert str(elsewhere.pk) not in sheet
    step = installation.steps.filter(phase="fixing").first()
    for page in (
        reverse("fitting-step", args=[installation.pk, step.number]),
        reverse("fitting-phase", args=[installation.pk, "fixing"]),
    ):
        html = html_of(client.get(page))
        assert [p for p, address in addresses.items() if address in html] == ["fixing"]
    listed = signed_in(fitter).get("/api/v1/maker-instructions/?phase=glazing").json()["results"]
    assert [row["title"] for row in listed] == ["Of glazing"]
    assert client.get(reverse("open-maker-instruction", args=[elsewhere.pk])).status_code == 404


@pytest.mark.parametrize(
    ("content", "media_type", "way"),
    [
        (pdfs.plain_pdf(), "application/pdf", "attachment"),
        (picture(), "image/jpeg", "inline"),
    ],
)
def test_it_is_sent_as_what_it_is(api, system, content, media_type, way):
    paper = stored(send(api, system, content, title="Écrous & <b>"))
    answer = api.get(f"/api/v1/maker-instructions/{paper.pk}/file/")
    assert answer["Content-Type"] == media_type
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer["Content-Disposition"].startswith(f'{way}; filename="ecrous-b.')
    assert len(b"".join(answer.streaming_content)) == paper.size


def test_the_address_for_phones_says_whose_phone_may_keep_it(office, fitter, system, client):
    paper = factories.maker_instruction(office, system)
    client.force_login(fitter)
    answer = client.get(reverse("open-maker-instruction", args=[paper.pk]))
    assert answer["Sillwright-Person"] == str(fitter.pk)


class TestOnThePagesOfTheOffice:
    @pytest.fixture
    def address(self, client, office, system):
        client.force_login(office)
        return reverse("maker-instructions", args=[system.pk])

    def form(self, content, **said):
        file = BytesIO(content)
        file.name = "track.pdf"
        return {"id": str(uuid4()), "file": file, "title": "Track", "phase": ""} | said

    def test_a_file_is_added_and_listed(self, client, address, system):
        assert "None yet" in html_of(client.get(address))
        assert client.post(address, self.form(pdfs.plain_pdf())).status_code == 302
        html = html_of(client.get(address))
        assert "Track is saved." in html
        assert "PDF, 0.1 MB" in html
        assert address in html_of(client.get(reverse("profile-system-list")))
        change = reverse("change-profile-system", args=[system.pk])
        assert address in html_of(client.get(change))

    def test_what_is_refused_is_told_beside_its_field_and_the_words_stay(self, client, address):
        page = html_of(client.post(address, self.form(pdfs.with_a_script())), 400)
        assert "has a script" in error_beside(page, "file")
        assert 'value="Track"' in page
        page = html_of(client.post(address, self.form(pdfs.plain_pdf(), title="")), 400)
        assert error_beside(page, "title")

    def test_one_is_withdrawn_from_the_version_that_was_shown(
        self, client, address, office, system
    ):
        paper = factories.maker_instruction(office, system)
        away = reverse("withdraw-maker-instruction", args=[paper.pk])
        sent = {"id": str(uuid4()), "version": "7"}
        assert "has changed this" in html_of(client.post(away, sent, follow=True))
        page = html_of(client.post(away, sent | {"version": "1"}, follow=True))
        assert "is withdrawn: fitters are not shown it any more" in page
        assert "<h2>Withdrawn</h2>" in page
