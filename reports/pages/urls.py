from django.urls import include, path

from reports.pages import (
    customer_views,
    diary_views,
    export_views,
    handover_link_views,
    job_list_views,
    job_views,
    journal_views,
    paper_link_views,
    paper_views,
    verification_views,
)

of_a_job = [
    path("", job_views.job_page, name="job"),
    path("journal/", journal_views.journal, name="journal"),
    path("handover-link/", handover_link_views.handover_link, name="handover-link"),
    path("papers/ask/<slug:kind>/", paper_views.ask_for_paper, name="ask-for-paper"),
    path("papers/<uuid:pk>/", paper_views.paper, name="paper"),
    path("papers/<uuid:pk>/withdraw/", paper_views.withdraw_paper, name="withdraw-paper"),
    path("letters/<uuid:pk>/resend/", paper_views.resend_letter, name="resend-letter"),
]

urlpatterns = [
    path("", diary_views.home, name="home"),
    path("diary/", diary_views.diary, name="diary"),
    path("jobs/", job_list_views.job_list, name="job-list"),
    path("jobs/export.<slug:ending>", export_views.export_jobs, name="export-jobs"),
    path("jobs/<str:reference>/", include(of_a_job)),
    path("papers/<str:token>/", paper_link_views.linked_paper, name="linked-paper"),
    path("handover/<str:token>/", customer_views.handover, name="customer-handover"),
    path(
        "handover/<str:token>/certificate/",
        customer_views.certificate,
        name="customer-certificate",
    ),
    path("verify/<slug:code>/", verification_views.verify, name="verify"),
]
