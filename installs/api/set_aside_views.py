"""What was recorded on site and set aside, since it could not be taken as it was."""

from typing import ClassVar

from django.http import FileResponse, Http404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from installs.models import SetAside
from installs.services.setting_aside import LONGEST_REASON, set_photo_aside
from jobs.api.fields import ClientIdField
from jobs.api.made_on_site import MadeOnSiteSerializer
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.viewsets import ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import get_or_create_idempotently
from surveys.api.photo_records import AS_JPEG, identity_of_upload, jpeg, refuse_oversize

# What is named is not looked up: that it cannot be found may be why the photo was refused.
LONGEST_NAME = 40


class SetAsideSerializer(serializers.ModelSerializer):
    made_at = serializers.DateTimeField(source="recorded_at", read_only=True)

    class Meta:
        model = SetAside
        fields = (
            *RECORD_FIELDS,
            "made_at",
            "job",
            "person",
            "kind",
            "record",
            "body",
            "reason",
            "sha256",
        )


class PhotoSetAsideSerializer(MadeOnSiteSerializer):
    id = ClientIdField()
    image = serializers.FileField(help_text="JPEG, PNG or HEIC.")
    set_aside_because = serializers.CharField(
        max_length=LONGEST_REASON, help_text="Why it was refused."
    )
    made_at = serializers.DateTimeField(help_text="When it was taken, by the client's clock.")
    caption = serializers.CharField(max_length=160, required=False)
    installation = serializers.CharField(max_length=LONGEST_NAME, required=False)
    step = serializers.CharField(max_length=LONGEST_NAME, required=False)
    defect = serializers.CharField(max_length=LONGEST_NAME, required=False)
    survey = serializers.CharField(max_length=LONGEST_NAME, required=False)


class SetAsideViewSet(ReadOnlyRecordViewSet):
    """Readings, records and photographs of site that were refused and set aside, each with the
    reason."""

    model = SetAside
    serializer_class = SetAsideSerializer
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"], "kind": ["exact"]}
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "photos": Capability.MEASURE,
        "image": Capability.READ,
        "thumbnail": Capability.READ,
    }

    @extend_schema(
        request={"multipart/form-data": PhotoSetAsideSerializer},
        responses={201: SetAsideSerializer},
    )
    @action(detail=False, methods=["post"], parser_classes=[MultiPartParser])
    def photos(self, request: Request) -> Response:
        """Keep a photograph that was refused, with the reason. `installation`, `step`, `defect` and
        `survey` say what it was sent for."""
        refuse_oversize(request)
        said = dict(self.get_validated_data(PhotoSetAsideSerializer))
        content, time = said.pop("image").read(), said.pop("time")
        because = said.pop("set_aside_because")
        key = identity_of_upload(request, said.pop("id", None), content)
        kept, _ = get_or_create_idempotently(
            SetAside,
            key,
            lambda: set_photo_aside(
                actor=self.actor,
                idempotency_key=key,
                content=content,
                said=said,
                time=time,
                because=because,
            ),
        )
        return self.get_created_response(kept)

    @extend_schema(responses={(200, "image/jpeg"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"], renderer_classes=AS_JPEG)
    def image(self, request: Request, pk: str) -> FileResponse:
        """The photograph; what is none has no picture."""
        return self._picture("image")

    @extend_schema(responses={(200, "image/jpeg"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"], renderer_classes=AS_JPEG)
    def thumbnail(self, request: Request, pk: str) -> FileResponse:
        """The photograph, its longer side no longer than 480 pixels."""
        return self._picture("thumbnail")

    def _picture(self, name: str) -> FileResponse:
        kept = self.get_object()
        if not kept.image:
            raise Http404
        return jpeg(getattr(kept, name), f"{kept.pk}-{name}.jpg")
