"""Periodic work on the journal."""

from celery import shared_task

from jobs.services.seals import seal_streams


@shared_task
def seal_journal() -> None:
    seal_streams()
