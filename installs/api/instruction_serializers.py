"""Bodies and answers of what the maker of the profiles gives to fitters."""

from rest_framework import serializers

from installs.models import MakerInstruction, PlanStep
from jobs.api.fields import ClientIdField
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer


class MakerInstructionCreateSerializer(StrictSerializer):
    id = ClientIdField()
    file = serializers.FileField(
        help_text="PDF without scripts, forms that send, or files inside; PNG or JPEG."
    )
    title = serializers.CharField(max_length=120)
    phase = serializers.ChoiceField(
        choices=PlanStep.Phase.choices,
        required=False,
        help_text="Of the fitting, that it is about; left out where it is about all of it.",
    )


class MakerInstructionSerializer(serializers.ModelSerializer):
    class Meta:
        model = MakerInstruction
        fields = (
            *RECORD_FIELDS,
            "profile_system",
            "title",
            "phase",
            "media_type",
            "size",
            "sha256",
            "withdrawn_at",
        )
