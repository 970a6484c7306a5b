"""Reading an e-mail that came back: the delivery status notification (RFC 3464) of a mail server.

Whom it was for is not read: the e-mail is known by its Message-ID, which nobody can guess.
So flufl.bounce does not serve: it gives the addresses that failed, without Message-ID and status.
"""

import email
import email.policy
import re
from dataclasses import dataclass
from email.message import EmailMessage

from django.utils.translation import gettext as _

from jobs.sentences import StoredSentence

# RFC 3463: class 5 is permanent. What follows its point is explained where that helps.
OUTCOMES = {
    "1.1": StoredSentence("it came back: there is no such mailbox ({status})"),
    "1.2": StoredSentence("it came back: there is no such mail domain ({status})"),
    "2.1": StoredSentence("it came back: the mailbox is disabled ({status})"),
    "2.2": StoredSentence("it came back: the mailbox is full ({status})"),
    "3.4": StoredSentence("it came back: the e-mail is too large for the mailbox ({status})"),
    "7.1": StoredSentence("it came back: the receiver's server refuses it ({status})"),
}
OTHER_OUTCOME = StoredSentence("it came back: it could not be delivered ({status})")


class NotABounce(Exception):
    """Some other message, or a notice that an e-mail is only late."""


@dataclass(frozen=True, slots=True)
class Bounce:
    """`message_id` of the e-mail that came back; `status` as RFC 3463 writes it, such as 5.1.1."""

    message_id: str
    status: str

    @property
    def outcome(self) -> str:
        """What is stored as the outcome of the dispatch."""
        return OUTCOMES.get(self.status.partition(".")[2], OTHER_OUTCOME)(status=self.status)


def read_bounce(message: bytes) -> Bounce:
    """Raises `NotABounce`."""
    notice = email.message_from_bytes(message, policy=email.policy.default)
    status = _final_status(notice)
    message_id = _message_id_of_original(notice)
    if not status or not message_id:
        raise NotABounce(_("it names no e-mail that finally failed"))
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
    """From the e-mail that the notice returns, whole or its headers alone."""
    for part in notice.walk():
        kind = part.get_content_type()
        if kind == "message/rfc822" and part.is_multipart():
            return str(next(iter(part.iter_parts())).get("Message-ID", "")).strip()
        if kind == "text/rfc822-headers":
            headers = email.message_from_string(str(part.get_payload()))
            return str(headers.get("Message-ID", "")).strip()
    return ""
