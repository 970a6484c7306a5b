"""Endpoints of photographs of the fitting."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import photo_serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION
from installs.models import Installation, SitePhoto
from installs.services.photos import add_site_photo
from jobs.capabilities import Capability
from surveys.api.photo_records import PhotoRecordViewSet, PhotoUploadViewSet


class SitePhotoViewSet(PhotoRecordViewSet):
    """Photographs of the fitting, of its steps and of its defects."""

    model = SitePhoto
    serializer_class = bodies.SitePhotoSerializer
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "step": ["exact"],
        "defect": ["exact"],
    }


class InstallationPhotoViewSet(PhotoUploadViewSet):
    """Where photographs of one fitting are sent to."""

    model = SitePhoto
    subject = Installation
    serializer_class = bodies.SitePhotoSerializer
    create_serializer = bodies.SitePhotoCreateSerializer
    required_capabilities: ClassVar = {
        "create": Capability.RECORD_FITTING,
    }

    def keep(self, subject: Any, **fields: Any) -> SitePhoto:
        return add_site_photo(actor=self.actor, installation=subject, **fields)

    @extend_schema(request={"multipart/form-data": bodies.SitePhotoCreateSerializer})
    def create(self, request: Request, installation_id: str) -> Response:
        """Add a photograph (JPEG, PNG or HEIC) of the doorset, or of one step or one defect.

        It is kept without where it was taken. A `made_at` more than 10 minutes ahead of the
        service's clock or 90 days behind it is refused.
        """
        return self.take(installation_id)
