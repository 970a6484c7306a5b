from django.urls import include, path, re_path
from rest_framework.routers import SimpleRouter

from reports.api import views, webhook_views, witness_views

router = SimpleRouter()
router.register("documents", views.DocumentViewSet, basename="document")
router.register("dispatches", views.DispatchViewSet, basename="dispatch")
router.register(
    "webhook-endpoints", webhook_views.WebhookEndpointViewSet, basename="webhook-endpoint"
)
router.register("returned-letters", webhook_views.ReturnedLetterViewSet, basename="returned-letter")
router.register("witnesses", witness_views.JournalWitnessViewSet, basename="witness")

urlpatterns = [
    re_path(
        r"^jobs/(?P<reference>SW-\d{2}-\d{4,})/gates/$", views.GatesView.as_view(), name="job-gates"
    ),
    path(
        "verifications/<slug:code>/", views.VerificationView.as_view(), name="verification-detail"
    ),
    path("", include(router.urls)),
]
