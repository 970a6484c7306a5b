"""Bodies and answers of defects, concessions and handovers."""

from typing import Any

from django.utils.translation import gettext_lazy
from rest_framework import serializers

from installs.api.serializers import SITE_FIELDS, SiteRecordSerializer
from installs.defect_places import ALLOWED, LONGEST
from installs.models import Concession, Defect, Handover, Installation, PlanStep, SitePhoto
from jobs.api.fields import (
    ClientIdField,
    IntegerQuantityField,
    QuantityField,
    StrictBooleanField,
    VisibleRelatedField,
)
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import Job


class DefectCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    step = VisibleRelatedField(PlanStep, required=False)
    place = serializers.CharField(
        max_length=LONGEST, required=False, help_text=f"Where on the doorset, such as {ALLOWED}."
    )
    severity = serializers.ChoiceField(choices=Defect.Severity.choices)
    description = serializers.CharField(max_length=500)
    responsible = serializers.ChoiceField(
        choices=Defect.Responsible.choices,
        required=False,
        help_text="Whose work it is to put right; the crew's where nothing is said.",
    )


class PutDefectRightSerializer(StrictSerializer):
    how = serializers.CharField(max_length=500)


class ReinspectionSerializer(StrictSerializer):
    accepted = StrictBooleanField()
    note = serializers.CharField(max_length=500, required=False)


class LeaveToComeSerializer(StrictSerializer):
    until = serializers.DateField(help_text="The day by which it is put right.")
    promise = serializers.CharField(
        max_length=300,
        help_text="What the customer accepts until then and what will be done; they sign under it.",
    )


class EvidenceSerializer(StrictSerializer):
    """What the office closes a defect on; `photo_before` may be left out where a failed reading
    opened it."""

    note = serializers.CharField(max_length=500, help_text="What the photos and readings show.")
    photo_before = VisibleRelatedField(SitePhoto, required=False)
    photo_after = VisibleRelatedField(SitePhoto)


class DefectSerializer(SiteRecordSerializer):
    class Meta:
        model = Defect
        fields = (
            *SITE_FIELDS,
            "installation",
            "step",
            "inspection",
            "place",
            "severity",
            "description",
            "responsible",
            "found_by",
            "put_right_by",
            "put_right_at",
            "put_right_how",
            "reinspected_by",
            "reinspected_at",
            "reinspection_note",
            "photo_before",
            "photo_after",
            "read_since",
            "closed_at",
            "to_come_by",
            "to_come_promise",
            "found_after",
        )


class ConcessionCreateSerializer(StrictSerializer):
    id = ClientIdField()
    installation = VisibleRelatedField(Installation)
    code = serializers.CharField(max_length=40)
    place = serializers.CharField(
        max_length=60,
        required=False,
        allow_blank=True,
        help_text="As the blocker names it; needed where the code is in the way at several places.",
    )
    defect = VisibleRelatedField(Defect, required=False)
    reason = serializers.CharField(max_length=500)


class ConcessionSerializer(serializers.ModelSerializer):
    class Meta:
        model = Concession
        fields = (
            *RECORD_FIELDS,
            "installation",
            "code",
            "place",
            "step",
            "defect",
            "asked",
            "found",
            "reason",
            "accepted_by",
        )


class StrokeField(serializers.ListField):
    """One stroke of a signature: points [x, y] in the units of the pad it was written on."""

    child = serializers.ListField(
        child=QuantityField(gettext_lazy("(units of the pad)"), 0, 10000),
        min_length=2,
        max_length=2,
    )
    min_length = 1
    max_length = 2000


class ToComeSerializer(StrictSerializer):
    """A minor defect as the customer has seen it on the list that they sign under."""

    defect = serializers.UUIDField()
    until = serializers.DateField()

    def validate(self, attrs: Any) -> Any:
        """As the handover keeps it."""
        return {"defect": str(attrs["defect"]), "until": attrs["until"].isoformat()}


class HandoverCreateSerializer(StrictSerializer):
    id = ClientIdField()
    job = VisibleRelatedField(Job)
    customer_name = serializers.CharField(max_length=120)
    signature = serializers.ListField(child=StrokeField(), max_length=200, required=False)
    unsigned_because = serializers.CharField(
        max_length=200,
        required=False,
        allow_blank=True,
        help_text="Why it is not signed here, such as: on paper. Needed without a signature.",
    )
    keys = serializers.DictField(
        child=IntegerQuantityField("keys", 1, 50),
        help_text="Number of keys by id of the installation.",
    )
    demonstrated = StrictBooleanField()
    care_given = StrictBooleanField()
    to_come = serializers.ListField(
        child=ToComeSerializer(),
        required=False,
        max_length=100,
        help_text="Every minor defect that is left to come, as it was shown before the signature.",
    )


class HandoverSerializer(SiteRecordSerializer):
    class Meta:
        model = Handover
        fields = (
            *SITE_FIELDS,
            "job",
            "fitter",
            "customer_name",
            "signature",
            "unsigned_because",
            "keys",
            "demonstrated",
            "care_given",
            "to_come",
        )
