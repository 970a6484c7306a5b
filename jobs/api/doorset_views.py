"""Endpoints of profile systems, doorsets and deliveries."""

from typing import Any, ClassVar

from django.db.models import QuerySet

from jobs.api import doorset_serializers as bodies
from jobs.api.records import FITTING, ChangeRecords, CreateRecords, ReadRecords
from jobs.identity import Identity
from jobs.models import Delivery, Doorset, ProfileSystem, Record
from jobs.services import catalogue, doorsets


class ProfileSystems(ReadRecords, CreateRecords, ChangeRecords):
    """Profile systems: what the sizes and masses of leaves follow from, and what may be ordered."""

    model = ProfileSystem
    serializer_class = bodies.ProfileSystemAnswer
    create_serializer = bodies.NewProfileSystem
    change_serializer = bodies.ProfileSystemChange

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return catalogue.add_profile_system(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return catalogue.change_profile_system(
            actor=self.actor,
            profile_system=record,
            expected_version=version,
            **body,
        )


class Doorsets(ReadRecords, CreateRecords, ChangeRecords):
    """Doorsets of an opening: a draft may be changed, an ordered one is followed by a revision."""

    model = Doorset
    serializer_class = bodies.DoorsetAnswer
    create_serializer = bodies.NewDoorset
    change_serializer = bodies.DoorsetOrder
    filterset_fields: ClassVar = {
        "opening": ["exact"],
        "opening__job": ["exact"],
        "opening__job__reference": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return doorsets.draft_doorset(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return doorsets.change_doorset(
            actor=self.actor, doorset=record, expected_version=version, **body
        )


class Deliveries(ReadRecords, CreateRecords):
    """Deliveries: what arrived for an ordered doorset, measured when it came."""

    model = Delivery
    serializer_class = bodies.DeliveryAnswer
    create_serializer = bodies.NewDelivery
    may: ClassVar = {**ReadRecords.may, "create": FITTING}
    filterset_fields: ClassVar = {
        "doorset": ["exact"],
        "doorset__opening__job": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return doorsets.record_delivery(actor=self.actor, identity=identity, **body)

    def related(self, queryset: QuerySet) -> QuerySet:
        return queryset.select_related("doorset")
