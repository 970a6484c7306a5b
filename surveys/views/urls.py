from django.urls import path

from surveys.views import decision_views, instrument_views, order_views, photo_views, survey_views

OPENING = "jobs/<slug:reference>/openings/<int:number>/"

urlpatterns = [
    path(f"{OPENING}survey/", survey_views.survey_page, name="survey-opening"),
    path(f"{OPENING}survey/<slug:stage>/", survey_views.survey_page, name="survey-stage"),
    path(f"{OPENING}surveys/", survey_views.newest_survey, name="newest-survey"),
    path(f"{OPENING}surveys/<uuid:survey>/", decision_views.survey_result, name="survey-result"),
    path(f"{OPENING}surveys/<uuid:survey>/accept/", decision_views.accept, name="accept-survey"),
    path(f"{OPENING}surveys/<uuid:survey>/decide/", decision_views.decide, name="decide-fit"),
    path(f"{OPENING}photos/", photo_views.photos, name="opening-photos"),
    path(f"{OPENING}photos/<uuid:photo>/", photo_views.caption, name="caption-photo"),
    path(f"{OPENING}order/", order_views.order_page, name="order-doorset"),
    path("instruments/", instrument_views.instrument_list, name="instruments"),
    path("instruments/new/", instrument_views.new_instrument, name="new-instrument"),
    path(
        "instruments/<uuid:instrument>/",
        instrument_views.calibrate_instrument,
        name="calibrate-instrument",
    ),
]
