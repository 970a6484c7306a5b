from django.urls import path, re_path
from django.views.generic import RedirectView

from reports.pages import job_views, paper_link_views, verification_views

urlpatterns = [
    path("", RedirectView.as_view(pattern_name="job-list"), name="home"),
    path("jobs/", job_views.job_list, name="job-list"),
    re_path(r"^jobs/(?P<reference>SW-\d{2}-\d{4,})/$", job_views.job_page, name="job"),
    re_path(
        r"^jobs/(?P<reference>SW-\d{2}-\d{4,})/certificate/$",
        job_views.ask_for_certificate,
        name="ask-for-certificate",
    ),
    path("papers/<str:token>/", paper_link_views.linked_paper, name="linked-paper"),
    path("verify/<slug:code>/", verification_views.verify, name="verify"),
]
