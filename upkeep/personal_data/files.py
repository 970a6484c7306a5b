"""Files that say who the customer is: papers, and e-mails in the mail folder."""

from collections.abc import Iterable
from pathlib import Path

from django.conf import settings

from reports.mail_folder import email_file
from reports.models import DispatchAttempt, Document
from reports.models.documents import paper_path, paper_storage
from upkeep.personal_data.held import Held


def delete_files(held: Held) -> None:
    """Does no harm when it is done again, such as after it was cut off midway."""
    for document in held.documents.only("pk", "number"):
        _delete_editions(document)
    sent = held.dispatches.values_list("message_id", flat=True)
    attempts = DispatchAttempt.objects.filter(dispatch__in=held.dispatches)
    _delete_emails({*sent, *attempts.values_list("message_id", flat=True)})


def _delete_editions(document: Document) -> None:
    """All of its number, with what a worker drew that died before it could say where it put it."""
    storage = paper_storage()
    folder, _, _ = paper_path(document, "").rpartition("/")
    try:
        _, names = storage.listdir(folder)
    except FileNotFoundError:
        return
    for name in names:
        storage.delete(f"{folder}/{name}")


def _delete_emails(message_ids: Iterable[str]) -> None:
    for message_id in message_ids:
        Path(settings.EMAIL_FOLDER, email_file(message_id)).unlink(missing_ok=True)
