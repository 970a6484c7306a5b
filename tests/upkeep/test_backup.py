"""An installation as one file, and back again into an empty one."""

import gzip
import hashlib
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from rest_framework.test import APIClient

from fixtures_demo.server import PROJECT_DIR
from installs.models import SitePhoto
from jobs.idempotency import IdempotencyKey
from jobs.models import Customer, JournalEntry
from jobs.services.journal_check import find_flaws
from reports.models import Document
from reports.services.documents import issue_certificate
from tests import factories
from tests.reports.fitted import handed_over_job
from upkeep.backup import encryption
from upkeep.backup.backing_up import back_up
from upkeep.backup.encryption import NONCE_SIZE, PIECE_SIZE
from upkeep.backup.refusals import BackupRefused, DamagedArchive
from upkeep.backup.restoring import restore
from upkeep.backup.rows import models_in_order

pytestmark = pytest.mark.django_db(transaction=True)
# What this run is set to is not what a restored installation is set to.
OWN_SETTINGS = ("DATABASE_URL", "REDIS_URL", "CELERY_BROKER_URL", "EMAIL_URL", "SECRET_KEY")


@pytest.fixture(autouse=True)
def _own_data_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()


@pytest.fixture
def certificate(office, short_papers) -> Document:
    """Of a job with photos that was handed over; drawn, signed and mailed."""
    job = handed_over_job(office, factories.person("fitter"))
    asked = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    return Document.objects.get(pk=asked.pk)


@pytest.fixture
def archive(tmp_path) -> Path:
    return tmp_path / "archive.tar.gz"


def manage(folder: Path, *arguments: str) -> subprocess.CompletedProcess:
    """A command of another installation, embedded, with everything of its own in a folder."""
    env = {name: value for name, value in os.environ.items() if name not in OWN_SETTINGS}
    env |= {"SILLWRIGHT_DATA_DIR": str(folder), "BACKUP_PASSPHRASE": ""}
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        env=env,
        cwd=PROJECT_DIR,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def other(tmp_path) -> Path:
    """The folder of an installation that is migrated and holds nothing."""
    folder = tmp_path / "other"
    done = manage(folder, "migrate", "-v", "0")
    assert done.returncode == 0, done.stderr
    return folder


def names_in(path: Path) -> list[str]:
    with tarfile.open(path) as parts:
        return parts.getnames()


def empty_this_one() -> None:
    call_command("flush", interactive=False, verbosity=0)
    for folder in ("papers", "photos"):
        if default_storage.exists(folder):
            shutil.rmtree(default_storage.path(folder))


def rows_of(path: Path) -> dict[str, list[str]]:
    with tarfile.open(path) as parts:
        return {
            name: sorted(parts.extractfile(name).read().decode().splitlines())
            for name in parts.getnames()
            if name.startswith("rows/")
        }


def test_everything_comes_back_in_another_installation_and_from_there_again(
    certificate, archive, other, tmp_path
):
    call_command("back_up", str(archive), verbosity=0)
    done = manage(other, "restore", str(archive))
    assert done.returncode == 0, done.stderr
    assert "The journal holds, and every paper and photo" in done.stdout
    paper = (other / "files" / certificate.file.name).read_bytes()
    assert hashlib.sha256(paper).hexdigest() == certificate.sha256
    assert SitePhoto.objects.count() > 0
    for photo in SitePhoto.objects.all():
        assert (other / "files" / photo.image.name).exists()
        assert (other / "files" / photo.thumbnail.name).exists()

    # Whatever database they went through, rows are the same.
    assert manage(other, "back_up", str(tmp_path / "again.tar.gz")).returncode == 0
    assert rows_of(tmp_path / "again.tar.gz") == rows_of(archive)
    empty_this_one()
    restore(tmp_path / "again.tar.gz", passphrase="", with_keys=False)
    assert list(find_flaws()) == []
    client = APIClient()
    told = client.get(f"/api/v1/verifications/{certificate.verification_code}/").json()
    assert (told["status"], told["sha256"]) == ("genuine", certificate.sha256)


def test_work_goes_on_where_it_was_left(office, archive):
    job = factories.job(office)
    back_up(archive, passphrase="", with_keys=False)
    empty_this_one()
    restore(archive, passphrase="", with_keys=False)
    factories.opening(office, job)
    assert JournalEntry.objects.filter(stream=job.journal_stream).count() == 2
    assert list(find_flaws()) == []


def test_an_installation_that_holds_anything_is_left_alone(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    before = Document.objects.count()
    with pytest.raises(BackupRefused, match="in use: it holds"):
        restore(archive, passphrase="", with_keys=False)
    assert Document.objects.count() == before


def test_a_flipped_byte_is_found_wherever_it_is(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    whole = archive.read_bytes()
    empty_this_one()
    # published: RFC 1952, the first ten bytes say how and when it was packed
    for place in range(10, len(whole), len(whole) // 40):
        flipped = bytearray(whole)
        flipped[place] ^= 4
        archive.write_bytes(flipped)
        try:
            restore(archive, passphrase="", with_keys=False)
        except DamagedArchive:
            assert not Customer.objects.exists()
        else:
            # published: RFC 1951 3.2.4, some bits between blocks say nothing
            assert gzip.decompress(flipped) == gzip.decompress(whole)
            empty_this_one()


def test_a_changed_row_is_found_though_the_file_is_packed_anew(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    name = Customer.objects.get().name.encode()
    unpacked = gzip.decompress(archive.read_bytes())
    assert name in unpacked
    archive.write_bytes(gzip.compress(unpacked.replace(name, name[::-1])))
    empty_this_one()
    with pytest.raises(DamagedArchive, match=r"jobs\.customer"):
        restore(archive, passphrase="", with_keys=False)


def test_an_archive_that_was_cut_off_is_found(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    archive.write_bytes(archive.read_bytes()[:-9])
    with pytest.raises(CommandError, match="Nothing was restored"):
        call_command("restore", str(archive))


def test_a_passphrase_locks_an_archive_and_opens_it(issued, archive, monkeypatch):
    customer = Customer.objects.get()
    monkeypatch.setenv("BACKUP_PASSPHRASE", "three wet larks")
    call_command("back_up", str(archive))
    # published: RFC 7914 2, the cost N is a power of 2; N = 2^17 with r = 8 is the least that the
    # OWASP Password Storage Cheat Sheet asks of scrypt at p = 1 (from memory)
    assert re.match(rb"age-encryption\.org/v1\n-> scrypt \S{22} 17\n", archive.read_bytes())
    assert archive.stat().st_mode & 0o777 == 0o600
    empty_this_one()
    for given, refusal in (
        ("", "set BACKUP_PASSPHRASE"),
        ("three dry larks", "the passphrase is another one"),
    ):
        monkeypatch.setenv("BACKUP_PASSPHRASE", given)
        with pytest.raises(CommandError, match=refusal):
            call_command("restore", str(archive))
    assert not Customer.objects.exists()
    monkeypatch.setenv("BACKUP_PASSPHRASE", "three wet larks")
    call_command("restore", str(archive))
    assert Customer.objects.get().name == customer.name


def test_a_locked_archive_can_be_neither_changed_nor_cut_nor_rearranged(
    issued, archive, monkeypatch
):
    # A guess is slow on purpose; what is checked does not depend on it.
    monkeypatch.setattr(encryption, "SCRYPT_LOG_N", 10)
    default_storage.delete(issued.file.name)
    default_storage.save(issued.file.name, io.BytesIO(os.urandom(3 * PIECE_SIZE)))
    back_up(archive, passphrase="three wet larks", with_keys=False)
    whole = archive.read_bytes()
    piece = PIECE_SIZE + 16
    start = whole.index(b"\n", whole.index(b"\n--- ") + 1) + 1 + NONCE_SIZE
    header, first, second, rest = (
        whole[:start],
        whole[start:][:piece],
        whole[start + piece :][:piece],
        whole[start + 2 * piece :],
    )
    for broken in (
        header + second + first + rest,
        header + first + rest,
        header + first + second,
        header[:-1] + bytes([header[-1] ^ 1]) + first + second + rest,
        header + first + bytes([second[0] ^ 1]) + second[1:] + rest,
        whole + b"\0",
        header,
    ):
        archive.write_bytes(broken)
        with pytest.raises(DamagedArchive):
            restore(archive, passphrase="three wet larks", with_keys=False)


def test_a_missing_file_is_told_of_when_backing_up_and_when_restoring(issued, archive, capsys):
    default_storage.delete(issued.file.name)
    call_command("back_up", str(archive))
    assert issued.file.name in capsys.readouterr().err
    empty_this_one()
    with pytest.raises(CommandError, match="does not hold in 1 place"):
        call_command("restore", str(archive))
    place = f"reports.document {issued.pk}, file.sha256: entry"
    complaint = capsys.readouterr().err
    assert place in complaint
    assert "and there is nothing" in complaint


def test_a_paper_that_was_exchanged_before_the_backup_is_found_after_it(issued, archive, capsys):
    default_storage.delete(issued.file.name)
    default_storage.save(issued.file.name, io.BytesIO(b"%PDF-1.7 another paper"))
    call_command("back_up", str(archive))
    empty_this_one()
    with pytest.raises(CommandError):
        call_command("restore", str(archive))
    assert f"reports.document {issued.pk}, file.sha256: entry" in capsys.readouterr().err


def test_a_journal_that_was_tampered_with_before_the_backup_is_found_after_it(
    issued, archive, capsys
):
    entry = JournalEntry.objects.filter(stream=issued.journal_stream).latest("number")
    JournalEntry.objects.filter(pk=entry.pk).update(type="nothing.done")
    call_command("back_up", str(archive))
    empty_this_one()
    with pytest.raises(CommandError):
        call_command("restore", str(archive))
    assert f"{entry.stream_id}, entry {entry.number}" in capsys.readouterr().err


def test_no_other_file_is_written_over(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    empty_this_one()
    default_storage.save(issued.file.name, io.BytesIO(b"somebody else's"))
    with pytest.raises(BackupRefused, match="another file is in the place of"):
        restore(archive, passphrase="", with_keys=False)
    assert not Document.objects.exists()


def test_an_archive_of_another_release_is_refused_and_names_the_difference(issued, archive):
    back_up(archive, passphrase="", with_keys=False)
    unpacked = gzip.decompress(archive.read_bytes())
    archive.write_bytes(gzip.compress(unpacked.replace(b"jobs.0001_initial", b"jobs.0001_initiam")))
    empty_this_one()
    with pytest.raises(BackupRefused, match=r"lacks jobs\.0001_initiam"):
        restore(archive, passphrase="", with_keys=False)


def test_keys_are_in_an_archive_only_where_asked_for(issued, archive, tmp_path, settings):
    (settings.DATA_DIR / "signing_key.p12").write_bytes(b"a signing key")
    back_up(archive, passphrase="", with_keys=False)
    assert not [name for name in names_in(archive) if name.startswith("keys/")]
    assert settings.SECRET_KEY.encode() not in gzip.decompress(archive.read_bytes())
    back_up(tmp_path / "keys.tar.gz", passphrase="", with_keys=True)
    empty_this_one()
    other = settings.DATA_DIR = tmp_path / "other"
    other.mkdir()
    call_command("restore", str(tmp_path / "keys.tar.gz"), with_keys=True)
    assert (other / "signing_key.p12").read_bytes() == b"a signing key"
    assert (other / "secret_key").read_text() == settings.SECRET_KEY


def test_an_archive_goes_into_a_folder_under_its_time_and_never_over_another(issued, tmp_path):
    folder = tmp_path / "backups"
    folder.mkdir()
    call_command("back_up", str(folder))
    (made,) = folder.iterdir()
    assert made.name.startswith("sillwright-2")
    with pytest.raises(CommandError, match="exists already"):
        call_command("back_up", str(made))
    with tarfile.open(made) as parts:
        manifest = json.loads(parts.extractfile("manifest.json").read())
    assert manifest["counts"]["reports.document"] == 1
    assert "reports.0001_initial" in manifest["migrations"]


def test_who_was_signed_in_is_not_in_an_archive(issued, office, archive, client):
    client.force_login(office)
    back_up(archive, passphrase="", with_keys=False)
    assert not [name for name in names_in(archive) if "session" in name]


def test_rows_come_after_those_that_they_have_to_refer_to():
    """A defect and its photos may name each other: only what is required decides the order."""
    order = models_in_order()
    for place, model in enumerate(order):
        for field in model._meta.concrete_fields:
            if field.is_relation and not field.null and field.related_model in order[place + 1 :]:
                pytest.fail(f"{field} refers to rows that come later")
