"""A list as a file: CSV (RFC 4180), or an Office Open XML workbook.

A spreadsheet runs nothing in it: a title or a note may have been typed to attack the office.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext
from tablib.core import Dataset

from jobs.errors import InvalidField

# A table is made in memory; what is larger is narrowed first.
MOST_ROWS = 10_000
MEDIA_TYPES = {
    "csv": "text/csv",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
# What a spreadsheet takes for a formula when a cell begins with it.
BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
# XML 1.0 (section 2.2) has no character for these, so no workbook can hold them.
NOT_IN_A_WORKBOOK = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")

Cell = str | float | None


def _one_for_each(records: QuerySet[Any]) -> QuerySet[Any]:
    return records


@dataclass(frozen=True, slots=True)
class Table:
    """What each column reads of a row, by its heading, which says the unit of a number.

    The title and the headings are marked, and translated when the table is made. `rows_of` turns
    the records of a list into rows, where they are not the same; `joined` names the records that
    the columns read besides, as `select_related` does.
    """

    title: str
    columns: Mapping[str, Callable[[Any], Cell]]
    joined: tuple[str, ...]
    rows_of: Callable[[QuerySet[Any]], QuerySet[Any]] = _one_for_each

    def of(self, records: QuerySet[Any]) -> Dataset:
        """All of them, in their order. Raises `InvalidField` for more than `MOST_ROWS` rows."""
        rows = self.rows_of(records).prefetch_related(None).select_related(*self.joined)
        if rows[MOST_ROWS : MOST_ROWS + 1].exists():
            text = gettext(
                "These are more than {most} rows, too many for one table. Filter them first."
            )
            raise InvalidField("", text.format(most=f"{MOST_ROWS:,}"))
        headings = [gettext(heading) for heading in self.columns]
        return Dataset(*self._cells(rows), headers=headings, title=gettext(self.title))

    def file_name(self, ending: str) -> str:
        return f"{self.title.lower().replace(' ', '-')}-{timezone.localdate()}.{ending}"

    def _cells(self, rows: QuerySet[Any]) -> Iterator[tuple[Cell, ...]]:
        for row in rows.iterator(chunk_size=1000):
            yield tuple(harmless(read(row)) for read in self.columns.values())


def harmless(cell: Cell) -> Cell:
    """Text with an apostrophe in front where a spreadsheet would run it, and without characters
    that it could not hold. A number is no text, below zero either."""
    if not isinstance(cell, str):
        return cell
    text = NOT_IN_A_WORKBOOK.sub("", cell)
    return f"'{text}" if text.startswith(BEGINS_A_FORMULA) else text


def moment(time: datetime | None) -> str:
    """In the zone of the firm, with its distance from UTC (ISO 8601); empty where there is none."""
    return timezone.localtime(time).isoformat(timespec="minutes") if time else ""
