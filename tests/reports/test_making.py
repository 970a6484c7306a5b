"""A paper that is asked for is made once and mailed once, whatever happens to its task."""

import email
import hashlib
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from reports.models import Dispatch, Document
from reports.services.making import make_document as make
from reports.services.making import store_paper, take_due_documents
from reports.tasks import deliver, make_document, sweep

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("short_papers")]


def letters(settings) -> list[Path]:
    return sorted(Path(settings.EMAIL_FOLDER).glob("*.eml"))


def papers(settings) -> list[Path]:
    return [path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()]


def test_a_task_that_runs_twice_makes_one_paper_and_one_letter(document, settings):
    make_document.delay(str(document.pk))
    made = Document.objects.get()
    make_document.delay(str(document.pk))
    deliver.delay(str(Dispatch.objects.get().pk))
    assert Document.objects.get().sha256 == made.sha256
    assert len(papers(settings)) == 1
    assert len(letters(settings)) == 1
    assert Dispatch.objects.get().attempts == 1


def test_of_two_workers_that_draw_at_once_the_second_stores_nothing(document, settings):
    first, second = (Document.objects.get(pk=document.pk) for _ in range(2))
    assert store_paper(document=first, pdf=b"%PDF first") is not None
    assert store_paper(document=second, pdf=b"%PDF second") is None
    assert [path.read_bytes() for path in papers(settings)] == [b"%PDF first"]
    assert Dispatch.objects.count() == 1


def test_the_letter_carries_exactly_the_paper_that_was_stored(document, settings):
    make_document.delay(str(document.pk))
    letter = email.message_from_bytes(letters(settings)[0].read_bytes())
    attached = [part.get_payload(decode=True) for part in letter.walk() if part.get_filename()]
    made = Document.objects.get()
    assert [hashlib.sha256(content).hexdigest() for content in attached] == [made.sha256]
    assert letter["To"] == made.job.customer.email
    assert made.number in letter["Subject"]


def test_a_paper_that_cannot_be_stored_is_tried_again_later_and_made_once(
    document, settings, tmp_path, time_machine
):
    good, blocked = settings.MEDIA_ROOT, tmp_path / "blocked"
    blocked.write_text("a file where the folder should be")
    settings.MEDIA_ROOT = blocked
    make_document.delay(str(document.pk))
    failed = Document.objects.get()
    assert (failed.rendered_at, failed.making_attempts) == (None, 1)
    assert "Error" in failed.failure
    assert failed.next_attempt_at > timezone.now()
    assert not Dispatch.objects.exists()

    settings.MEDIA_ROOT = good
    time_machine.move_to(timezone.now() + timedelta(minutes=3))
    sweep.delay()
    sweep.delay()
    made = Document.objects.get()
    assert made.rendered_at
    assert not made.failure
    assert len(papers(settings)) == len(letters(settings)) == 1


def test_the_sweep_makes_a_paper_whose_task_was_lost(document, settings, time_machine):
    sweep.delay()
    assert Document.objects.get().rendered_at is None
    time_machine.move_to(timezone.now() + timedelta(minutes=3))
    sweep.delay()
    assert Document.objects.get().rendered_at
    assert len(letters(settings)) == 1


def test_a_paper_whose_task_waits_behind_others_is_not_announced_again_at_once(
    document, time_machine
):
    time_machine.move_to(timezone.now() + timedelta(minutes=3))
    assert take_due_documents() == [document.pk]
    assert take_due_documents() == []
    time_machine.move_to(timezone.now() + timedelta(minutes=3))
    assert take_due_documents() == [document.pk]


def test_a_paper_that_was_superseded_before_it_was_drawn_is_not_made(document):
    Document.objects.update(superseded_at=timezone.now())
    assert make(document_id=str(document.pk)) is None
    assert not Dispatch.objects.exists()


def test_a_job_has_one_current_certificate_at_most(ask, document):
    with pytest.raises(IntegrityError), transaction.atomic():
        ask(document.job)
    assert Document.objects.count() == 1
