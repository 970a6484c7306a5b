"""Bodies and answers of the keys that devices sign with."""

from rest_framework import serializers

from jobs.api.fields import ClientIdField
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.models import EnrolledKey

LONGEST_REASON = 500


class EnrolledKeyCreateSerializer(StrictSerializer):
    id = ClientIdField()
    device = serializers.CharField(
        max_length=60,
        help_text="What it is called, such as “Work phone”; it stays in the journal.",
    )
    public_key = serializers.DictField(
        help_text="A JWK (RFC 7517) with `kty` EC, `crv` P-256, `x` and `y`; never with `d`.",
    )
    password = serializers.CharField(
        max_length=200, trim_whitespace=False, help_text="Of who is signed in, as a confirmation."
    )


class EndKeySerializer(StrictSerializer):
    because = serializers.CharField(
        max_length=LONGEST_REASON, help_text="Why, such as “lost”; it stays in the journal."
    )


class EnrolledKeySerializer(serializers.ModelSerializer):
    class Meta:
        model = EnrolledKey
        fields = (
            *RECORD_FIELDS,
            "person",
            "device",
            "public_key",
            "thumbprint",
            "ended_at",
            "ended_by",
            "ended_because",
        )
