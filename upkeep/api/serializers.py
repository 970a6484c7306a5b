"""Body and answer of an erasure."""

from rest_framework import serializers

from jobs.api.serializers import CustomerSerializer, SiteSerializer
from jobs.api.strict import StrictSerializer
from jobs.models import JournalEntry


class EraseSerializer(StrictSerializer):
    """Both stay in the journal for good; neither may name the customer."""

    reason = serializers.CharField(max_length=500)
    in_spite_of_retention = serializers.CharField(
        max_length=500,
        required=False,
        help_text="Why it is done before the time of retention is over.",
    )


class NamingEntrySerializer(serializers.ModelSerializer):
    verb = serializers.CharField(source="type")

    class Meta:
        model = JournalEntry
        fields = ("stream", "number", "verb", "record_kind", "record_id")


class ErasureSerializer(serializers.Serializer):
    """`kept_sites` are those where another customer has had work done, too; `named_in` entries of
    the journal that name the customer in words that somebody typed, and cannot be changed."""

    customer = CustomerSerializer()
    kept_sites = SiteSerializer(many=True)
    named_in = NamingEntrySerializer(many=True)
