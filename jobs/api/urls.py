from django.urls import include, path
from rest_framework.routers import SimpleRouter

from jobs.api import calculation_views, diary_views, doorset_views, people_views, views

router = SimpleRouter()
router.register("people", people_views.People, basename="person")
router.register("rule-sets", views.RuleSets, basename="rule-set")
router.register("profile-systems", doorset_views.ProfileSystems, basename="profile-system")
router.register("customers", views.Customers, basename="customer")
router.register("sites", views.Sites, basename="site")
router.register("jobs", views.Jobs, basename="job")
router.register("openings", views.Openings, basename="opening")
router.register("doorsets", doorset_views.Doorsets, basename="doorset")
router.register("deliveries", doorset_views.Deliveries, basename="delivery")
router.register("crews", diary_views.Crews, basename="crew")
router.register("visits", diary_views.Visits, basename="visit")

urlpatterns = [
    path("tokens/", people_views.Tokens.as_view(), name="token-list"),
    path("tokens/current/", people_views.CurrentToken.as_view(), name="token-current"),
    path(
        "calculations/doorset/",
        calculation_views.DoorsetCalculation.as_view(),
        name="calculate-doorset",
    ),
    path(
        "calculations/thermal-transmittance/",
        calculation_views.ThermalCalculation.as_view(),
        name="calculate-thermal-transmittance",
    ),
    path("", include(router.urls)),
]
