from django.contrib.auth.views import LogoutView
from django.urls import include, path

from jobs.pages import (
    customer_views,
    job_views,
    opening_views,
    profile_system_views,
    sign_in,
    site_views,
)

of_a_customer = [
    path("", customer_views.customer_page, name="customer"),
    path("change/", customer_views.change_customer, name="change-customer"),
    path("jobs/new/", job_views.take_on_job, name="take-on-job"),
    path("sites/new/", site_views.add_site, name="add-site"),
    path("sites/<uuid:pk>/", site_views.change_site, name="change-site"),
]

of_an_opening = [
    path("change/", opening_views.change_opening, name="change-opening"),
]

urlpatterns = [
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("customers/", customer_views.customer_list, name="customer-list"),
    path("customers/new/", customer_views.add_customer, name="add-customer"),
    path("customers/<uuid:customer_pk>/", include(of_a_customer)),
    path("profile-systems/", profile_system_views.profile_system_list, name="profile-system-list"),
    path(
        "profile-systems/new/", profile_system_views.add_profile_system, name="add-profile-system"
    ),
    path(
        "profile-systems/<uuid:pk>/",
        profile_system_views.change_profile_system,
        name="change-profile-system",
    ),
    path("jobs/<str:reference>/change/", job_views.change_job, name="change-job"),
    path("jobs/<str:reference>/openings/new/", opening_views.add_opening, name="add-opening"),
    path("jobs/<str:reference>/openings/<int:number>/", include(of_an_opening)),
]
