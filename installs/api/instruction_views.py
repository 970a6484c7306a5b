"""Endpoints of what the maker of the profiles gives to fitters."""

from typing import Any, ClassVar

from django.http import FileResponse
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import renderers, status
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import instruction_serializers as bodies
from installs.instruction_file import instruction_file
from installs.maker_files import JPEG, PDF
from installs.models import MakerInstruction
from installs.services.instructions import (
    add_instruction,
    instruction_limits,
    withdraw_instruction,
)
from jobs.api.viewsets import ReadOnlyRecordViewSet, RecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import get_or_create_idempotently
from jobs.models import ProfileSystem
from surveys.api.photo_records import JpegRenderer, identity_of_upload, refuse_oversize


class PdfRenderer(renderers.JSONRenderer):
    """Lets a client ask for application/pdf; a refusal is still a problem document."""

    media_type = PDF
    format = "pdf"


class MakerInstructionViewSet(ReadOnlyRecordViewSet):
    """Instructions and pictures from the maker of a profile system, seen with a job that has a
    doorset of it. One that is superseded is withdrawn."""

    model = MakerInstruction
    serializer_class = bodies.MakerInstructionSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "file": Capability.READ,
        "withdraw": Capability.MANAGE_CATALOGUE,
    }
    changes_a_version = frozenset({"withdraw"})
    filterset_fields: ClassVar = {
        "profile_system": ["exact"],
        "phase": ["exact"],
        "withdrawn_at": ["isnull"],
    }

    @extend_schema(responses={(200, PDF): OpenApiTypes.BINARY, (200, JPEG): OpenApiTypes.BINARY})
    @action(
        detail=True,
        methods=["get"],
        renderer_classes=[renderers.JSONRenderer, PdfRenderer, JpegRenderer],
    )
    def file(self, request: Request, pk: str) -> FileResponse:
        """The file itself; also of one that is withdrawn."""
        return instruction_file(self.get_object())

    @extend_schema(request=None, responses=bodies.MakerInstructionSerializer)
    @action(detail=True, methods=["post"])
    def withdraw(self, request: Request, pk: str) -> Response:
        """Withdraw it: fitters are not shown it any more, and it stays on record."""
        version = self.expected_version
        return self.get_response(
            withdraw_instruction(
                actor=self.actor, instruction=self.get_object(), expected_version=version
            )
        )


class SystemInstructionViewSet(RecordViewSet):
    """Where the files of one profile system are sent to."""

    model = MakerInstruction
    serializer_class = bodies.MakerInstructionSerializer
    create_serializer = bodies.MakerInstructionCreateSerializer
    parser_classes = (MultiPartParser,)
    required_capabilities: ClassVar = {"create": Capability.MANAGE_CATALOGUE}

    @extend_schema(request={"multipart/form-data": bodies.MakerInstructionCreateSerializer})
    def create(self, request: Request, system_id: str) -> Response:
        """Add a PDF, PNG or JPEG from the maker. A picture is kept as a JPEG."""
        systems = ProfileSystem.objects.visible_to(self.actor)
        system = get_object_or_404(systems, pk=system_id)
        refuse_oversize(request, instruction_limits(), pointer="/file")
        fields: dict[str, Any] = dict(self.get_validated_data())
        content = fields.pop("file").read()
        key = identity_of_upload(
            request, fields.pop("id", None), content, field="file", subject=str(system.pk)
        )
        instruction, made = get_or_create_idempotently(
            MakerInstruction,
            key,
            lambda: add_instruction(
                actor=self.actor,
                idempotency_key=key,
                profile_system=system,
                content=content,
                **fields,
            ),
        )
        return self.get_response(
            instruction, status.HTTP_201_CREATED if made else status.HTTP_200_OK
        )
