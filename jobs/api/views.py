"""Endpoints from the customer to the openings of a job, and the firm's own lists."""

from typing import Any, ClassVar

from jobs.api import serializers as bodies
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet, VersionedUpdateMixin
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Customer, Job, Opening, Record, RuleSet, Site
from jobs.services import jobs as services
from jobs.tables import JOBS


class RuleSetViewSet(ReadOnlyRecordViewSet):
    """Rule sets: dated limits with a source each."""

    model = RuleSet
    serializer_class = bodies.RuleSetSerializer


class CustomerViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Customers. A surveyor or fitter sees those of their own visits."""

    model = Customer
    serializer_class = bodies.CustomerSerializer
    create_serializer = bodies.CustomerCreateSerializer
    update_serializer = bodies.CustomerUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_JOBS,
        "partial_update": Capability.MANAGE_JOBS,
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.add_customer(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_customer(
            actor=self.actor, customer=record, expected_version=version, **body
        )


class SiteViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Sites where work is done."""

    model = Site
    serializer_class = bodies.SiteSerializer
    create_serializer = bodies.SiteCreateSerializer
    update_serializer = bodies.SiteUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_JOBS,
        "partial_update": Capability.MANAGE_JOBS,
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.add_site(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_site(actor=self.actor, site=record, expected_version=version, **body)


class JobViewSet(ExportMixin, IdempotentCreateMixin, VersionedUpdateMixin):
    """Jobs, addressed by their reference, such as `SW-26-0007`."""

    model = Job
    table = JOBS
    lookup_field = "reference"
    lookup_value_regex = r"SW-\d{2}-\d{4,}"
    serializer_class = bodies.JobSerializer
    create_serializer = bodies.JobCreateSerializer
    update_serializer = bodies.JobUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_JOBS,
        "partial_update": Capability.MANAGE_JOBS,
    }
    filterset_fields: ClassVar = {
        "reference": ["exact"],
        "customer": ["exact"],
        "site": ["exact"],
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.take_on_job(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_job(actor=self.actor, job=record, expected_version=version, **body)


class OpeningViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Openings of a job."""

    model = Opening
    serializer_class = bodies.OpeningSerializer
    create_serializer = bodies.OpeningCreateSerializer
    update_serializer = bodies.OpeningUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_JOBS,
        "partial_update": Capability.MANAGE_JOBS,
    }
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"]}

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.add_opening(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_opening(
            actor=self.actor, opening=record, expected_version=version, **body
        )
