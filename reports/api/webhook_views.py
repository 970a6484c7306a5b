"""Endpoints of other programs, and e-mails that came back."""

from typing import Any, ClassVar

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import ValidationError
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.viewsets import (
    IdempotentCreateMixin,
    ReadOnlyRecordViewSet,
    RecordViewSet,
    VersionedUpdateMixin,
)
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record
from reports.api import serializers as bodies
from reports.api import webhook_serializers
from reports.bounces import NotABounce, read_bounce
from reports.models import Dispatch, WebhookEndpoint
from reports.services import webhooks
from reports.services.dispatches import record_bounce


class WebhookEndpointViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Programs that receive what happens to jobs, as Standard Webhooks describes.

    Each message has the headers `webhook-id`, `webhook-timestamp` and `webhook-signature` (scheme
    v1) and a body of `type`, `timestamp` and `data`, which names a job and a record to read here.
    The same message keeps its id through every attempt. Any answer but 2xx is tried again for two
    days; 410 switches the endpoint off.
    """

    model = WebhookEndpoint
    serializer_class = webhook_serializers.WebhookEndpointDetailSerializer
    list_serializer = webhook_serializers.WebhookEndpointSerializer
    create_serializer = webhook_serializers.WebhookEndpointCreateSerializer
    update_serializer = webhook_serializers.WebhookEndpointUpdateSerializer
    required_capabilities: ClassVar = {
        "list": Capability.MANAGE_WEBHOOKS,
        "retrieve": Capability.MANAGE_WEBHOOKS,
        "create": Capability.MANAGE_WEBHOOKS,
        "partial_update": Capability.MANAGE_WEBHOOKS,
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return webhooks.add_endpoint(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return webhooks.change_endpoint(
            actor=self.actor, endpoint=record, expected_version=version, **body
        )


class ReturnedLetterViewSet(RecordViewSet):
    """Letters that a mail server accepted and sent back later."""

    model = Dispatch
    serializer_class = bodies.DispatchSerializer
    required_capabilities: ClassVar = {
        "create": Capability.ISSUE_PAPERS,
    }
    parser_classes = (MultiPartParser,)

    @extend_schema(
        request=webhook_serializers.ReturnedLetterSerializer,
        responses={200: bodies.DispatchSerializer},
    )
    def create(self, request: Request) -> Response:
        """Record the notice of an e-mail that came back; answers with its dispatch.

        400 for what is no such notice, and for an e-mail that is none of ours or was sent again.
        """
        data = self.get_validated_data(webhook_serializers.ReturnedLetterSerializer)
        try:
            dispatch = record_bounce(bounce=read_bounce(data["file"].read()))
        except NotABounce as error:
            raise ValidationError({"file": [str(error)]}) from error
        if dispatch is None:
            message = _("no e-mail that was sent has its Message-ID")
            raise ValidationError({"file": [message]})
        return self.get_response(dispatch)
