"""Lists narrowed by the query of the address."""

from datetime import UTC, datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _
from django_filters import IsoDateTimeFilter
from django_filters.fields import IsoDateTimeField
from django_filters.rest_framework import DjangoFilterBackend, FilterSet


class MomentField(IsoDateTimeField):
    """A time in UTC, however far from it the zone is that it was given with: PostgreSQL takes no
    zone further than 16 hours away, and no calendar begins before the year 1."""

    def to_python(self, value: Any) -> datetime | None:
        moment = super().to_python(value)
        try:
            return moment and moment.astimezone(UTC)
        except OverflowError:
            message = _("give a time from the year 1 to the year 9999")
            raise ValidationError(message, code="invalid") from None


class MomentFilter(IsoDateTimeFilter):
    field_class = MomentField


class RecordFilters(FilterSet):
    FILTER_DEFAULTS = FilterSet.FILTER_DEFAULTS | {
        models.DateTimeField: {"filter_class": MomentFilter}
    }


class RecordFilterBackend(DjangoFilterBackend):
    """By the fields that a view names in `filterset_fields`."""

    filterset_base = RecordFilters
