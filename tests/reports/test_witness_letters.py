"""Once a month a witness gets the newest checkpoint, with all seals since the last."""

import email
from datetime import timedelta
from email.message import Message
from pathlib import Path

import pytest
from django.utils import timezone

from jobs.checkpoints import read_checkpoint
from jobs.models import Job
from jobs.seal_log import latest_seal, seal
from jobs.services import jobs as services
from jobs.services.seals import seal_streams
from reports.models import Dispatch
from reports.services.journal_witnesses import end_witness
from reports.services.witnesses import write_to_witnesses
from reports.tasks import deliver
from reports.tasks import write_to_witnesses as task
from reports.verification.witnesses import Witness
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db
INSURER, ACCOUNTANT = "insurer@example.com", "accountant@example.org"


@pytest.fixture
def insurer(office):
    return factories.witness(office, INSURER)


@pytest.fixture
def both(office, insurer):
    return insurer, factories.witness(office, ACCOUNTANT)


def something_happens(office, job) -> None:
    version = Job.objects.get(pk=job.pk).version
    services.change_job(actor=office, job=job, expected_version=version, title=f"v{version}")


def letters(settings) -> list[Message]:
    paths = sorted(Path(settings.EMAIL_FOLDER).glob("*.eml"))
    return [email.message_from_bytes(path.read_bytes()) for path in paths]


def attached(letter: Message) -> Witness:
    (part,) = [part for part in letter.walk() if part.get_filename()]
    return Witness.read(part.get_payload(decode=True))


def test_every_witness_gets_the_newest_checkpoint_and_all_seals(office, job, settings, both):
    seal_streams()
    something_happens(office, job)
    task.delay()
    sent = letters(settings)
    assert sorted(letter["To"] for letter in sent) == [ACCOUNTANT, INSURER]
    newest = latest_seal()
    for letter in sent:
        witness = attached(letter)
        assert witness == Witness(newest.checkpoint, newest.key, 1, (seal(1).root, seal(2).root))
        body = letter.get_payload()[0].get_payload(decode=True).decode()
        assert newest.checkpoint in body
        assert read_checkpoint(Witness.read(newest.checkpoint.encode()).checkpoint).size == 2


def test_there_is_one_letter_a_month_however_often_it_is_asked(office, job, both):
    assert len(write_to_witnesses()) == 2
    something_happens(office, job)
    assert write_to_witnesses() == []


def test_the_next_month_brings_the_seals_since_the_last_letter(
    office, job, settings, insurer, time_machine
):
    task.delay()
    last = latest_seal().number
    time_machine.move_to(timezone.now() + timedelta(days=32))
    something_happens(office, job)
    task.delay()
    witness = sorted(map(attached, letters(settings)), key=lambda w: w.first_seal)[-1]
    assert witness.first_seal == last + 1
    assert witness.seals == (latest_seal().root,)


def test_a_letter_that_never_arrived_is_made_good_by_the_next(
    office, job, settings, insurer, time_machine
):
    write_to_witnesses()
    Dispatch.objects.update(state="failed", next_attempt_at=None)
    time_machine.move_to(timezone.now() + timedelta(days=32))
    something_happens(office, job)
    task.delay()
    (letter,) = letters(settings)
    assert attached(letter).first_seal == 1


def test_without_witnesses_nobody_is_written_to(job):
    assert write_to_witnesses() == []


def test_nobody_is_written_to_who_was_ended(office, job, settings, both):
    insurer, _ = both
    write_to_witnesses()
    end_witness(actor=office, witness=insurer, expected_version=1)
    for letter in Dispatch.objects.all():
        deliver(str(letter.pk))
    assert [letter["To"] for letter in letters(settings)] == [ACCOUNTANT]
    unsent = Dispatch.objects.get(recipient=INSURER)
    assert (unsent.state, unsent.outcome) == ("failed", "not sent: this witness was ended")


def test_the_journal_says_that_a_witness_was_written_to(job, insurer):
    seal_streams()
    assert types_written_by(write_to_witnesses) == ["dispatch.queued"]
    (letter,) = Dispatch.objects.all()
    assert types_written_by(lambda: deliver(str(letter.pk))) == [
        "dispatch.started",
        "letter.accepted",
    ]
