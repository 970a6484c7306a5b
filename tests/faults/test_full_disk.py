"""The disk is full: nothing is half stored, whoever sent something is told so, and it works again
once there is room."""

import errno
from pathlib import Path
from shutil import copyfileobj
from uuid import uuid4

import pytest
from django.core.files.uploadhandler import TemporaryFileUploadHandler
from django.test import Client

from jobs import storage
from jobs.models import JournalEntry
from reports.models import Document
from reports.services.making import make_document
from surveys.models import Photo
from tests import factories
from tests.api import signed_in
from tests.pictures import picture, upload
from tests.reports.asked import asked_certificate

pytestmark = pytest.mark.django_db
TOLD = "there is no room for more files"


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def survey(office):
    return factories.survey(office, factories.opening(office, factories.job(office)))


@pytest.fixture
def disk(monkeypatch):
    """Has room for so many files; of the next it takes a part."""

    class Disk:
        room_for = 0

        def take(self, content, file) -> None:
            if self.room_for:
                self.room_for -= 1
                copyfileobj(content, file)
                return
            file.write(content.read(100))
            file.flush()
            raise OSError(errno.ENOSPC, "No space left on device")

    disk = Disk()
    monkeypatch.setattr(storage, "copyfileobj", disk.take)
    return disk


def send(client, survey, idempotency_key: str):
    body = {"image": upload(picture()), "id": idempotency_key}
    return client.post(f"/api/v1/surveys/{survey.pk}/photos/", body, format="multipart")


def files_in(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("room_for", [0, 1], ids=["none at all", "for the picture alone"])
def test_a_photo_is_refused_whole_and_kept_once_there_is_room(
    office, survey, disk, settings, room_for
):
    client, idempotency_key, entries = signed_in(office), str(uuid4()), JournalEntry.objects.count()
    disk.room_for = room_for
    refused = send(client, survey, idempotency_key)
    assert refused.status_code == 507
    assert refused["Content-Type"] == "application/problem+json"
    assert TOLD in refused.json()["detail"]
    assert not Photo.objects.exists()
    assert JournalEntry.objects.count() == entries
    assert files_in(settings.MEDIA_ROOT) == []
    disk.room_for = 2
    assert send(client, survey, idempotency_key).status_code == 201
    assert len(files_in(settings.MEDIA_ROOT)) == 2


def test_the_page_says_which_photo_was_not_kept_and_keeps_what_was_typed(office, survey, disk):
    client = Client()
    client.force_login(office)
    opening = survey.opening
    address = f"/jobs/{opening.job.reference}/openings/{opening.number}/photos/"
    sent = {"id": str(uuid4()), "images": [upload(picture())], "caption": "Left jamb, damp"}
    answer = client.post(address, sent)
    assert answer.status_code == 400
    assert TOLD in answer.content.decode()
    assert 'value="Left jamb, damp"' in answer.content.decode()


def test_a_body_that_finds_no_room_while_it_is_read_is_refused_alike(
    office, survey, settings, monkeypatch
):
    def full(handler, chunk, start):
        raise OSError(errno.ENOSPC, "No space left on device")

    settings.FILE_UPLOAD_MAX_MEMORY_SIZE = 10
    monkeypatch.setattr(TemporaryFileUploadHandler, "receive_data_chunk", full)
    refused = send(signed_in(office), survey, str(uuid4()))
    assert refused.status_code == 507
    assert not Photo.objects.exists()


@pytest.mark.usefixtures("short_papers")
def test_a_paper_waits_until_there_is_room(office, disk, settings, time_machine):
    paper = asked_certificate(office, factories.job(office))
    assert make_document(document_id=str(paper.pk)) is None
    waiting = Document.objects.get(pk=paper.pk)
    assert (waiting.rendered_at, waiting.making_attempts) == (None, 1)
    assert TOLD in waiting.failure
    assert files_in(settings.MEDIA_ROOT) == []
    disk.room_for = 1
    assert make_document(document_id=str(paper.pk)) is not None
    assert Document.objects.get(pk=paper.pk).status == "genuine"


def test_another_trouble_of_the_disk_stays_a_fault_and_leaves_nothing(
    office, survey, settings, monkeypatch
):
    def broken(content, file):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(storage, "copyfileobj", broken)
    with pytest.raises(OSError, match="Input/output"):
        send(signed_in(office), survey, str(uuid4()))
    assert files_in(settings.MEDIA_ROOT) == []
