"""Comparing everything with the journal, every night, and what is kept of it."""

import json

import pytest
from django.core.cache import cache
from django.core.management import call_command

from jobs.journal_types import JournalType
from jobs.models import Customer, Job, JournalEntry
from jobs.services import record_check, verifying
from jobs.services.journal_check import find_flaws
from jobs.services.record_check import contradicting_records
from jobs.tasks import verify_journal
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return factories.job(factories.person("office"))


def newest() -> dict:
    entry = JournalEntry.objects.filter(type=JournalType.JOURNAL_VERIFIED).latest("number")
    return json.loads(entry.text)["body"]


def test_the_task_of_the_night_journals_that_everything_agrees(job):
    assert types_written_by(verify_journal) == ["journal.verified"]
    assert newest() == {"broken_chains": 0, "contradicting_records": 0, "places": []}
    assert list(find_flaws()) == []


def test_it_journals_the_places_without_the_values(job):
    Job.objects.update(title="Unmistakable")
    Customer.objects.update(name="Unmistakable")
    verify_journal()
    assert newest()["contradicting_records"] == 2
    assert newest()["places"] == [
        f"jobs.customer {job.customer_id} name",
        f"jobs.job {job.pk} title",
    ]
    assert "Unmistakable" not in json.dumps(newest())


def test_it_is_not_begun_a_second_time_while_it_runs(job):
    """A broker that has waited long enough hands a task to somebody else."""
    cache.add(verifying.RUNNING, True)
    assert types_written_by(verify_journal) == []
    cache.delete(verifying.RUNNING)
    assert types_written_by(verify_journal) == ["journal.verified"]


def test_a_change_in_the_midst_of_the_comparison_is_no_contradiction(job, monkeypatch):
    """Rows are read before entries; what differs is looked at once more."""
    read = record_check.entries_of
    changed: list[Job] = []

    def entries_of(model, keys):
        if model is Job and not changed:
            changed.append(job)
            factories.jobs.change_job(actor=None, job=job, expected_version=1, title="Kitchen")
        return read(model, keys)

    monkeypatch.setattr(record_check, "entries_of", entries_of)
    assert list(contradicting_records()) == []
    assert changed


def test_a_change_that_a_service_makes_is_no_contradiction(job):
    factories.jobs.change_job(actor=None, job=job, expected_version=1, title="Kitchen wall")
    factories.opening(factories.person("office"), job)
    assert list(contradicting_records()) == []


def without_states() -> None:
    """A journal as it was written before entries said what was changed, and held parts."""
    for entry in JournalEntry.objects.all():
        content = json.loads(entry.text)
        content.pop("changed", None)
        JournalEntry.objects.filter(pk=entry.pk).update(text=json.dumps(content))


def test_records_of_an_older_journal_are_taken_over_once_and_compared_from_then_on(job, capsys):
    without_states()
    assert {c.why for c in contradicting_records()} == {"no entry of the journal says what it is"}
    forged = Customer.objects.create(name="Nobody's entry", email="nobody@example.com")
    written = types_written_by(lambda: call_command("take_over_records"))
    assert set(written) == {"record.taken_over"}
    assert "Took over" in capsys.readouterr().out
    assert [c.id for c in contradicting_records()] == [str(forged.pk)]
    assert types_written_by(lambda: call_command("take_over_records")) == []
    Job.objects.update(title="Altered")
    assert f"jobs.job {job.pk}, title" in " ".join(map(str, contradicting_records()))
