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
    MakerInstruction,
    PackerChange,
    PlanStep,
    SashRecord,
    SetAside,
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
    MakerInstruction,
    PackerChange,
    PlanStep,
    SashRecord,
    SetAside,
    SitePhoto,
):
    admin.site.register(model, ReadOnlyAdmin)
