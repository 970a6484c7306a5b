from django.contrib import admin

from jobs.admin import ReadOnlyAdmin
from surveys.models import FitDecision, Instrument, Photo, Reading, Survey

for model in (FitDecision, Instrument, Photo, Reading, Survey):
    admin.site.register(model, ReadOnlyAdmin)
