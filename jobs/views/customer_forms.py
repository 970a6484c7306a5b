"""What the office types about a customer and about the places where work is done."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.api.serializers import TelephoneField
from jobs.models import Customer, Site
from jobs.views.forms import ChangeableForm
from jobs.views.quantities import read_as


class CustomerForm(ChangeableForm):
    name = forms.CharField(max_length=120, label=_("Name"))
    email = forms.EmailField(
        max_length=254, label=_("E-mail"), help_text=_("The completion certificate is sent to it.")
    )
    telephone = forms.CharField(
        max_length=30,
        required=False,
        label=_("Telephone"),
        help_text=_("A British number, or one that begins with + and the code of its country."),
        widget=forms.TextInput(attrs={"type": "tel"}),
    )

    @classmethod
    def showing(cls, customer: Customer) -> dict[str, Any]:
        names = ("version", "name", "email", "telephone")
        return {name: getattr(customer, name) for name in names}

    def clean_telephone(self) -> str:
        telephone: str = self.cleaned_data["telephone"]
        return read_as(TelephoneField(), telephone) if telephone else ""


class SiteForm(ChangeableForm):
    address_line_1 = forms.CharField(max_length=120, label=_("House and street"))
    address_line_2 = forms.CharField(max_length=120, required=False, label=_("Second line"))
    town = forms.CharField(max_length=80, label=_("Town"))
    postcode = forms.CharField(max_length=12, label=_("Postcode"))
    access_notes = forms.CharField(
        max_length=500,
        required=False,
        label=_("Access"),
        help_text=_("Where to park, what is narrow, who holds the key. Crews see this."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @classmethod
    def showing(cls, site: Site) -> dict[str, Any]:
        return {name: getattr(site, name) for name in ("version", *cls.base_fields) if name != "id"}
