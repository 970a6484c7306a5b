from django.urls import include, path
from rest_framework.routers import SimpleRouter

from jobs.api import (
    calculation_views,
    device_key_views,
    diary_views,
    doorset_views,
    people_views,
    problem_type_views,
    views,
)

router = SimpleRouter()
router.register("people", people_views.PersonViewSet, basename="person")
router.register("device-keys", device_key_views.EnrolledKeyViewSet, basename="device-key")
router.register("rule-sets", views.RuleSetViewSet, basename="rule-set")
router.register("profile-systems", doorset_views.ProfileSystemViewSet, basename="profile-system")
router.register("customers", views.CustomerViewSet, basename="customer")
router.register("sites", views.SiteViewSet, basename="site")
router.register("jobs", views.JobViewSet, basename="job")
router.register("openings", views.OpeningViewSet, basename="opening")
router.register("doorsets", doorset_views.DoorsetViewSet, basename="doorset")
router.register("deliveries", doorset_views.DeliveryViewSet, basename="delivery")
router.register("crews", diary_views.CrewViewSet, basename="crew")
router.register("visits", diary_views.VisitViewSet, basename="visit")

urlpatterns = [
    path("tokens/", people_views.TokenView.as_view(), name="token-list"),
    path("tokens/current/", people_views.CurrentTokenView.as_view(), name="token-current"),
    path(
        "calculations/doorset/",
        calculation_views.DoorsetCalculationView.as_view(),
        name="calculate-doorset",
    ),
    path(
        "calculations/thermal-transmittance/",
        calculation_views.ThermalCalculationView.as_view(),
        name="calculate-thermal-transmittance",
    ),
    path("problems/", problem_type_views.problem_types, name="problem-types"),
    path("", include(router.urls)),
]
