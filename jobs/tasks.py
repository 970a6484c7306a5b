"""Periodic work on the journal and on sign-ins."""

from celery import shared_task

from jobs.services import people, verifying
from jobs.services.seals import seal_streams


@shared_task
def seal_journal() -> None:
    seal_streams()


@shared_task
def verify_journal() -> None:
    verifying.verify_nightly()


@shared_task
def forget_expired_sign_ins() -> None:
    people.forget_expired_sign_ins()
