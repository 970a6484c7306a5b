"""Body and answer of an erasure."""

from rest_framework import serializers

from jobs.api.serializers import CustomerAnswer, SiteAnswer
from jobs.api.strict import StrictSerializer
from jobs.models import JournalEntry


class ErasureBody(StrictSerializer):
    """Both stay in the journal for good; neither may name the customer."""

    reason = serializers.CharField(max_length=500)
    in_spite_of_retention = serializers.CharField(
        max_length=500,
        required=False,
        help_text="Why it is done before the time of retention is over.",
    )


class NamingEntry(serializers.ModelSerializer):
    class Meta:
        model = JournalEntry
        fields = ("stream", "number", "verb", "record_kind", "record_id")


class ErasureAnswer(serializers.Serializer):
    """`kept_sites` are those where another customer has had work done, too; `named_in` entries of
    the journal that name the customer in words that somebody typed, and cannot be changed."""

    customer = CustomerAnswer()
    kept_sites = SiteAnswer(many=True)
    named_in = NamingEntry(many=True)
