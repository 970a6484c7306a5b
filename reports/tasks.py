"""The tasks of the queue. Thin, and safe to run twice: what they do is decided in the services."""

from celery import shared_task

from reports.services import delivering, making, stamping, webhooks, witnesses


@shared_task
def make_document(document_id: str) -> None:
    """Draw a paper that was asked for, then send it."""
    dispatch = making.make_document(document_id=document_id)
    if dispatch:
        deliver.delay(str(dispatch.pk))


@shared_task
def deliver(dispatch_id: str) -> None:
    delivering.deliver(dispatch_id=dispatch_id)


@shared_task
def sweep() -> None:
    """Pick up whatever is due and was not announced, was cut off, or failed and waits.

    The broker may lose a task; this is what makes delivery sure.
    """
    for document_id in making.take_due_documents():
        make_document.delay(str(document_id))
    for dispatch_id in delivering.due_dispatches():
        deliver.delay(str(dispatch_id))
    # Last, so that nothing a program wants can hold up a customer's e-mail.
    for dispatch_id in webhooks.read_events():
        deliver.delay(str(dispatch_id))


@shared_task
def stamp_papers() -> None:
    """Add times to papers that have none yet, and renew those that grow old."""
    stamping.stamp_due_papers()


@shared_task
def write_to_witnesses() -> None:
    for dispatch_id in witnesses.write_to_witnesses():
        deliver.delay(str(dispatch_id))
