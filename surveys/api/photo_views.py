"""Endpoints of photographs: taken in as files, given out as JPEG."""

import hashlib
from typing import Any, ClassVar

from django.db.models import QuerySet
from django.http import FileResponse
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import renderers, status
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.records import ANYBODY, ReadRecords, Records
from jobs.identity import Identity, created_once
from jobs.refusals import InvalidField
from surveys.api import serializers as bodies
from surveys.models import Photo, Survey
from surveys.photos import UnusablePhoto, check_size
from surveys.services.photos import add_photo, photo_limits

# A file some times too large is still read (to disk), since a client that is cut off while it sends
# never hears why; beyond that the length it claims is enough.
READ_TIMES_TOO_LARGE = 4


class JpegRenderer(renderers.JSONRenderer):
    """Lets a client ask for image/jpeg; a refusal is still a problem document."""

    media_type = "image/jpeg"
    format = "jpeg"


class Photos(ReadRecords):
    """Photographs of surveys."""

    model = Photo
    serializer_class = bodies.PhotoAnswer
    may: ClassVar = {**ReadRecords.may, "image": ANYBODY}
    filterset_fields: ClassVar = {
        "survey": ["exact"],
        "survey__opening": ["exact"],
        "survey__opening__job__reference": ["exact"],
    }

    @extend_schema(responses={(200, "image/jpeg"): OpenApiTypes.BINARY})
    @action(
        detail=True,
        methods=["get"],
        renderer_classes=[renderers.JSONRenderer, JpegRenderer],
    )
    def image(self, request: Request, pk: str) -> FileResponse:
        """The photograph itself."""
        photo = self.get_object()
        return FileResponse(
            photo.image.open("rb"), content_type="image/jpeg", filename=f"{photo.pk}.jpg"
        )

    def related(self, queryset: QuerySet) -> QuerySet:
        return queryset.select_related("survey")


class SurveyPhotos(Records):
    """Where photographs of one survey are sent to."""

    model = Photo
    serializer_class = bodies.PhotoAnswer
    create_serializer = bodies.NewPhoto
    may: ClassVar = {"create": ANYBODY}
    parser_classes = (MultiPartParser,)

    @extend_schema(
        request={"multipart/form-data": bodies.NewPhoto}, responses={201: bodies.PhotoAnswer}
    )
    def create(self, request: Request, survey_id: str) -> Response:
        """Add a photograph (JPEG, PNG or HEIC). It is kept without where it was taken."""
        survey = get_object_or_404(Survey.objects.visible_to(self.actor), pk=survey_id)
        self._refuse_oversize(request)
        body = self.read_body()
        content = body["image"].read()
        caption = body.get("caption", "")
        identity = Identity.of(body.get("id"), self._told(survey, content, caption))
        photo, made = created_once(
            Photo,
            identity,
            lambda: add_photo(
                actor=self.actor,
                identity=identity,
                survey=survey,
                content=content,
                caption=caption,
            ),
        )
        return self.answer(photo, status.HTTP_201_CREATED if made else status.HTTP_200_OK)

    def _told(self, survey: Survey, content: bytes, caption: str) -> dict[str, Any]:
        """What was sent, so that a repeat is known; the file by its hash."""
        sent = hashlib.sha256(content).hexdigest()
        return {"survey": str(survey.pk), "image": sent, "caption": caption}

    def _refuse_oversize(self, request: Request) -> None:
        """Far too large: before the body is read at all, by what the client says its length is."""
        given = request.META.get("CONTENT_LENGTH") or ""
        length = int(given) if given.isdecimal() else 0
        try:
            check_size(length // READ_TIMES_TOO_LARGE, photo_limits())
        except UnusablePhoto as error:
            raise InvalidField("/image", str(error)) from error
