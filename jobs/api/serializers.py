"""Bodies and answers of customers, sites, jobs, openings, people, crews and visits."""

from typing import Any, ClassVar

import phonenumbers
from django.utils.translation import gettext as _
from rest_framework import serializers

from jobs.api.fields import ClientIdField, QuantityField, VisibleRelatedField
from jobs.api.strict import StrictSerializer
from jobs.capabilities import Capability
from jobs.crew_needs import crew_warnings
from jobs.models import Crew, Customer, Job, Opening, Person, Role, RuleSet, Site, Visit

RECORD_FIELDS = ("id", "version", "created_at", "updated_at")
CONTACT_FIELDS = ("email", "telephone")


class TokenCreateSerializer(StrictSerializer):
    username = serializers.CharField(max_length=150)
    password = serializers.CharField(max_length=200, trim_whitespace=False)
    role = serializers.ChoiceField(choices=Role.choices)
    code = serializers.CharField(
        max_length=20,
        default="",
        allow_blank=True,
        help_text="Of the second factor, for whoever has one.",
    )


class TokenSerializer(serializers.Serializer):
    token = serializers.CharField()
    role = serializers.ChoiceField(choices=Role.choices)
    expires_at = serializers.DateTimeField()


class PersonCreateSerializer(StrictSerializer):
    username = serializers.RegexField(r"^[\w.@+-]+$", max_length=150)
    password = serializers.CharField(max_length=200, trim_whitespace=False)
    first_name = serializers.CharField(max_length=150)
    last_name = serializers.CharField(max_length=150)
    email = serializers.EmailField()
    roles = serializers.ListField(
        child=serializers.ChoiceField(choices=Role.choices), min_length=1, max_length=len(Role)
    )


class PersonSerializer(serializers.ModelSerializer):
    roles = serializers.SerializerMethodField()

    class Meta:
        model = Person
        fields = ("id", "username", "first_name", "last_name", "email", "roles")

    def get_roles(self, person: Person) -> list[str]:
        return sorted(record.role for record in person.role_records.all())


class RuleSetSerializer(serializers.ModelSerializer):
    class Meta:
        model = RuleSet
        fields = ("id", "name", "title", "issued_on", "sha256", "text")


class TelephoneField(serializers.CharField):
    """A telephone number, read as British unless it starts with +; kept in E.164 form."""

    def to_internal_value(self, data: Any) -> str:
        text = super().to_internal_value(data)
        try:
            number = phonenumbers.parse(text, "GB")
        except phonenumbers.NumberParseException as error:
            message = _("{text} is not a telephone number").format(text=text)
            raise serializers.ValidationError(message) from error
        if not phonenumbers.is_possible_number(number):
            message = _("{text} is too short or too long for a number").format(text=text)
            raise serializers.ValidationError(message)
        return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


class CustomerUpdateSerializer(StrictSerializer):
    name = serializers.CharField(max_length=120)
    email = serializers.EmailField()
    telephone = TelephoneField(max_length=30, required=False)


class CustomerCreateSerializer(CustomerUpdateSerializer):
    id = ClientIdField()


class CustomerSerializer(serializers.ModelSerializer):
    """`email` and `telephone` are null for whoever may not see how to reach a customer."""

    class Meta:
        model = Customer
        fields = (*RECORD_FIELDS, "name", *CONTACT_FIELDS, "erased_at")
        extra_kwargs: ClassVar = {field: {"allow_null": True} for field in CONTACT_FIELDS}

    def to_representation(self, customer: Customer) -> dict[str, Any]:
        answer: dict[str, Any] = super().to_representation(customer)
        if not self.context["request"].user.has_capability(Capability.SEE_CUSTOMER_CONTACT):
            answer |= dict.fromkeys(CONTACT_FIELDS)
        return answer


class SiteUpdateSerializer(StrictSerializer):
    address_line_1 = serializers.CharField(max_length=120)
    address_line_2 = serializers.CharField(max_length=120, required=False)
    town = serializers.CharField(max_length=80)
    postcode = serializers.CharField(max_length=12)
    access_notes = serializers.CharField(max_length=500, required=False)


class SiteCreateSerializer(SiteUpdateSerializer):
    id = ClientIdField()


class SiteSerializer(serializers.ModelSerializer):
    class Meta:
        model = Site
        fields = (
            *RECORD_FIELDS,
            "address_line_1",
            "address_line_2",
            "town",
            "postcode",
            "access_notes",
        )


class JobUpdateSerializer(StrictSerializer):
    title = serializers.CharField(max_length=120)


class JobCreateSerializer(JobUpdateSerializer):
    id = ClientIdField()
    customer = VisibleRelatedField(Customer)
    site = VisibleRelatedField(Site)
    rule_set = VisibleRelatedField(RuleSet, required=False)


class JobSerializer(serializers.ModelSerializer):
    class Meta:
        model = Job
        fields = (*RECORD_FIELDS, "reference", "customer", "site", "title", "rule_set")


class CaseSerializer(StrictSerializer):
    """Which building regulations count, and what they are asked for; left out where it is not
    known. `existing_upstand`: of the threshold that is replaced."""

    nation = serializers.ChoiceField(
        choices=Opening.Nation.choices, required=False, allow_blank=True
    )
    work = serializers.ChoiceField(choices=Opening.Work.choices, required=False, allow_blank=True)
    existing_upstand = QuantityField("mm", 0, 500, required=False, allow_null=True)


class OpeningUpdateSerializer(CaseSerializer):
    name = serializers.CharField(max_length=80)


class OpeningCreateSerializer(OpeningUpdateSerializer):
    id = ClientIdField()
    job = VisibleRelatedField(Job)


class OpeningSerializer(serializers.ModelSerializer):
    class Meta:
        model = Opening
        fields = (
            *RECORD_FIELDS,
            "job",
            "number",
            "name",
            "nation",
            "work",
            "existing_upstand",
            "left_out_at",
            "left_out_because",
        )


class CrewUpdateSerializer(StrictSerializer):
    name = serializers.CharField(max_length=80)
    members = serializers.PrimaryKeyRelatedField(
        queryset=Person.objects.filter(is_active=True), many=True, allow_empty=False
    )


class CrewCreateSerializer(CrewUpdateSerializer):
    id = ClientIdField()


class CrewSerializer(serializers.ModelSerializer):
    class Meta:
        model = Crew
        fields = (*RECORD_FIELDS, "name", "members", "has_calendar")


class CalendarAddressSerializer(serializers.Serializer):
    """Shown this once: the service keeps the digest of its secret alone."""

    address = serializers.URLField()


class VisitCreateSerializer(StrictSerializer):
    id = ClientIdField()
    job = VisibleRelatedField(Job)
    kind = serializers.ChoiceField(choices=Visit.Kind.choices)
    purpose = serializers.ChoiceField(
        choices=Visit.Purpose.choices, required=False, help_text="Of a return visit."
    )
    crew = VisibleRelatedField(Crew)
    start = serializers.DateTimeField()
    end = serializers.DateTimeField()


class VisitUpdateSerializer(StrictSerializer):
    start = serializers.DateTimeField()
    end = serializers.DateTimeField()


class VisitSerializer(serializers.ModelSerializer):
    class Meta:
        model = Visit
        fields: tuple[str, ...] = (
            *RECORD_FIELDS,
            "job",
            "kind",
            "purpose",
            "crew",
            "people",
            "start",
            "end",
            "began_at",
            "ended_at",
            "cancelled_at",
        )


class VisitDetailSerializer(VisitSerializer):
    """With what should be known before the crew goes: whether it is too small for what it is to
    lift. A warning refuses nothing."""

    warnings = serializers.SerializerMethodField()

    class Meta(VisitSerializer.Meta):
        fields = (*VisitSerializer.Meta.fields, "warnings")

    def get_warnings(self, visit: Visit) -> list[str]:
        return crew_warnings([visit]).get(visit.pk, [])
