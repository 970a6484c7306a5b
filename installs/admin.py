from django.contrib import admin

from installs.models import (
    Bead,
    CarrierLift,
    Concession,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PackerChange,
    PlanStep,
    SashRecord,
    SitePhoto,
)
from jobs.admin import ReadOnlyAdmin

for model in (
    Bead,
    CarrierLift,
    Concession,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PackerChange,
    PlanStep,
    SashRecord,
    SitePhoto,
):
    admin.site.register(model, ReadOnlyAdmin)
