from django.urls import path

from installs.pages import concession_views

urlpatterns = [
    path(
        "jobs/<str:reference>/concede/<str:kind>/<uuid:pk>/<str:code>/",
        concession_views.grant_concession,
        name="grant-concession",
    ),
]
