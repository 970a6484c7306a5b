from django.urls import path

from office.views import diary_views, export_views, job_list_views, job_views, journal_views

urlpatterns = [
    path("", diary_views.home, name="home"),
    path("diary/", diary_views.diary, name="diary"),
    path("jobs/", job_list_views.job_list, name="job-list"),
    path("jobs/export.<slug:ending>", export_views.export_jobs, name="export-jobs"),
    path("jobs/<str:reference>/", job_views.job_page, name="job"),
    path("jobs/<str:reference>/journal/", journal_views.journal, name="journal"),
]
