"""Lists: newest first, page by page behind a cursor, and only what changed since a time."""

from datetime import UTC
from typing import Any

from django.core.exceptions import ValidationError as InvalidPosition
from django.db.models import QuerySet
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _
from rest_framework import filters, pagination, serializers
from rest_framework.exceptions import NotFound


class NewestFirstPagination(pagination.CursorPagination):
    ordering = ("-created_at", "-id")
    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = 200

    def paginate_queryset(self, queryset: Any, request: Any, view: Any = None) -> Any:
        try:
            return super().paginate_queryset(queryset, request, view)
        except (NotFound, InvalidPosition, ValueError, OverflowError):
            message = _("not a valid cursor; take it from next or previous of a page")
            raise serializers.ValidationError({"cursor": [message]}) from None


class UpdatedSinceFilter(filters.BaseFilterBackend):
    """`?updated_since=2026-03-01T08:00:00Z` leaves only records that changed at or after it."""

    def filter_queryset(self, request: Any, queryset: QuerySet, view: Any) -> QuerySet:
        text = request.query_params.get("updated_since")
        if not text:
            return queryset
        since = self._moment(text)
        if since is None:
            detail = _("give a date and time with its zone, such as 2026-03-01T08:00:00Z")
            raise serializers.ValidationError({"updated_since": [detail]})
        return queryset.filter(updated_at__gte=since)

    def _moment(self, text: str) -> Any:
        try:
            moment = parse_datetime(text.replace(" ", "+"))
            return moment and moment.tzinfo and moment.astimezone(UTC)
        except (ValueError, OverflowError):
            return None

    def get_schema_operation_parameters(self, view: Any) -> list[dict[str, Any]]:
        return [
            {
                "name": "updated_since",
                "in": "query",
                "required": False,
                "description": "Only records changed at or after this time (RFC 3339).",
                "schema": {"type": "string", "format": "date-time"},
            }
        ]
