"""What a device asks for so as to go on without a network, and to sign what is recorded on it."""

from django.urls import path

from installs.views import offline_views, signing_phone_views

urlpatterns = [
    path("service-worker.js", offline_views.service_worker, name="service-worker"),
    path("app.webmanifest", offline_views.web_manifest, name="web-manifest"),
    path("offline/", offline_views.offline_page, name="offline"),
    path("queue/", offline_views.queue_page, name="queue"),
    path("phones/", signing_phone_views.phones, name="phones"),
    path("phones/<uuid:pk>/end/", signing_phone_views.end_phone, name="end-phone"),
]
