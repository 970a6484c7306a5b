"""Every app's API under `/api/v1/`, the pages of people, and the documentation of the API."""

from django.contrib import admin
from django.urls import URLPattern, URLResolver, include, path
from django.views.generic import RedirectView
from drf_spectacular.views import SpectacularSwaggerSplitView

from jobs.api.description_view import DescriptionView

api: list[URLPattern | URLResolver] = [
    path("", include("jobs.api.urls")),
    path("", include("surveys.api.urls")),
    path("", include("installs.api.urls")),
    path("", include("reports.api.urls")),
    path("", include("upkeep.api.urls")),
    path("schema/", DescriptionView.as_view(), name="schema"),
    # The one that needs no script inside the page; our frame for it needs no style there either.
    path(
        "docs/",
        SpectacularSwaggerSplitView.as_view(url_name="schema", template_name="jobs/api_docs.html"),
        name="api-docs",
    ),
]

urlpatterns = [
    path("api/v1/", include(api)),
    # One way in, which is throttled; the admin has none of its own.
    path("admin/login/", RedirectView.as_view(pattern_name="sign-in", query_string=True)),
    path("admin/", admin.site.urls),
    path("", include("jobs.views.urls")),
    path("", include("installs.views.urls")),
    path("", include("installs.views.offline_urls")),
    path("", include("surveys.views.urls")),
    path("", include("reports.views.urls")),
    path("", include("office.views.urls")),
]

handler400 = "jobs.api.problems.unreadable"
handler404 = "jobs.api.problems.not_found"
handler500 = "jobs.api.problems.fault"
