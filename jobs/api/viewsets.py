"""The shape of every record's endpoints: list, read, create once, change a known version.

A view names its queryset, serializers and services; everything that must be alike for all records
(who may, identity, ETag, problem documents) is here and nowhere else.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar, cast

from django.db.models import QuerySet
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import mixins, permissions, serializers, status, viewsets
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.filters import RecordFilterBackend
from jobs.api.pagination import UpdatedSinceFilter
from jobs.api.problems import PreconditionRequired, UnreadableIfMatch
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Person, Record

# Action of a view -> what it asks for.
RequiredCapabilities = Mapping[str, Capability]


def required_capability(view: Any, action: str) -> Capability:
    """What is not named is for the office alone, so that a forgotten line closes a door."""
    required: RequiredCapabilities = view.required_capabilities
    return required.get(action, Capability.ADMINISTER)


class HasCapability(permissions.BasePermission):
    """Signed in, with the capability that the view requires for the action."""

    def has_permission(self, request: Request, view: Any) -> bool:
        if not request.user.is_authenticated:
            return False
        return request.user.has_capability(required_capability(view, view.action))


def validated_data(
    serializer_class: type[serializers.BaseSerializer],
    body: Any,
    context: Mapping[str, Any],
    *,
    partial: bool = False,
) -> Any:
    """The validated body as a dict. A `partial` one names what changes and leaves out the rest."""
    serializer = serializer_class(data=body, partial=partial, context=dict(context))
    serializer.is_valid(raise_exception=True)
    if partial and not serializer.validated_data:
        names = ", ".join(cast(serializers.Serializer, serializer).fields)
        message = _("give at least one field to change; allowed are: {names}").format(names=names)
        raise serializers.ValidationError(message)
    return serializer.validated_data


class RecordViewSet(viewsets.GenericViewSet):
    """Base of all record views: what a person may not see does not exist for them."""

    model: ClassVar[Any]
    permission_classes = (HasCapability,)
    filter_backends = (RecordFilterBackend, UpdatedSinceFilter)
    http_method_names: Sequence[str] = ("get", "post", "patch", "head", "options")
    # Reading is open to whoever may see the record at all.
    required_capabilities: ClassVar[RequiredCapabilities] = {}
    serializer_class: type[serializers.BaseSerializer]
    # For lists, where the single record shows more than a list should carry.
    list_serializer: ClassVar[type[serializers.BaseSerializer] | None] = None
    create_serializer: ClassVar[type[serializers.Serializer]]
    update_serializer: ClassVar[type[serializers.Serializer]]

    def get_queryset(self) -> QuerySet:
        """Records that the person may see; a view joins what its serializer reads, so that a page
        costs the same number of queries however long it is."""
        if getattr(self, "swagger_fake_view", False):
            return self.model._default_manager.none()
        return self.model.objects.visible_to(self.actor)

    @property
    def actor(self) -> Person:
        """Who is signed in; `HasCapability` has let nobody else this far."""
        return cast(Person, self.request.user)

    def filter_queryset(self, queryset: QuerySet) -> QuerySet:
        """Lists are narrowed; one record by its own address is there whatever else that says."""
        return queryset if self.detail else super().filter_queryset(queryset)

    def get_serializer_class(self) -> type[serializers.BaseSerializer]:
        if self.action == "create":
            return self.create_serializer
        if self.action == "partial_update":
            return self.update_serializer
        if self.action == "list" and self.list_serializer:
            return self.list_serializer
        return self.serializer_class

    def get_validated_data(
        self,
        serializer_class: type[serializers.BaseSerializer] | None = None,
        *,
        partial: bool = False,
    ) -> Any:
        """The validated body of the request as a dict; see `validated_data`."""
        chosen = serializer_class or self.get_serializer_class()
        context = self.get_serializer_context()
        return validated_data(chosen, self.request.data, context, partial=partial)

    def get_response(self, record: Record, status_code: int = status.HTTP_200_OK) -> Response:
        """One record with its ETag; read again, so that joins are those of reading."""
        joined = self.get_queryset().filter(pk=record.pk).first()
        if joined is None:
            raise Http404
        return self._with_etag(joined, status_code)

    def get_created_response(self, record: Record) -> Response:
        """A record that was created just now, as it was stored."""
        return self._with_etag(record, status.HTTP_201_CREATED)

    def _with_etag(self, record: Record, status_code: int = status.HTTP_200_OK) -> Response:
        serializer = self.serializer_class(record, context=self.get_serializer_context())
        return Response(serializer.data, status_code, headers={"ETag": f'"{record.version}"'})

    @property
    def expected_version(self) -> int:
        """The version in `If-Match`. Raises 428 without one, 400 for what is no ETag."""
        header = self.request.headers.get("If-Match")
        if header is None:
            raise PreconditionRequired
        if not (match := re.fullmatch(r'"(\d{1,9})"', header.strip())):
            raise UnreadableIfMatch
        return int(match[1])


class ReadOnlyRecordViewSet(mixins.ListModelMixin, RecordViewSet):
    """List and read."""

    required_capabilities: ClassVar = {"list": Capability.READ, "retrieve": Capability.READ}

    def retrieve(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        return self._with_etag(self.get_object())


class IdempotentCreateMixin(RecordViewSet):
    """Create under an identity that the client may choose; a repeat answers 200."""

    # Nobody finds these out by trying guesses at the digest of a body, which is kept for good.
    not_in_digest: ClassVar[frozenset[str]] = frozenset()

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        """Call the service that stores the record."""
        raise NotImplementedError

    def create(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        return self.create_with(self.get_validated_data(), self.perform_create)

    def create_with(
        self, body: dict[str, Any], make: Callable[[IdempotencyKey, dict[str, Any]], Record]
    ) -> Response:
        given = cast(dict[str, Any], self.request.data)
        said = {name: value for name, value in given.items() if name not in self.not_in_digest}
        idempotency_key = IdempotencyKey.of(body.pop("id", None), said)
        record, made = create_idempotently(
            self.model, idempotency_key, lambda: make(idempotency_key, body)
        )
        return self.get_created_response(record) if made else self.get_response(record)


class VersionedUpdateMixin(RecordViewSet):
    """Change what the body names, from the version in `If-Match`."""

    def perform_update(self, record: Record, version: int, body: dict[str, Any]) -> Record:
        """Call the service that changes the record."""
        raise NotImplementedError

    def partial_update(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        version = self.expected_version
        record = self.get_object()
        return self.get_response(
            self.perform_update(record, version, dict(self.get_validated_data(partial=True)))
        )
