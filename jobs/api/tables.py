"""Lists as tables: `?format=csv`, or `Accept: text/csv`."""

from typing import Any, ClassVar

from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from tablib.core import Dataset

from jobs.api.viewsets import ReadOnlyRecordViewSet
from jobs.files import guard
from jobs.table_file import MEDIA_TYPES, Table


class CsvRenderer(BaseRenderer):
    media_type = MEDIA_TYPES["csv"]
    format = "csv"

    def render(self, data: Dataset, *args: Any, **kwargs: Any) -> Any:
        return data.export(self.format)


class XlsxRenderer(CsvRenderer):
    media_type = MEDIA_TYPES["xlsx"]
    format = "xlsx"
    charset = None
    render_style = "binary"


class ExportMixin(ReadOnlyRecordViewSet):
    """Read and list; the list is also given whole, as a table for the office."""

    table: ClassVar[Table]
    renderer_classes = (JSONRenderer, CsvRenderer, XlsxRenderer)

    def get_renderers(self) -> list[BaseRenderer]:
        """A single record, and the answer to a change, is JSON alone."""
        every = super().get_renderers()
        return every if self.action == "list" else every[:1]

    def list(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        ending = request.accepted_renderer.format
        if ending not in MEDIA_TYPES:
            return super().list(request, *args, **kwargs)
        answer = Response(self.table.of(self.filter_queryset(self.get_queryset())))
        name = self.table.file_name(ending)
        answer["Content-Disposition"] = f'attachment; filename="{name}"'
        guard(answer)
        return answer
