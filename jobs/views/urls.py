from django.contrib.auth.views import LogoutView
from django.urls import include, path

from jobs.views import (
    calendar_views,
    crew_views,
    customer_views,
    delivery_views,
    doorset_views,
    job_views,
    opening_views,
    profile_system_views,
    second_factor,
    sign_in,
    site_views,
    visit_views,
)

of_a_customer = [
    path("", customer_views.customer_page, name="customer"),
    path("change/", customer_views.change_customer, name="change-customer"),
    path("jobs/new/", job_views.take_on_job, name="take-on-job"),
    path("sites/new/", site_views.add_site, name="add-site"),
    path("sites/<uuid:pk>/", site_views.change_site, name="change-site"),
]

of_an_opening = [
    path("doorset/", doorset_views.doorset_page, name="doorset"),
    path("doorset/drawing/", doorset_views.draw_doorset, name="draw-doorset"),
    path("delivery/", delivery_views.record_delivery, name="record-delivery"),
    path("change/", opening_views.change_opening, name="change-opening"),
]

of_the_second_factor = [
    path("", second_factor.second_factor, name="second-factor"),
    path("begin/", second_factor.begin, name="second-factor-begin"),
    path("enrol/", second_factor.enrol, name="second-factor-enrol"),
    path("recovery-codes/", second_factor.renew_codes, name="second-factor-codes"),
    path("off/", second_factor.switch_off, name="second-factor-off"),
]

urlpatterns = [
    path("sign-in/", sign_in.SignInView.as_view(), name="sign-in"),
    path("sign-in/code/", sign_in.sign_in_code, name="sign-in-code"),
    path("second-factor/", include(of_the_second_factor)),
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
    path("crews/", crew_views.crew_list, name="crew-list"),
    path("crews/new/", crew_views.add_crew, name="add-crew"),
    path("crews/<uuid:pk>/", crew_views.change_crew, name="change-crew"),
    path("crews/<uuid:pk>/calendar/", calendar_views.calendar_page, name="crew-calendar-page"),
    path("crews/<uuid:pk>/calendar/end/", calendar_views.end_calendar, name="end-crew-calendar"),
    path("calendars/<slug:secret>.ics", calendar_views.calendar, name="crew-calendar"),
    path("jobs/<str:reference>/visits/new/", visit_views.book_visit, name="book-visit"),
    path("jobs/<str:reference>/visits/<uuid:pk>/", visit_views.move_visit, name="move-visit"),
    path("jobs/<str:reference>/visits/<uuid:pk>/end/", visit_views.end_visit, name="end-visit"),
    path(
        "jobs/<str:reference>/visits/<uuid:pk>/cancel/",
        visit_views.cancel_visit,
        name="cancel-visit",
    ),
]
