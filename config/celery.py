"""The task queue. Without a broker, tasks run inside the process that asks for them."""

import logging
import os
from typing import Any

from celery import Celery, Task
from celery.signals import after_setup_logger
from django.conf import settings
from django.dispatch import receiver
from django_structlog.celery.signals import bind_extra_task_metadata
from django_structlog.celery.steps import DjangoStructLogInitStep
from structlog.contextvars import bind_contextvars

from config.logs import formatter

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("sillwright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
# Lines of tasks carry the number of the request that asked for them.
app.steps["worker"].add(DjangoStructLogInitStep)


@receiver(bind_extra_task_metadata)
def name_the_task(sender: Any, task: Task, **more: Any) -> None:
    """In every line of a task, not only where it begins."""
    bind_contextvars(task=task.name)


@after_setup_logger.connect
def log_in_our_form(logger: logging.Logger, **more: Any) -> None:
    """A worker keeps its own level and file, as its command line says."""
    for handler in logger.handlers:
        handler.setFormatter(formatter(settings.LOG_FORMAT))
