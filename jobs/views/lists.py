"""Lists of pages: newest first, page by page, narrowed by what is looked for."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpRequest
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request

from jobs.api.pagination import NewestFirstPagination

LONGEST_SEARCH = 80


def looked_for(request: HttpRequest) -> str:
    """The search text in `?q=`, trimmed."""
    return request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST_SEARCH]


def one_page(request: HttpRequest, records: QuerySet[Any]) -> dict[str, Any]:
    """The `records` of one page and the addresses of the `newer` and the `older` ones."""
    pages = NewestFirstPagination()
    try:
        page = pages.paginate_queryset(records, Request(request))
    except ValidationError as unreadable:
        raise Http404 from unreadable
    return {
        "records": page,
        "newer": pages.get_previous_link(),
        "older": pages.get_next_link(),
    }
