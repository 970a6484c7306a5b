import hashlib
import json

import pytest
import rfc8785
from django.core.management import CommandError, call_command
from django.db import transaction

from jobs.arithmetic.merkle import is_consistent, leaf_hash, root_of_inclusion, tree_root
from jobs.checkpoints import PrivateKey, UnreadableCheckpoint, read_checkpoint
from jobs.models import Customer, Job, JournalEntry, JournalStream
from jobs.seal_key import seal_key
from jobs.seal_log import SEALS, Seal, latest_seal, path_between, path_to_checkpoint
from jobs.services import jobs as services
from jobs.services.journal_check import find_flaws
from jobs.services.seals import seal_streams
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    office = factories.person("office")
    made = factories.job(office)
    factories.opening(office, made)
    factories.opening(office, made, "Side wall")
    return made


def entries_of(job: Job):
    return JournalEntry.objects.filter(stream=job.journal_stream)


def test_every_change_of_a_job_follows_the_one_before_it(job):
    entries = [json.loads(entry.text) for entry in entries_of(job)]
    assert [entry["type"] for entry in entries] == [
        "job.taken_on",
        "opening.added",
        "opening.added",
    ]
    digests = ["", *entries_of(job).values_list("digest", flat=True)]
    assert [entry["previous"] for entry in entries] == digests[:-1]


def test_an_untouched_journal_holds(job, capsys):
    call_command("verify_journal")
    assert "The journal holds" in capsys.readouterr().out


def test_a_changed_text_is_found_and_located(job):
    entry = entries_of(job).get(number=2)
    text = entry.text.replace("Rear wall", "Front wall")
    entries_of(job).filter(number=2).update(text=text)
    (flaw,) = find_flaws()
    assert (flaw.stream, flaw.number, flaw.why) == (
        job.journal_stream,
        2,
        "its text was changed",
    )


def test_a_changed_column_is_found(job):
    entries_of(job).filter(number=3).update(type="opening.removed")
    (flaw,) = find_flaws()
    assert (flaw.number, flaw.why) == (3, "its columns differ from its text")


def test_a_missing_last_entry_is_found(job):
    entries_of(job).filter(number=3).delete()
    (flaw,) = find_flaws()
    assert flaw.number == 3


def test_a_chain_rewritten_with_fitting_digests_breaks_its_seal(job):
    seal_streams()
    entries_of(job).delete()
    JournalStream.objects.filter(pk=job.journal_stream).delete()
    with transaction.atomic():
        for _ in range(3):
            factories.jobs.change_job(
                actor=None,
                job=job,
                expected_version=Job.objects.get().version,
                title="Other",
            )
    (flaw,) = find_flaws()
    assert "differs from what was sealed" in flaw.why


def test_the_command_fails_and_names_the_broken_entry(job, capsys):
    entries_of(job).filter(number=1).update(digest="0" * 64)
    with pytest.raises(CommandError, match="broken in 1 chain"):
        call_command("verify_journal")
    assert f"{job.journal_stream}, entry 1" in capsys.readouterr().err


def test_a_seal_covers_only_what_grew_since_the_last_one(job):
    first = seal_streams()
    assert seal_streams() is None
    services.change_job(actor=None, job=job, expected_version=1, title="New title")
    second = seal_streams()
    leaves = json.loads(second.text)["body"]["leaves"]
    assert [leaf["stream"] for leaf in leaves] == [job.journal_stream]
    assert latest_seal().root == second.record_id != first.record_id
    assert JournalStream.objects.get(name=SEALS).length == 2


def test_what_a_customer_may_ask_to_be_erased_never_enters_the_journal():
    office = factories.person("office")
    factories.customer(office, name="Unmistakable Name", email="unmistakable@example.com")
    assert not JournalEntry.objects.filter(text__icontains="unmistakable").exists()
    assert "hmac-sha256:" in JournalEntry.objects.get(record_kind="jobs.customer").text


def test_a_refused_change_leaves_neither_record_nor_entry(job):
    before = JournalEntry.objects.count()
    customer = Customer.objects.get()
    with pytest.raises(Exception, match="version 1"):
        services.change_customer(
            actor=None, customer=customer, expected_version=7, name="Somebody else"
        )
    assert JournalEntry.objects.count() == before
    assert Customer.objects.get().name == customer.name


def test_every_seal_carries_the_signed_checkpoint_of_the_log_up_to_it(job):
    made = []
    for title in ("First", "Second", "Third"):
        services.change_job(
            actor=None, job=job, expected_version=Job.objects.get().version, title=title
        )
        made.append(Seal.read(seal_streams()))
    key = seal_key().public
    for number, seal in enumerate(made, start=1):
        checkpoint = read_checkpoint(seal.checkpoint)
        roots = [leaf_hash(bytes.fromhex(earlier.root)) for earlier in made[:number]]
        assert (checkpoint.size, checkpoint.root) == (number, tree_root(roots))
        assert checkpoint.is_signed_by(key)
        assert seal.key == str(key)
    first, last = read_checkpoint(made[0].checkpoint), read_checkpoint(made[2].checkpoint)
    assert is_consistent((1, first.root), (3, last.root), path_between(1, 3))
    leaf = leaf_hash(bytes.fromhex(made[1].root))
    assert root_of_inclusion(leaf, 1, 3, path_to_checkpoint(2, 3)) == last.root


def test_a_log_that_never_had_a_size_proves_nothing_of_it(job):
    seal_streams()
    with pytest.raises(IndexError):
        path_between(1, 2)
    with pytest.raises(IndexError):
        path_to_checkpoint(2, 1)


def test_an_entry_that_is_named_is_sealed_by_itself_whatever_followed_it(job):
    entry = entries_of(job).get(number=2)
    seal = Seal.read(seal_streams(entry))
    assert [
        (leaf["number"], leaf["digest"]) for leaf in seal.leaves if "job" in leaf["stream"]
    ] == [
        (3, entries_of(job).get(number=3).digest),
        (2, entry.digest),
    ]
    assert Seal.read(seal_streams(entry)).leaves == seal.leaves[-1:]
    assert not list(find_flaws())


def rewritten(seal: JournalEntry, **body) -> None:
    """The newest seal with another body, its chain and head made to fit: what somebody can do who
    has the database and not the key."""
    entry = json.loads(seal.text)
    entry["body"] |= body
    text = rfc8785.dumps(entry).decode()
    digest = hashlib.sha256(text.encode()).hexdigest()
    JournalEntry.objects.filter(pk=seal.pk).update(text=text, digest=digest)
    JournalStream.objects.filter(pk=SEALS).update(head=digest)


@pytest.mark.parametrize(
    ("signed", "why"),
    [
        (lambda seal: PrivateKey.made("other").sign(seal.number, b"r" * 32), "up to it"),
        (lambda seal: seal.checkpoint.replace("\n1\n", "\n2\n"), "up to it"),
        (
            lambda seal: PrivateKey.made(seal_key().name).sign(
                1, read_checkpoint(seal.checkpoint).root
            ),
            "not signed by its key",
        ),
        (lambda seal: "no checkpoint", "cannot be read"),
    ],
)
def test_a_checkpoint_that_is_not_the_logs_own_is_found(job, signed, why):
    seal = seal_streams()
    rewritten(seal, checkpoint=signed(Seal.read(seal)))
    (flaw,) = find_flaws()
    assert (flaw.stream, flaw.number) == (SEALS, 1)
    assert why in flaw.why


def test_a_seal_from_before_there_were_checkpoints_holds(job):
    seal = seal_streams()
    entry = json.loads(seal.text)
    del entry["body"]["checkpoint"], entry["body"]["key"]
    text = rfc8785.dumps(entry).decode()
    digest = hashlib.sha256(text.encode()).hexdigest()
    JournalEntry.objects.filter(pk=seal.pk).update(text=text, digest=digest)
    JournalStream.objects.filter(pk=SEALS).update(head=digest)
    services.change_job(actor=None, job=job, expected_version=1, title="New title")
    assert read_checkpoint(Seal.read(seal_streams()).checkpoint).size == 2
    assert not list(find_flaws())


def test_the_key_of_checkpoints_is_made_once_for_its_user_alone_or_given(settings, tmp_path):
    settings.DATA_DIR, settings.PUBLIC_ADDRESS = tmp_path, "https://records.example.com/doors"
    made = seal_key()
    file = tmp_path / "seal_key"
    assert made.name == "records.example.com/doors/journal"
    assert (file.read_text(), file.stat().st_mode & 0o777) == (made.written(), 0o600)
    settings.SEAL_KEY = PrivateKey.made("other.example.com/journal").written()
    assert seal_key().name == "other.example.com/journal"
    settings.SEAL_KEY = "a word"
    with pytest.raises(UnreadableCheckpoint, match=r"PRIVATE\+KEY"):
        seal_key()
