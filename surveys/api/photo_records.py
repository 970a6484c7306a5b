"""The shape of endpoints of photographs: taken in as files, given out as JPEG."""

import hashlib
from datetime import datetime
from typing import Any, ClassVar, cast
from uuid import UUID

from django.http import FileResponse, QueryDict
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import renderers, status
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.made_on_site import OF_THE_SENDING
from jobs.api.viewsets import ReadOnlyRecordViewSet, RecordViewSet, VersionedUpdateMixin
from jobs.capabilities import Capability
from jobs.errors import InvalidField
from jobs.files import kept_file
from jobs.idempotency import IdempotencyKey, get_or_create_idempotently
from surveys.api.serializers import CaptionSerializer
from surveys.models import PhotoRecord
from surveys.photos import PhotoLimits, UnusablePhoto, check_size
from surveys.services.photos import caption_photo, photo_limits

# A file some times too large is still read (to disk), since a client that is cut off while it sends
# never hears why; beyond that the length it claims is enough.
READ_TIMES_TOO_LARGE = 4


class JpegRenderer(renderers.JSONRenderer):
    """Lets a client ask for image/jpeg; a refusal is still a problem document."""

    media_type = "image/jpeg"
    format = "jpeg"


AS_JPEG = [renderers.JSONRenderer, JpegRenderer]


class PhotoRecordViewSet(ReadOnlyRecordViewSet, VersionedUpdateMixin):
    """List, read, and look at photographs; say afterwards what one shows."""

    update_serializer = CaptionSerializer

    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "image": Capability.READ,
        "thumbnail": Capability.READ,
        "partial_update": Capability.MEASURE,
    }

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> PhotoRecord:
        return caption_photo(actor=self.actor, photo=record, expected_version=version, **body)

    @extend_schema(responses={(200, "image/jpeg"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"], renderer_classes=AS_JPEG)
    def image(self, request: Request, pk: str) -> FileResponse:
        """The photograph itself."""
        photo = self.get_object()
        return jpeg(photo.image, f"{photo.pk}.jpg")

    @extend_schema(responses={(200, "image/jpeg"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"], renderer_classes=AS_JPEG)
    def thumbnail(self, request: Request, pk: str) -> FileResponse:
        """The photograph, its longer side no longer than 480 pixels."""
        photo = self.get_object()
        return jpeg(photo.thumbnail or photo.image, f"{photo.pk}-small.jpg")


def jpeg(file: Any, name: str) -> FileResponse:
    return kept_file(file, name=name, media_type="image/jpeg", to_keep=False)


class PhotoUploadViewSet(RecordViewSet):
    """Where photographs of one `subject` are sent to; a repeat under the same id is harmless."""

    subject: ClassVar[Any]
    parser_classes = (MultiPartParser,)

    def keep(self, subject: Any, **fields: Any) -> PhotoRecord:
        """Call the service that stores the photograph: `idempotency_key`, `content`, and what else
        the body says."""
        raise NotImplementedError

    def take(self, subject_id: str) -> Response:
        subject = get_object_or_404(self.subject.objects.visible_to(self.actor), pk=subject_id)
        refuse_oversize(self.request)
        fields = dict(self.get_validated_data())
        content, time = fields.pop("image").read(), fields.get("time")
        idempotency_key = identity_of_upload(
            self.request,
            fields.pop("id", None),
            content,
            subject=str(subject.pk),
            recorded_at=time.recorded_at if time else None,
        )
        photo, made = get_or_create_idempotently(
            self.model,
            idempotency_key,
            lambda: self.keep(subject, idempotency_key=idempotency_key, content=content, **fields),
        )
        return self.get_response(photo, status.HTTP_201_CREATED if made else status.HTTP_200_OK)


def identity_of_upload(
    request: Request,
    identifier: UUID | None,
    content: bytes,
    *,
    field: str = "image",
    subject: str = "",
    recorded_at: datetime | None = None,
) -> IdempotencyKey:
    """Identity of a form with a file in `field`, so that a repeat is known: the file counts by its
    hash, and not when it was sent."""
    given = cast(QueryDict, request.data).dict()
    fields = {name: value for name, value in given.items() if name not in OF_THE_SENDING}
    file = hashlib.sha256(content).hexdigest()
    sent = fields | {field: file} | ({"subject": subject} if subject else {})
    return IdempotencyKey.of(identifier, sent, recorded_at)


def refuse_oversize(
    request: Request, limits: PhotoLimits | None = None, *, pointer: str = "/image"
) -> None:
    """Far too large: before the body is read at all, by what the client says its length is."""
    given = request.META.get("CONTENT_LENGTH") or ""
    length = int(given) if given.isdecimal() else 0
    try:
        check_size(length // READ_TIMES_TOO_LARGE, limits or photo_limits())
    except UnusablePhoto as error:
        raise InvalidField(pointer, str(error)) from error
