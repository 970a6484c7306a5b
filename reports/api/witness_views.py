"""Endpoints of the witnesses of the journal."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record
from reports.api import witness_serializers as bodies
from reports.models import JournalWitness
from reports.services import journal_witnesses


class JournalWitnessViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Who outside the firm keeps checkpoints of the journal: an insurer, say, or an accountant.

    Each gets a letter once a month with the newest checkpoint and all seals since the last; what
    has left the firm can no longer be changed with the journal. The letters are among the
    dispatches, under channel `witness`.
    """

    model = JournalWitness
    serializer_class = bodies.JournalWitnessSerializer
    create_serializer = bodies.JournalWitnessCreateSerializer
    required_capabilities: ClassVar = dict.fromkeys(
        ("list", "retrieve", "create", "end"), Capability.ADMINISTER
    )
    changes_a_version = frozenset({"end"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return journal_witnesses.add_witness(
            actor=self.actor, idempotency_key=idempotency_key, **body
        )

    @extend_schema(request=None, responses=bodies.JournalWitnessSerializer)
    @action(detail=True, methods=["post"])
    def end(self, request: Request, pk: str) -> Response:
        """No letter goes there any more. What they have they keep, and it goes on counting."""
        version = self.expected_version
        ended = journal_witnesses.end_witness(
            actor=self.actor, witness=self.get_object(), expected_version=version
        )
        return self.get_response(ended)
