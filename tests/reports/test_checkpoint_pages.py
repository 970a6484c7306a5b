"""Checkpoints for everybody, and what becomes of one that is held against the journal."""

import base64
import hashlib
import json

import pytest
import rfc8785
from django.test import Client

from jobs.arithmetic.merkle import is_consistent
from jobs.checkpoints import PrivateKey, PublicKey, read_checkpoint
from jobs.models import Job, JournalEntry, JournalStream
from jobs.seal_key import seal_key
from jobs.seal_log import SEALS, Seal, latest_seal, seal
from jobs.services import jobs as services
from jobs.services.seals import seal_streams

pytestmark = pytest.mark.django_db
VISITOR = Client()


@pytest.fixture
def seals(office, job) -> list[Seal]:
    for number in range(3):
        version = Job.objects.get(pk=job.pk).version
        services.change_job(actor=office, job=job, expected_version=version, title=f"{number}")
        seal_streams()
    return [one for number in (1, 2, 3) if (one := seal(number))]


def compared(text: str) -> str:
    return VISITOR.post("/checkpoints/", {"pasted": text}).content.decode()


def test_the_page_lists_seals_with_the_key_they_are_signed_with(seals):
    page = VISITOR.get("/checkpoints/").content.decode()
    assert str(seal_key().public).replace("+", "+") in page
    for one in seals:
        assert one.root in page
        assert f"/checkpoints/{one.number}/" in page


def test_a_journal_without_a_seal_says_so():
    assert "Nothing has been sealed yet" in VISITOR.get("/checkpoints/").content.decode()
    assert VISITOR.get("/checkpoints/latest/").status_code == 404


def test_a_program_reads_notes_and_what_leads_from_one_to_the_other(seals):
    notes = {
        number: VISITOR.get(f"/checkpoints/{number}/").content.decode() for number in (1, 2, 3)
    }
    assert VISITOR.get("/checkpoints/latest/").content.decode() == notes[3]
    assert VISITOR.get("/checkpoints/1/")["Content-Type"] == "text/plain; charset=utf-8"
    first, last = read_checkpoint(notes[1]), read_checkpoint(notes[3])
    assert first.is_signed_by(PublicKey.read(seals[0].key))
    lines = VISITOR.get("/checkpoints/1/3/").content.decode().splitlines()
    path = [base64.b64decode(line) for line in lines]
    assert is_consistent((1, first.root), (3, last.root), path)


@pytest.mark.parametrize("address", ["/checkpoints/4/", "/checkpoints/0/3/", "/checkpoints/1/4/"])
def test_what_was_never_sealed_is_not_there(seals, address):
    assert VISITOR.get(address).status_code == 404


def test_a_printed_seal_and_a_kept_checkpoint_agree_however_they_are_pasted(seals):
    root = seals[1].root
    for text in (root, f" {root[:32]}\n{root[32:].upper()} "):
        assert "it is seal 2 of this journal" in compared(text)
    for text in (seals[1].checkpoint, seals[1].checkpoint.replace("\n", "\r\n") + "  "):
        assert "it is checkpoint 2 of this journal" in compared(text)


def test_a_journal_that_was_rewritten_contradicts_what_was_kept(seals):
    """With fitting digests, and with the key: nothing inside tells, and what left the firm does."""
    kept = seals[2].checkpoint
    entry = JournalEntry.objects.get(stream_id=SEALS, number=3)
    body = json.loads(entry.text)
    body["record"]["id"] = "0" * 64
    text = rfc8785.dumps(body).decode()
    digest = hashlib.sha256(text.encode()).hexdigest()
    JournalEntry.objects.filter(pk=entry.pk).update(text=text, digest=digest, record_id="0" * 64)
    assert "It contradicts the journal:" in compared(kept)
    assert "the journal was tampered with" in compared(kept)
    assert "no seal of this journal is that one" in compared(seals[2].root)
    assert "it is checkpoint 2 of this journal" in compared(seals[1].checkpoint)


def test_a_journal_that_was_cut_off_contradicts_what_was_kept(seals):
    JournalEntry.objects.filter(stream_id=SEALS, number=3).delete()
    JournalStream.objects.filter(name=SEALS).update(length=2)
    assert latest_seal().number == 2
    assert "the journal has 2 seals: it was cut off" in compared(seals[2].checkpoint)


def test_a_checkpoint_of_somebody_else_says_nothing(seals):
    other = PrivateKey.made(seal_key().name).sign(2, b"r" * 32)
    assert "not signed with a key of this journal" in compared(other)


@pytest.mark.parametrize("text", ["", "a word", "one\ntwo\nthree\n\nfour", "\N{SNOWMAN}"])
def test_what_is_neither_is_refused_with_what_is_wrong(seals, text):
    answer = VISITOR.post("/checkpoints/", {"pasted": text})
    assert answer.status_code == 400
    assert 'class="error"' in answer.content.decode()
