"""The endpoints of operations: which there are follows from `installs/operations.py`."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.operations import OPERATIONS
from installs.services.signing import require_signature
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record
from jobs.operations import Operation

OF_AN_INSTALLATION = {
    "installation": ["exact"],
    "installation__doorset": ["exact"],
    "installation__doorset__opening__job": ["exact"],
    "installation__doorset__opening__job__reference": ["exact"],
}


class OperationViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """List, read, and every operation that creates or changes the view's `model`."""

    operations: ClassVar[dict[str, Operation]] = {}
    changes_a_version: ClassVar[frozenset[str]] = frozenset()
    # Changes of a version that are no operations of a site, with who may.
    of_the_office: ClassVar[dict[str, Capability]] = {}

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        own = [operation for operation in OPERATIONS.values() if operation.model is cls.model]
        cls.operations = {operation.action: operation for operation in own}
        cls.required_capabilities = ReadOnlyRecordViewSet.required_capabilities | {
            operation.action: operation.capability for operation in own
        }
        cls.required_capabilities |= cls.of_the_office
        cls.create_serializer = cls.operations["create"].body
        if update := cls.operations.get("partial_update"):
            cls.update_serializer = update.body
        extra = [declared for declared in own if declared.changes and not declared.is_partial]
        cls.changes_a_version = frozenset(
            [*(operation.action for operation in extra), *cls.of_the_office]
        )
        for operation in extra:
            setattr(cls, operation.action, _endpoint(operation))

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        require_signature(self.actor)
        return self.operations["create"].create(self.actor, idempotency_key, body)

    def perform_update(self, record: Record, version: int, body: dict[str, Any]) -> Record:
        require_signature(self.actor)
        return self.operations["partial_update"].change(self.actor, record, version, body)


def _endpoint(operation: Operation) -> Any:
    """`POST .../<id>/<action>/` for a change that has an address of its own."""

    def change(self: OperationViewSet, request: Request, pk: str) -> Response:
        version = self.expected_version
        record = self.get_object()
        body = self.get_validated_data(operation.body)
        require_signature(self.actor)
        return self.get_response(operation.change(self.actor, record, version, body))

    change.__name__, change.__doc__ = operation.action, operation.help
    path = operation.action.replace("_", "-")
    described = extend_schema(request=operation.body, responses=operation.record)
    return described(action(detail=True, methods=["post"], url_path=path)(change))
