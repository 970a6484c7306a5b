"""Endpoints of the register of beads and of what was turned at the running gear."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import register_serializers as bodies
from installs.api.views import OF_AN_INSTALLATION
from installs.models import Bead, CarrierLift
from installs.services.beads import put_bead_back, take_bead_off
from installs.services.running_gear import record_lift
from jobs.api.records import FITTING, CreateRecords, ReadRecords
from jobs.identity import Identity
from jobs.models import Record


class Beads(ReadRecords, CreateRecords):
    """Glazing beads: off with a number on each, and back where each came from."""

    model = Bead
    serializer_class = bodies.BeadAnswer
    create_serializer = bodies.NewBead
    may: ClassVar = {**ReadRecords.may, "create": FITTING, "put_back": FITTING}
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "leaf": ["exact"],
        "put_back_at": ["isnull"],
    }
    changes_a_version = frozenset({"put_back"})

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return take_bead_off(actor=self.actor, identity=identity, **body)

    @extend_schema(request=bodies.BeadPlace, responses=bodies.BeadAnswer)
    @action(detail=True, methods=["post"], url_path="put-back")
    def put_back(self, request: Request, pk: str) -> Response:
        """Say where it was put back; in another sash or out of turn it is refused."""
        version = self.expected_version
        bead = self.get_object()
        body = self.read_body(bodies.BeadPlace)
        changed = put_bead_back(actor=self.actor, bead=bead, expected_version=version, **body)
        return self.answer(changed)


class CarrierLifts(ReadRecords, CreateRecords):
    """What was turned at the running gear between two rounds of gaps."""

    model = CarrierLift
    serializer_class = bodies.CarrierLiftAnswer
    create_serializer = bodies.NewCarrierLift
    may: ClassVar = {**ReadRecords.may, "create": FITTING}
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "junction": ["exact"]}

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return record_lift(actor=self.actor, identity=identity, **body)
