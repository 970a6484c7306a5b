from django.urls import include, path

from reports.views import (
    checkpoint_views,
    customer_views,
    document_link_views,
    document_views,
    handover_link_views,
    pack_views,
    verification_views,
    witness_views,
)

of_a_job = [
    path("handover-link/", handover_link_views.handover_link, name="handover-link"),
    path("papers/ask/<slug:kind>/", document_views.ask_for_document, name="ask-for-document"),
    path("papers/<uuid:pk>/", document_views.job_document, name="job-document"),
    path("papers/<uuid:pk>/file/", document_views.job_document_file, name="job-document-file"),
    path(
        "papers/<uuid:pk>/withdraw/",
        document_views.withdraw_document_page,
        name="withdraw-document",
    ),
    path("letters/<uuid:pk>/resend/", document_views.resend_dispatch, name="resend-dispatch"),
]

urlpatterns = [
    path("jobs/<str:reference>/", include(of_a_job)),
    path("fittings/<uuid:pk>/pack.pdf", pack_views.fitting_pack, name="fitting-pack"),
    path("papers/<str:token>/", document_link_views.linked_document, name="linked-document"),
    path("handover/<str:token>/", customer_views.handover, name="customer-handover"),
    path(
        "handover/<str:token>/certificate/",
        customer_views.certificate,
        name="customer-certificate",
    ),
    path("checkpoints/", checkpoint_views.checkpoints, name="checkpoints"),
    path("checkpoints/latest/", checkpoint_views.latest_checkpoint, name="latest-checkpoint"),
    path("checkpoints/<int:number>/", checkpoint_views.checkpoint, name="checkpoint"),
    path("checkpoints/<int:first>/<int:second>/", checkpoint_views.consistency, name="consistency"),
    path("witnesses/", witness_views.witness_list, name="witnesses"),
    path("witnesses/new/", witness_views.new_witness, name="new-witness"),
    path("witnesses/<uuid:pk>/end/", witness_views.end_witness_page, name="end-witness"),
    path("verify/<slug:code>/", verification_views.verify, name="verify"),
]
