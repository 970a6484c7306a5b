from reports.models.dispatches import Dispatch, DispatchAttempt
from reports.models.documents import Document

__all__ = ["Dispatch", "DispatchAttempt", "Document"]
