"""Endpoints of photographs of surveys."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.capabilities import Capability
from surveys.api import serializers as bodies
from surveys.api.photo_records import PhotoRecordViewSet, PhotoUploadViewSet
from surveys.models import Photo, Survey
from surveys.services.photos import add_photo


class PhotoViewSet(PhotoRecordViewSet):
    """Photographs of surveys."""

    model = Photo
    serializer_class = bodies.PhotoSerializer
    filterset_fields: ClassVar = {
        "survey": ["exact"],
        "survey__opening": ["exact"],
        "survey__opening__job__reference": ["exact"],
    }


class SurveyPhotoViewSet(PhotoUploadViewSet):
    """Where photographs of one survey are sent to."""

    model = Photo
    subject = Survey
    serializer_class = bodies.PhotoSerializer
    create_serializer = bodies.PhotoCreateSerializer
    required_capabilities: ClassVar = {
        "create": Capability.MEASURE,
    }

    def keep(self, subject: Any, **fields: Any) -> Photo:
        return add_photo(actor=self.actor, survey=subject, **fields)

    @extend_schema(request={"multipart/form-data": bodies.PhotoCreateSerializer})
    def create(self, request: Request, survey_id: str) -> Response:
        """Add a photograph (JPEG, PNG or HEIC). It is kept without where it was taken."""
        return self.take(survey_id)
