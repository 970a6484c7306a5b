"""Endpoints of papers, their delivery, the gates of a job, and public verification."""

from typing import Any, ClassVar, cast

from django.conf import settings
from django.db.models import QuerySet
from django.http import FileResponse, Http404
from django.shortcuts import get_object_or_404
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import exceptions, permissions
from rest_framework.decorators import action
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from jobs.api.throttles import ScopedThrottle
from jobs.api.viewsets import HasCapability, IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Job, Person, Record
from reports.api import serializers as bodies
from reports.document_file import document_file
from reports.gates import all_gates
from reports.issued_papers import VerifiedPaper, find_paper, sha256_of
from reports.kinds import may_ask
from reports.models import Dispatch, Document
from reports.services import dispatches, documents

# Nothing that the paper itself does not say, besides whether it is still valid.
PUBLIC_FIELDS = (
    "status",
    "safety_matters",
    "defects_since",
    "number",
    "edition",
    "kind",
    "rendered_at",
    "sha256",
    "superseded_at",
    "withdrawn_at",
    "withdrawal_reason",
)


class DocumentViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Papers of a job. One that was issued is superseded or withdrawn, never edited."""

    model = Document
    serializer_class = bodies.DocumentDetailSerializer
    list_serializer = bodies.DocumentSerializer
    create_serializer = bodies.DocumentCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        # Which papers somebody may ask for is a matter of their kind: `may_ask`.
        "create": Capability.READ,
        "file": Capability.READ,
        "withdraw": Capability.ISSUE_PAPERS,
    }
    filterset_fields: ClassVar = {
        "job": ["exact"],
        "job__reference": ["exact"],
        "kind": ["exact"],
        "number": ["exact"],
    }
    changes_a_version = frozenset({"withdraw"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        if not may_ask(self.actor, body["kind"], body["job"]):
            raise exceptions.PermissionDenied
        return documents.issue_document(
            actor=self.actor, idempotency_key=idempotency_key, job=body["job"], kind=body["kind"]
        )

    @extend_schema(responses={(200, "application/pdf"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"])
    def file(self, request: Request, pk: str) -> FileResponse:
        """The paper itself, as PDF; 404 until it is made, and once it was erased.

        409 (`contradicts-journal`) where the file, or what is on record of it, is not what the
        journal says was made.
        """
        document = self.get_object()
        if not document.file:
            raise Http404
        return document_file(document)

    @extend_schema(request=bodies.WithdrawalSerializer, responses=bodies.DocumentSerializer)
    @action(detail=True, methods=["post"])
    def withdraw(self, request: Request, pk: str) -> Response:
        """Withdraw the paper. Whoever verifies it reads since when, and the reason."""
        version = self.expected_version
        document = documents.withdraw_document(
            actor=self.actor,
            document=self.get_object(),
            expected_version=version,
            **self.get_validated_data(bodies.WithdrawalSerializer),
        )
        return self.get_response(document)

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().select_related("job")


class DispatchViewSet(ReadOnlyRecordViewSet):
    """The outbox: what is to be sent, every attempt, and what came of it."""

    model = Dispatch
    serializer_class = bodies.DispatchSerializer
    required_capabilities: ClassVar = {
        "list": Capability.ISSUE_PAPERS,
        "retrieve": Capability.ISSUE_PAPERS,
        "resend": Capability.ISSUE_PAPERS,
    }
    filterset_fields: ClassVar = {
        "document": ["exact"],
        "document__job": ["exact"],
        "document__job__reference": ["exact"],
        "state": ["exact"],
    }
    changes_a_version = frozenset({"resend"})

    @extend_schema(request=None, responses=bodies.DispatchSerializer)
    @action(detail=True, methods=["post"])
    def resend(self, request: Request, pk: str) -> Response:
        """Send it once more, as a new message, to the customer's address of today."""
        version = self.expected_version
        dispatch = dispatches.resend(
            actor=self.actor, dispatch=self.get_object(), expected_version=version
        )
        return self.get_response(dispatch)

    def get_queryset(self) -> QuerySet:
        return (
            super()
            .get_queryset()
            .select_related("document__job__customer")
            .prefetch_related("attempt_records")
        )


class GatesView(APIView):
    """What is in the way of a job, gate by gate."""

    permission_classes = (HasCapability,)
    required_capabilities: ClassVar = {"read": Capability.READ}
    action = "read"

    @extend_schema(responses=bodies.GatesSerializer)
    def get(self, request: Request, reference: str) -> Response:
        job = get_object_or_404(
            Job.objects.visible_to(cast(Person, request.user)), reference=reference
        )
        gates = [
            {
                "gate": gate,
                "open": not blockers,
                "blockers": bodies.BlockerSerializer(blockers, many=True).data,
            }
            for gate, blockers in all_gates(job).items()
        ]
        return Response({"job": job.reference, "gates": gates})


class VerificationView(APIView):
    """Whether the paper with this code is genuine and still valid. Open to everybody."""

    permission_classes = (permissions.AllowAny,)
    authentication_classes = ()
    parser_classes = (MultiPartParser,)
    throttle_classes = (ScopedThrottle,)
    throttle_scope = "verification"

    @extend_schema(responses=bodies.VerificationSerializer)
    def get(self, request: Request, code: str) -> Response:
        return Response(_verification(_paper_of(code)))

    @extend_schema(request=bodies.PaperUploadSerializer, responses=bodies.ComparisonSerializer)
    def post(self, request: Request, code: str) -> Response:
        """Compare a file with the one that was issued, by its SHA-256. The file is not kept."""
        paper = _paper_of(code)
        serializer = bodies.PaperUploadSerializer(data=request.data)
        serializer.is_valid(raise_exception=True)
        digest = sha256_of(serializer.validated_data["file"])
        facts = {"file_is": paper.compare(digest), "file_sha256": digest}
        return Response(_verification(paper) | facts)


def _paper_of(code: str) -> VerifiedPaper:
    paper = find_paper(code)
    if paper is None:
        raise Http404
    return paper


def _verification(paper: VerifiedPaper) -> dict[str, Any]:
    facts = {name: getattr(paper, name) for name in PUBLIC_FIELDS}
    return dict(bodies.VerificationSerializer(facts | {"firm": settings.FIRM_NAME}).data)
