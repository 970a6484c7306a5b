"""Bodies of requests and responses: webhook endpoints, and e-mails that came back."""

from django.utils.translation import gettext as _
from rest_framework import serializers

from jobs.api.fields import ClientIdField, StrictBooleanField
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.strict import StrictSerializer
from jobs.journal_types import PUBLIC_TYPES
from reports.models import WebhookEndpoint

LARGEST_NOTICE_BYTES = 1_000_000


class EventTypesField(serializers.ListField):
    """Empty for all of them."""

    child = serializers.ChoiceField(choices=sorted(PUBLIC_TYPES))


class WebhookEndpointCreateSerializer(StrictSerializer):
    id = ClientIdField()
    address = serializers.CharField(max_length=500, help_text="https only, on a public host.")
    event_types = EventTypesField(default=list)


class WebhookEndpointUpdateSerializer(StrictSerializer):
    address = serializers.CharField(max_length=500)
    event_types = EventTypesField()
    active = StrictBooleanField()


class WebhookEndpointSerializer(serializers.ModelSerializer):
    class Meta:
        model = WebhookEndpoint
        fields: tuple[str, ...] = (*RECORD_FIELDS, "address", "event_types", "active")


class WebhookEndpointDetailSerializer(WebhookEndpointSerializer):
    """With the secret that its receiver checks signatures with; lists leave it out."""

    class Meta(WebhookEndpointSerializer.Meta):
        fields = (*WebhookEndpointSerializer.Meta.fields, "secret")


class ReturnedLetterSerializer(StrictSerializer):
    """The notice that a mail server sends back (RFC 3464), as a file with all its headers."""

    file = serializers.FileField(max_length=200)

    def validate_file(self, file: object) -> object:
        if getattr(file, "size", 0) > LARGEST_NOTICE_BYTES:
            raise serializers.ValidationError(_("larger than 1 MB; send only the notice"))
        return file
