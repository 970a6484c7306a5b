from django.urls import include, path

from installs.views import (
    bead_sheet_views,
    concession_views,
    defect_views,
    evidence_views,
    gap_sheet_views,
    handover_views,
    instruction_views,
    junction_views,
    member_views,
    opening_views,
    phase_sheet_views,
    phone_views,
    sash_views,
    sheet_views,
    step_views,
    today_views,
)

of_a_fitting = [
    path("", sheet_views.sheet, name="fitting"),
    path("limits.json", phone_views.limits, name="fitting-limits"),
    path("state.json", phone_views.sheet_state_json, name="fitting-state"),
    path("steps/<int:number>/", step_views.step_page, name="fitting-step"),
    path("phases/<str:phase>/", phase_sheet_views.phase_sheet, name="fitting-phase"),
    path("beads/", bead_sheet_views.bead_sheet, name="fitting-beads"),
    path("gaps/", gap_sheet_views.gap_sheet, name="fitting-gaps"),
    path("junctions/<int:number>/", junction_views.junction_page, name="fitting-junction"),
    path("sashes/<int:number>/", sash_views.sash_page, name="fitting-sash"),
    path("members/<str:member>/", member_views.member_page, name="fitting-member"),
    path("defects/", defect_views.defects_page, name="fitting-defects"),
    path("defects/<uuid:defect_pk>/", defect_views.defect_page, name="fitting-defect"),
]

urlpatterns = [
    path("today/", today_views.today, name="today"),
    path(
        "visits/<uuid:visit_pk>/plan/<uuid:doorset_pk>/",
        today_views.plan_fitting,
        name="plan-fitting",
    ),
    path("fittings/<uuid:pk>/", include(of_a_fitting)),
    path(
        "jobs/<str:reference>/openings/<int:number>/leave-out/",
        opening_views.leave_opening_out,
        name="leave-opening-out",
    ),
    path(
        "jobs/<str:reference>/defects/<uuid:pk>/close/",
        evidence_views.close_defect,
        name="close-defect",
    ),
    path(
        "profile-systems/<uuid:pk>/instructions/",
        instruction_views.instructions,
        name="maker-instructions",
    ),
    path(
        "instructions/<uuid:pk>/withdraw/",
        instruction_views.withdraw,
        name="withdraw-maker-instruction",
    ),
    path("instructions/<uuid:pk>/", instruction_views.instruction, name="open-maker-instruction"),
    path("jobs/<str:reference>/handover/", handover_views.handover_page, name="handover"),
    path(
        "jobs/<str:reference>/concede/<str:kind>/<uuid:pk>/<str:code>/",
        concession_views.grant_concession,
        name="grant-concession",
    ),
]
