from django.urls import path

from upkeep.api import views

urlpatterns = [
    path(
        "customers/<uuid:pk>/personal-data/",
        views.PersonalDataViewSet.as_view({"get": "held"}),
        name="customer-personal-data",
    ),
    path(
        "customers/<uuid:pk>/erase/",
        views.PersonalDataViewSet.as_view({"post": "erase"}),
        name="customer-erase",
    ),
]
