"""Endpoints of the register of beads and of what was turned at the running gear."""

from typing import ClassVar

from installs.api import register_serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION, OperationViewSet
from installs.models import Bead, CarrierLift, PackerChange
from installs.tables import PACKER_CHANGES
from jobs.api.tables import ExportMixin


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


class PackerChangeViewSet(ExportMixin, OperationViewSet):
    """Packers that were added and taken out, so that the next reading is read for what it says."""

    model = PackerChange
    table = PACKER_CHANGES
    serializer_class = bodies.PackerChangeSerializer
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "member": ["exact"]}
