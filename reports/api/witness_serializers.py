"""Bodies and answers of the witnesses of the journal."""

from rest_framework import serializers

from jobs.api.fields import ClientIdField
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from reports.models import JournalWitness


class JournalWitnessCreateSerializer(StrictSerializer):
    id = ClientIdField()
    name = serializers.CharField(max_length=120)
    email = serializers.EmailField(help_text="Outside the firm; a letter goes there every month.")
    standing = serializers.ChoiceField(choices=JournalWitness.Standing.choices)


class JournalWitnessSerializer(serializers.ModelSerializer):
    class Meta:
        model = JournalWitness
        fields = (*RECORD_FIELDS, "name", "email", "standing", "ended_at")
