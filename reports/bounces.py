"""Reading a letter that came back: the delivery status notification (RFC 3464) of a mail server.

Whom it was for is not read: the letter is known by its Message-ID, which nobody can guess.
So flufl.bounce does not serve: it gives the addresses that failed, without letter and status.
"""

import email
import email.policy
import re
from dataclasses import dataclass
from email.message import EmailMessage

# RFC 3463: class 5 is permanent. What stands behind the point is told in words where it helps.
MEANINGS = {
    "1.1": "there is no such mailbox",
    "1.2": "there is no such mail domain",
    "2.1": "the mailbox is switched off",
    "2.2": "the mailbox is full",
    "3.4": "the letter is too large for the mailbox",
    "7.1": "the receiver's server refuses it",
}


class NotABounce(Exception):
    """Some other message, or a notice that a letter is only late."""


@dataclass(frozen=True, slots=True)
class Bounce:
    """`message_id` of the letter that came back; `status` as RFC 3463 writes it, such as 5.1.1."""

    message_id: str
    status: str

    @property
    def words(self) -> str:
        meaning = MEANINGS.get(self.status.partition(".")[2], "the letter could not be delivered")
        return f"it came back: {meaning} ({self.status})"


def read_bounce(message: bytes) -> Bounce:
    """Raises `NotABounce`."""
    read = email.message_from_bytes(message, policy=email.policy.default)
    status = _final_status(read)
    message_id = _message_id_of_original(read)
    if not status or not message_id:
        raise NotABounce("no letter that came back for good is named in it")
    return Bounce(message_id, status)


def _final_status(notice: EmailMessage) -> str:
    """The status of the first receiver for whom delivery failed; empty where it did for none."""
    for part in notice.walk():
        if part.get_content_type() != "message/delivery-status":
            continue
        for receiver in part.iter_parts() if part.is_multipart() else ():
            status = str(receiver.get("Status", "")).strip()
            failed = str(receiver.get("Action", "")).strip().lower() == "failed"
            if failed and re.fullmatch(r"5\.\d{1,3}\.\d{1,3}", status):
                return status
    return ""


def _message_id_of_original(notice: EmailMessage) -> str:
    """From the letter that the notice returns, whole or its headers alone."""
    for part in notice.walk():
        kind = part.get_content_type()
        if kind == "message/rfc822" and part.is_multipart():
            return str(next(iter(part.iter_parts())).get("Message-ID", "")).strip()
        if kind == "text/rfc822-headers":
            headers = email.message_from_string(str(part.get_payload()))
            return str(headers.get("Message-ID", "")).strip()
    return ""
