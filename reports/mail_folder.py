"""E-mail for an installation without a mail server: each message becomes a file that can be opened.

One file per Message-ID, so a message that is sent twice is there once, as it would be for a reader.
"""

import os
import re
from collections.abc import Sequence
from pathlib import Path

from django.conf import settings
from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend


class MessageFolderBackend(BaseEmailBackend):
    """Writes `<Message-ID>.eml` files into `settings.EMAIL_FOLDER`."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        folder = Path(settings.EMAIL_FOLDER)
        folder.mkdir(parents=True, exist_ok=True)
        for message in email_messages:
            _write_whole(folder, message)
        return len(email_messages)


def _write_whole(folder: Path, message: EmailMessage) -> None:
    """Write beside the final name and rename, so that nobody ever reads half a message."""
    written = message.message()
    path = folder / email_file(str(written["Message-ID"]))
    unfinished = path.with_suffix(f".{os.getpid()}.part")
    unfinished.write_bytes(written.as_bytes())
    unfinished.replace(path)


def email_file(message_id: str) -> str:
    """The name of the file that a message of this Message-ID is in."""
    return re.sub(r"[^\w.@-]", "", message_id).lstrip(".") + ".eml"
