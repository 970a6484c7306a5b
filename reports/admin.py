from django.contrib import admin

from jobs.admin import ReadOnlyAdmin
from reports.models import Dispatch, DispatchAttempt, Document

for shown in (Dispatch, DispatchAttempt, Document):
    admin.site.register(shown, ReadOnlyAdmin)
