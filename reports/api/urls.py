from django.urls import include, path, re_path
from rest_framework.routers import SimpleRouter

from reports.api import personal_data_views, views, webhook_views

router = SimpleRouter()
router.register("documents", views.Documents, basename="document")
router.register("dispatches", views.Dispatches, basename="dispatch")
router.register("webhook-endpoints", webhook_views.WebhookEndpoints, basename="webhook-endpoint")
router.register("returned-letters", webhook_views.ReturnedLetters, basename="returned-letter")

urlpatterns = [
    re_path(
        r"^jobs/(?P<reference>SW-\d{2}-\d{4,})/gates/$", views.Gates.as_view(), name="job-gates"
    ),
    path(
        "customers/<uuid:pk>/personal-data/",
        personal_data_views.PersonalData.as_view({"get": "held"}),
        name="customer-personal-data",
    ),
    path(
        "customers/<uuid:pk>/erase/",
        personal_data_views.PersonalData.as_view({"post": "erase"}),
        name="customer-erase",
    ),
    path("verifications/<slug:code>/", views.Verifications.as_view(), name="verification-detail"),
    path("", include(router.urls)),
]
