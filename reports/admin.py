from django.contrib import admin

from jobs.admin import ReadOnlyAdmin
from reports.models import (
    Dispatch,
    DispatchAttempt,
    Document,
    JournalWitness,
    TimeStamp,
    WebhookEndpoint,
)

for model in (Dispatch, DispatchAttempt, Document, JournalWitness, TimeStamp, WebhookEndpoint):
    admin.site.register(model, ReadOnlyAdmin)
