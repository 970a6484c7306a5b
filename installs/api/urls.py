from django.urls import include, path
from rest_framework.routers import SimpleRouter

from installs.api import (
    calculation_views,
    closing_views,
    instruction_views,
    opening_views,
    packer_calculations,
    photo_views,
    register_views,
    sash_calculations,
    set_aside_views,
    site_calculations,
    views,
)
from installs.api.sync_views import SyncViewSet

router = SimpleRouter()
router.register("installations", views.InstallationViewSet, basename="installation")
router.register("plan-steps", views.PlanStepViewSet, basename="plan-step")
router.register("inspections", views.InspectionViewSet, basename="inspection")
router.register("fixings", views.FixingViewSet, basename="fixing")
router.register("junction-gaps", views.JunctionGapViewSet, basename="junction-gap")
router.register("carrier-lifts", register_views.CarrierLiftViewSet, basename="carrier-lift")
router.register("packer-changes", register_views.PackerChangeViewSet, basename="packer-change")
router.register("beads", register_views.BeadViewSet, basename="bead")
router.register("sash-records", views.SashRecordViewSet, basename="sash-record")
router.register("defects", closing_views.DefectViewSet, basename="defect")
router.register("concessions", closing_views.ConcessionViewSet, basename="concession")
router.register("site-photos", photo_views.SitePhotoViewSet, basename="site-photo")
router.register("handovers", closing_views.HandoverViewSet, basename="handover")
router.register("set-aside", set_aside_views.SetAsideViewSet, basename="set-aside")
router.register(
    "maker-instructions",
    instruction_views.MakerInstructionViewSet,
    basename="maker-instruction",
)
router.register("sync", SyncViewSet, basename="sync")

urlpatterns = [
    path(
        "calculations/fixing-layout/",
        calculation_views.FixingLayoutCalculationView.as_view(),
        name="calculate-fixing-layout",
    ),
    path(
        "calculations/conformity/",
        calculation_views.ConformityCalculationView.as_view(),
        name="calculate-conformity",
    ),
    path(
        "calculations/glazing-plan/",
        sash_calculations.GlazingPlanCalculationView.as_view(),
        name="calculate-glazing-plan",
    ),
    path(
        "calculations/running-gear/",
        sash_calculations.RunningGearCalculationView.as_view(),
        name="calculate-running-gear",
    ),
    path(
        "calculations/packer-advice/",
        packer_calculations.PackerAdviceCalculationView.as_view(),
        name="calculate-packer-advice",
    ),
    path(
        "calculations/lift/",
        site_calculations.LiftCalculationView.as_view(),
        name="calculate-lift",
    ),
    path(
        "calculations/joint/",
        site_calculations.JointCalculationView.as_view(),
        name="calculate-joint",
    ),
    path(
        "installations/<uuid:installation_id>/photos/",
        photo_views.InstallationPhotoViewSet.as_view({"post": "create"}),
        name="installation-photos",
    ),
    path(
        "profile-systems/<uuid:system_id>/instructions/",
        instruction_views.SystemInstructionViewSet.as_view({"post": "create"}),
        name="profile-system-instructions",
    ),
    path(
        "openings/<uuid:pk>/leave-out/",
        opening_views.LeavingOutViewSet.as_view({"post": "leave_out"}),
        name="leave-out-opening",
    ),
    path(
        "openings/<uuid:pk>/take-up/",
        opening_views.LeavingOutViewSet.as_view({"post": "take_up"}),
        name="take-up-opening",
    ),
    path("", include(router.urls)),
]
