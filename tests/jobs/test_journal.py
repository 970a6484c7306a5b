import json

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from jobs.models import Customer, Job, JournalEntry, JournalStream
from jobs.services import jobs as services
from jobs.services.journal_check import find_flaws
from jobs.services.seals import SEALS, latest_seal_root, merkle_root, seal_streams
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
    assert latest_seal_root() == second.record_id != first.record_id
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


def test_merkle_roots_are_those_of_the_published_test_vectors():
    # from memory: the eight-leaf vectors of the reference implementation of RFC 9162's forerunner
    leaves = [bytes.fromhex(x) for x in ("", "00", "10", "2021", "3031", "40414243")]
    assert merkle_root([]) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert (
        merkle_root(leaves[:1])
        == "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"
    )
    assert (
        merkle_root(leaves[:2])
        == "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"
    )
    assert (
        merkle_root(leaves[:3])
        == "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77"
    )
    assert (
        merkle_root(leaves[:4])
        == "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7"
    )
    assert (
        merkle_root(leaves[:6])
        == "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef"
    )
