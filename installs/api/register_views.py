"""Endpoints of the register of beads and of what was turned at the running gear."""

from typing import ClassVar

from installs.api import register_serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION, OperationViewSet
from installs.models import Bead, CarrierLift


class BeadViewSet(OperationViewSet):
    """Glazing beads: off with a number on each, and back where each came from."""

    model = Bead
    serializer_class = bodies.BeadSerializer
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "leaf": ["exact"],
        "put_back_at": ["isnull"],
    }


class CarrierLiftViewSet(OperationViewSet):
    """What was turned at the running gear between two rounds of gaps."""

    model = CarrierLift
    serializer_class = bodies.CarrierLiftSerializer
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "junction": ["exact"]}
