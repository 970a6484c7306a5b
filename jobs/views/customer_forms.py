"""What the office types about a customer and about the places where work is done."""

from typing import Any

from django import forms

from jobs.api.serializers import TelephoneField
from jobs.models import Customer, Site
from jobs.views.forms import ChangeableForm
from jobs.views.quantities import read_as


class CustomerForm(ChangeableForm):
    name = forms.CharField(max_length=120, label="Name")
    email = forms.EmailField(
        max_length=254, label="E-mail", help_text="The completion certificate is sent to it."
    )
    telephone = forms.CharField(
        max_length=30,
        required=False,
        label="Telephone",
        help_text="A British number, or one that begins with + and the code of its country.",
        widget=forms.TextInput(attrs={"type": "tel"}),
    )

    @classmethod
    def showing(cls, customer: Customer) -> dict[str, Any]:
        names = ("version", "name", "email", "telephone")
        return {name: getattr(customer, name) for name in names}

    def clean_telephone(self) -> str:
        given: str = self.cleaned_data["telephone"]
        return read_as(TelephoneField(), given) if given else ""


class SiteForm(ChangeableForm):
    address_line_1 = forms.CharField(max_length=120, label="House and street")
    address_line_2 = forms.CharField(max_length=120, required=False, label="Second line")
    town = forms.CharField(max_length=80, label="Town")
    postcode = forms.CharField(max_length=12, label="Postcode")
    access_notes = forms.CharField(
        max_length=500,
        required=False,
        label="Access",
        help_text="Where to park, what is narrow, who holds the key. Crews see this.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @classmethod
    def showing(cls, site: Site) -> dict[str, Any]:
        return {name: getattr(site, name) for name in ("version", *cls.base_fields) if name != "id"}
