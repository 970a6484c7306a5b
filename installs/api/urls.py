from django.urls import include, path
from rest_framework.routers import SimpleRouter

from installs.api import (
    calculation_views,
    closing_views,
    photo_views,
    register_views,
    sash_calculations,
    site_calculations,
    views,
)
from installs.api.sync_views import Sync

router = SimpleRouter()
router.register("installations", views.Installations, basename="installation")
router.register("plan-steps", views.PlanSteps, basename="plan-step")
router.register("inspections", views.Inspections, basename="inspection")
router.register("fixings", views.Fixings, basename="fixing")
router.register("junction-gaps", views.JunctionGaps, basename="junction-gap")
router.register("carrier-lifts", register_views.CarrierLifts, basename="carrier-lift")
router.register("beads", register_views.Beads, basename="bead")
router.register("sash-records", views.SashRecords, basename="sash-record")
router.register("defects", closing_views.Defects, basename="defect")
router.register("concessions", closing_views.Concessions, basename="concession")
router.register("site-photos", photo_views.SitePhotos, basename="site-photo")
router.register("handovers", closing_views.Handovers, basename="handover")
router.register("sync", Sync, basename="sync")

urlpatterns = [
    path(
        "calculations/fixing-layout/",
        calculation_views.FixingLayoutCalculation.as_view(),
        name="calculate-fixing-layout",
    ),
    path(
        "calculations/conformity/",
        calculation_views.ConformityCalculation.as_view(),
        name="calculate-conformity",
    ),
    path(
        "calculations/glazing-plan/",
        sash_calculations.GlazingPlanCalculation.as_view(),
        name="calculate-glazing-plan",
    ),
    path(
        "calculations/running-gear/",
        sash_calculations.RunningGearCalculation.as_view(),
        name="calculate-running-gear",
    ),
    path(
        "calculations/lift/",
        site_calculations.LiftCalculation.as_view(),
        name="calculate-lift",
    ),
    path(
        "calculations/joint/",
        site_calculations.JointCalculation.as_view(),
        name="calculate-joint",
    ),
    path(
        "installations/<uuid:installation_id>/photos/",
        photo_views.InstallationPhotos.as_view({"post": "create"}),
        name="installation-photos",
    ),
    path("", include(router.urls)),
]
