"""What is handed to the task queue once the transaction that asked for it is stored.

Tasks are named rather than imported: services must not know the tasks that call them. What the
broker loses is picked up by the sweep.
"""

from uuid import UUID

from celery import current_app
from django.db import transaction

DELIVER = "reports.tasks.deliver"
MAKE_DOCUMENT = "reports.tasks.make_document"


def run_after_commit(task: str, record: UUID) -> None:
    """Run the task of this name for a record as soon as the transaction is committed."""
    transaction.on_commit(lambda: current_app.tasks[task].delay(str(record)), robust=True)
