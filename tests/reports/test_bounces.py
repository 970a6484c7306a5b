"""A letter that comes back, as mail servers report it (RFC 3464 with the codes of RFC 3463)."""

from io import BytesIO
from unittest.mock import Mock

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command

from reports.bounces import NotABounce, read_bounce
from reports.models import Dispatch
from reports.services.dispatches import record_bounce, resend
from reports.tasks import deliver
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

# Written after the example in RFC 3464, appendix E.1, with names of our own.
NOTICE = """\
From: MAILER-DAEMON@mail.example.org
To: office@example.com
Subject: Undelivered mail
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="cut"

--cut
Content-Type: text/plain

Your message could not be delivered.

--cut
Content-Type: message/delivery-status

Reporting-MTA: dns; mail.example.org

Final-Recipient: rfc822; oona@example.org
Action: {action}
Status: {status}
Diagnostic-Code: smtp; 550 no such person

--cut
Content-Type: {returned}

Message-ID: {message_id}
Subject: Completion certificate
To: oona@example.org

--cut--
"""


def notice(message_id: str, action="failed", status="5.1.1", returned="message/rfc822") -> bytes:
    notice = {"message_id": message_id, "action": action, "status": status, "returned": returned}
    return NOTICE.format(**notice).encode()


@pytest.fixture
def letter(issued) -> Dispatch:
    """A letter that the mail server has accepted."""
    dispatch = issued.dispatches.get()
    deliver.delay(str(dispatch.pk))
    dispatch.refresh_from_db()
    assert dispatch.state == "sent"
    return dispatch


@pytest.mark.parametrize("returned", ["message/rfc822", "text/rfc822-headers"])
def test_the_letter_that_came_back_is_known_by_its_message_id(returned):
    read = read_bounce(notice("<1@example.com>", returned=returned))
    assert read.message_id == "<1@example.com>"
    assert read.outcome == "it came back: there is no such mailbox (5.1.1)"


def test_a_notice_that_a_letter_is_only_late_is_no_bounce():
    with pytest.raises(NotABounce):
        read_bounce(notice("<1@example.com>", action="delayed", status="4.4.1"))


@pytest.mark.parametrize("other", [b"", b"\xff\xfe", b"Subject: out of office\n\nBack on Monday."])
def test_any_other_message_is_no_bounce(other):
    with pytest.raises(NotABounce):
        read_bounce(other)


def test_a_letter_that_came_back_is_seen_and_can_go_out_again(office, letter):
    record_bounce(bounce=read_bounce(notice(letter.message_id)))
    letter.refresh_from_db()
    assert (letter.state, letter.next_attempt_at) == ("bounced", None)
    assert letter.outcome == "it came back: there is no such mailbox (5.1.1)"
    again = resend(actor=office, dispatch=letter, expected_version=letter.version)
    assert again.state == "waiting"


def test_a_notice_about_an_earlier_letter_does_not_touch_the_one_sent_since(office, letter):
    old = letter.message_id
    resend(actor=office, dispatch=letter, expected_version=letter.version)
    assert record_bounce(bounce=read_bounce(notice(old))) is None
    letter.refresh_from_db()
    assert letter.state != "bounced"


def test_the_office_hands_a_notice_in(office, letter):
    client = signed_in(office)
    upload = SimpleUploadedFile("returned.eml", notice(letter.message_id))
    answer = client.post("/api/v1/returned-letters/", {"file": upload}, format="multipart")
    assert answer.status_code == 200
    assert answer.json()["state"] == "bounced"
    for wrong in (b"hello", notice("<somebody.else@example.com>")):
        upload = SimpleUploadedFile("returned.eml", wrong)
        answer = client.post("/api/v1/returned-letters/", {"file": upload}, format="multipart")
        assert pointers(answer) == ["/file"]


def test_only_the_office_hands_notices_in(letter):
    client = signed_in(factories.person("fitter"))
    upload = SimpleUploadedFile("returned.eml", notice(letter.message_id))
    answer = client.post("/api/v1/returned-letters/", {"file": upload}, format="multipart")
    assert answer.status_code == 403


def test_a_mail_server_pipes_a_notice_in(letter, monkeypatch):
    monkeypatch.setattr("sys.stdin", Mock(buffer=BytesIO(notice(letter.message_id))))
    call_command("record_bounce")
    letter.refresh_from_db()
    assert letter.state == "bounced"
    monkeypatch.setattr("sys.stdin", Mock(buffer=BytesIO(b"hello")))
    with pytest.raises(CommandError, match="names no e-mail"):
        call_command("record_bounce")
