"""The task queue. Without a broker, tasks run inside the process that asks for them."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("sillwright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
