from django.urls import include, path
from rest_framework.routers import SimpleRouter

from surveys.api import calculation_views, photo_views, views

router = SimpleRouter()
router.register("instruments", views.Instruments, basename="instrument")
router.register("surveys", views.SurveyViewSet, basename="survey")
router.register("photos", photo_views.PhotoViewSet, basename="photo")
router.register("fit-decisions", views.FitDecisionViewSet, basename="fit-decision")
router.register("doorsets", views.OrderViewSet, basename="doorset-order")

urlpatterns = [
    path(
        "calculations/opening-fit/",
        calculation_views.OpeningFitCalculationView.as_view(),
        name="calculate-opening-fit",
    ),
    path(
        "surveys/<uuid:survey_id>/photos/",
        photo_views.SurveyPhotoViewSet.as_view({"post": "create"}),
        name="survey-photos",
    ),
    path("", include(router.urls)),
]
