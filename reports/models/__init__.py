from reports.models.dispatches import Dispatch, DispatchAttempt
from reports.models.documents import Document
from reports.models.journal_witnesses import JournalWitness
from reports.models.time_stamps import TimeStamp
from reports.models.webhooks import WebhookEndpoint

__all__ = [
    "Dispatch",
    "DispatchAttempt",
    "Document",
    "JournalWitness",
    "TimeStamp",
    "WebhookEndpoint",
]
