from django.contrib.auth.views import LogoutView
from django.urls import path

from jobs.pages import sign_in

urlpatterns = [
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
]
