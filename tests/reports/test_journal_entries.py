"""Every change of papers and their delivery says in the journal what it was."""

import pytest

from jobs.idempotency import IdempotencyKey
from reports.bounces import Bounce
from reports.errors import DeliveryFailed
from reports.models import Dispatch, Document, WebhookEndpoint
from reports.services import delivering, dispatches, documents, making, webhooks
from tests import factories
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db


@pytest.fixture
def letter(issued) -> Dispatch:
    return issued.dispatches.get()


def send(message: Dispatch):
    return lambda: delivering.deliver(dispatch_id=str(message.pk))


def refuse(monkeypatch, *, final: bool) -> None:
    def refusing(message: Dispatch) -> str:
        raise DeliveryFailed("550 no such mailbox", final=final)

    monkeypatch.setattr(delivering, "CARRIERS", dict.fromkeys(Dispatch.Channel.values, refusing))


def test_a_paper_that_is_made_and_put_into_the_outbox(ask, job):
    assert types_written_by(lambda: ask(job)) == ["document.requested"]
    document = Document.objects.get()
    assert types_written_by(
        lambda: making.store_paper(document=document, pdf=b"%PDF-1.7 a paper")
    ) == ["document.made", "dispatch.queued"]


def test_a_paper_that_cannot_be_made(document, monkeypatch):
    monkeypatch.setattr("reports.papers.paper.paper_pdf", lambda *_, **__: 1 / 0)
    # What goes to the customer is sealed before it is drawn.
    assert types_written_by(lambda: making.make_document(document_id=str(document.pk))) == [
        "journal.sealed",
        "document.failed",
    ]


def test_a_paper_that_is_superseded_and_one_that_is_withdrawn(office, job):
    def ask_for_report():
        return documents.issue_document(
            actor=office, idempotency_key=IdempotencyKey(), job=job, kind="defect_report"
        )

    first = ask_for_report()
    factories.opening(office, job)
    job.customer.name = "Another Example"
    job.customer.save()
    written = types_written_by(ask_for_report)
    assert [name for name in written if name.startswith("document.")][:2] == [
        "document.superseded",
        "document.requested",
    ]
    first.refresh_from_db()
    assert types_written_by(
        lambda: documents.withdraw_document(
            actor=office,
            document=first,
            expected_version=first.version,
            reason="Misspelt",
            for_safety=False,
        )
    ) == ["document.withdrawn"]


def test_a_letter_that_arrives_bounces_and_is_sent_again(office, letter):
    assert types_written_by(send(letter)) == ["dispatch.started", "letter.accepted"]
    bounce = Bounce(letter.message_id, "5.1.1 no such mailbox")
    assert types_written_by(lambda: dispatches.record_bounce(bounce=bounce)) == ["letter.bounced"]
    letter.refresh_from_db()
    assert types_written_by(
        lambda: dispatches.resend(actor=office, dispatch=letter, expected_version=letter.version)
    )[:1] == ["dispatch.requeued"]


def test_a_letter_that_waits_and_one_that_is_given_up(letter, monkeypatch):
    refuse(monkeypatch, final=False)
    assert types_written_by(send(letter)) == ["dispatch.started", "dispatch.postponed"]
    Dispatch.objects.update(next_attempt_at=letter.created_at)
    refuse(monkeypatch, final=True)
    assert types_written_by(send(letter)) == ["dispatch.started", "letter.failed"]


def test_a_webhook_endpoint_and_its_messages(office, monkeypatch):
    monkeypatch.setattr(webhooks, "unusable_address", lambda _: "")
    assert types_written_by(
        lambda: webhooks.add_endpoint(
            actor=office,
            idempotency_key=IdempotencyKey(),
            address="https://hooks.example.com/",
            event_types=[],
        )
    ) == ["webhook_endpoint.added"]
    endpoint = WebhookEndpoint.objects.get()
    for _ in range(2):
        factories.job(office)
    assert types_written_by(webhooks.read_events) == ["dispatch.queued", "dispatch.queued"]
    first, second = Dispatch.objects.order_by("created_at")
    monkeypatch.setattr(
        delivering, "CARRIERS", dict.fromkeys(Dispatch.Channel.values, lambda _: "204")
    )
    assert types_written_by(send(first)) == ["dispatch.started", "webhook.accepted"]
    refuse(monkeypatch, final=True)
    assert types_written_by(send(second)) == ["dispatch.started", "webhook.failed"]
    assert types_written_by(
        lambda: webhooks.change_endpoint(
            actor=office, endpoint=endpoint, expected_version=1, event_types=["job.taken_on"]
        )
    ) == ["webhook_endpoint.changed"]
    endpoint.refresh_from_db()
    assert types_written_by(lambda: webhooks.switch_off(endpoint)) == [
        "webhook_endpoint.switched_off"
    ]
