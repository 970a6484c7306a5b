"""The outbox against a real mail server that can be told to fail."""

import email
import socket
from datetime import timedelta

import pytest
from aiosmtpd.controller import Controller
from django.utils import timezone

from reports.models import Dispatch, DispatchAttempt, Document
from reports.services.dispatches import resend
from reports.services.making import store_paper
from reports.tasks import deliver, sweep

pytestmark = pytest.mark.django_db


class Postman:
    """Accepts messages while `answer` is None, else answers with it."""

    def __init__(self) -> None:
        self.answer: str | None = None
        self.refuse_address: str | None = None
        self.message_ids: list[str] = []

    async def handle_RCPT(self, server, session, envelope, address, options) -> str:  # noqa: N802
        if self.refuse_address:
            return self.refuse_address
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope) -> str:  # noqa: N802
        if self.answer:
            return self.answer
        self.message_ids.append(email.message_from_bytes(envelope.content)["Message-ID"])
        return "250 OK"


@pytest.fixture
def postman(settings):
    handler = Postman()
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    controller = Controller(handler, hostname="127.0.0.1", port=port)
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST = "127.0.0.1"
    settings.EMAIL_PORT = port
    yield handler
    controller.stop()


@pytest.fixture
def dispatch(document) -> Dispatch | None:
    return store_paper(document=document, pdf=b"%PDF-1.7 a paper")


def test_a_failing_mail_server_leaves_the_letter_waiting_and_the_sweep_delivers_it_once(
    postman, dispatch, time_machine
):
    postman.answer = "451 come back later"
    deliver.delay(str(dispatch.pk))
    dispatch.refresh_from_db()
    assert (dispatch.state, dispatch.attempts) == ("waiting", 1)
    assert dispatch.next_attempt_at > timezone.now()
    assert dispatch.outcome == "the mail server answered 451"

    postman.answer = None
    sweep.delay()
    assert postman.message_ids == []  # not due yet
    time_machine.move_to(timezone.now() + timedelta(minutes=2))
    sweep.delay()
    sweep.delay()
    dispatch.refresh_from_db()
    assert postman.message_ids == [dispatch.message_id]
    assert (dispatch.state, dispatch.attempts, dispatch.next_attempt_at) == ("sent", 2, None)


def test_a_mail_server_that_is_away_is_tried_at_growing_distances(
    postman, dispatch, settings, time_machine
):
    settings.EMAIL_PORT = 9  # nobody listens there
    waits = []
    for _ in range(4):
        deliver.delay(str(dispatch.pk))
        dispatch.refresh_from_db()
        waits.append(dispatch.next_attempt_at - timezone.now())
        time_machine.move_to(dispatch.next_attempt_at + timedelta(seconds=1))
    assert waits == sorted(waits)
    assert waits[0] < waits[-1]
    assert dispatch.attempt_records.count() == 4


def test_an_address_that_is_refused_for_good_is_given_up_without_naming_it(postman, dispatch):
    postman.refuse_address = "550 no such person"
    deliver.delay(str(dispatch.pk))
    dispatch.refresh_from_db()
    assert dispatch.state == "failed"
    assert dispatch.outcome == "the mail server refused the address (550)"


def test_an_attempt_is_written_before_it_is_made_and_its_outcome_after(postman, dispatch):
    postman.answer = "451 come back later"
    deliver.delay(str(dispatch.pk))
    attempt = DispatchAttempt.objects.get()
    assert attempt.message_id == dispatch.message_id
    assert attempt.finished_at
    assert attempt.outcome == "the mail server answered 451"


def test_while_somebody_is_sending_nobody_else_does(postman, dispatch):
    Dispatch.objects.update(next_attempt_at=timezone.now() + timedelta(minutes=5), attempts=1)
    deliver.delay(str(dispatch.pk))
    assert postman.message_ids == []


def test_a_worker_that_died_midway_is_followed_by_the_same_message_not_by_another(
    postman, dispatch, time_machine
):
    begun = timezone.now()
    Dispatch.objects.update(next_attempt_at=begun + timedelta(minutes=5), attempts=1)
    DispatchAttempt.objects.create(
        dispatch=dispatch, message_id=dispatch.message_id, started_at=begun
    )
    time_machine.move_to(timezone.now() + timedelta(minutes=6))
    sweep.delay()
    assert postman.message_ids == [dispatch.message_id]
    assert [bool(a.finished_at) for a in dispatch.attempt_records.all()] == [False, True]


def test_a_withdrawn_paper_is_not_sent(postman, dispatch):
    Document.objects.update(withdrawn_at=timezone.now(), withdrawal_reason="wrong opening")
    deliver.delay(str(dispatch.pk))
    dispatch.refresh_from_db()
    assert (dispatch.state, dispatch.outcome) == ("failed", "not sent: withdrawn")
    assert postman.message_ids == []


def test_sending_again_is_a_new_message_and_goes_out_once(
    postman, dispatch, office, django_capture_on_commit_callbacks
):
    deliver.delay(str(dispatch.pk))
    first = dispatch.message_id
    dispatch.refresh_from_db()
    with django_capture_on_commit_callbacks(execute=True):
        resend(actor=office, dispatch=dispatch, expected_version=dispatch.version)
    sweep.delay()
    dispatch.refresh_from_db()
    assert postman.message_ids == [first, dispatch.message_id]
    assert first != dispatch.message_id
