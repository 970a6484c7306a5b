"""Somebody with access to the database changes the journal: found, and the first entry that no
longer holds is named."""

import pytest
from django.core.management import CommandError, call_command
from django.db.models import F

from jobs.models import JournalEntry, JournalStream
from jobs.services.seals import seal_streams
from tests import factories

pytestmark = pytest.mark.django_db
# The texts are alike in length and shape, so that nothing but the hashes tells.
NAMES = ("Rear wall", "Side wall", "Yard wall", "Barn wall")


@pytest.fixture
def entries():
    """Of a job: taken on, then an opening for each name."""
    office = factories.person("office")
    job = factories.job(office)
    for name in NAMES:
        factories.opening(office, job, name)
    return JournalEntry.objects.filter(stream=job.journal_stream)


def verified(capsys) -> str:
    """What the command complains of; it has to fail."""
    with pytest.raises(CommandError, match="broken in 1 chain"):
        call_command("verify_journal")
    return capsys.readouterr().err


def named(entries, number: int) -> str:
    return f"{entries.first().stream_id}, entry {number}"


def test_a_journal_that_nobody_touched_holds(entries, capsys):
    seal_streams()
    call_command("verify_journal")
    assert "The journal holds" in capsys.readouterr().out


@pytest.mark.parametrize("number", [1, 3, 5], ids=["first", "middle", "last"])
def test_a_text_that_was_changed(entries, capsys, number):
    entry = entries.get(number=number)
    entries.filter(pk=entry.pk).update(text=entry.text.replace("a", "e", 1))
    told = verified(capsys)
    assert f"{named(entries, number)}: its text was changed" in told


@pytest.mark.parametrize("number", [1, 3, 5], ids=["first", "middle", "last"])
def test_an_entry_that_was_taken_out(entries, capsys, number):
    entries.filter(number=number).delete()
    assert named(entries, number) in verified(capsys)


def test_an_entry_that_was_taken_out_with_the_others_moved_up(entries, capsys):
    entries.filter(number=3).delete()
    entries.filter(number=4).update(number=3)
    entries.filter(number=5).update(number=4)
    assert f"{named(entries, 3)}: it does not follow the entry before it" in verified(capsys)


def test_two_entries_that_changed_places(entries, capsys):
    second, fourth = entries.get(number=2), entries.get(number=4)
    entries.filter(pk=second.pk).update(number=100)
    entries.filter(pk=fourth.pk).update(number=2)
    entries.filter(pk=second.pk).update(number=4)
    assert named(entries, 2) in verified(capsys)


def test_the_words_of_two_entries_that_changed_places(entries, capsys):
    second, fourth = entries.get(number=2), entries.get(number=4)
    for entry, other in ((second, fourth), (fourth, second)):
        entries.filter(pk=entry.pk).update(text=other.text, digest=other.digest)
    assert named(entries, 2) in verified(capsys)


def test_the_last_entries_cut_off_with_the_head_set_back(entries, capsys):
    """Nothing in the chain itself tells; the seal that was made in between does."""
    seal_streams()
    entries.filter(number__gt=3).delete()
    JournalStream.objects.filter(pk=entries.first().stream_id).update(
        length=3, head=entries.get(number=3).digest, sealed_length=3
    )
    assert f"{named(entries, 4)}: it was sealed and is missing" in verified(capsys)


def test_a_whole_chain_that_was_taken_out(entries, capsys):
    stream = entries.first().stream_id
    seal_streams()
    entries.delete()
    JournalStream.objects.filter(pk=stream).delete()
    assert f"{stream}, entry 1: it was sealed and is missing" in verified(capsys)


def test_who_did_it_and_when_cannot_be_changed_either(entries, capsys):
    entries.filter(number=2).update(created_at=F("created_at") - F("created_at") + F("created_at"))
    call_command("verify_journal")
    other = factories.person("office")
    entries.filter(number=2).update(actor=other)
    assert f"{named(entries, 2)}: its columns differ from its text" in verified(capsys)
