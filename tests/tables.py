"""Reading back a list that was taken away as a table."""

from typing import Any

from rest_framework.test import APIClient
from tablib.core import Dataset


def rows_of(client: APIClient, path: str, ending: str = "csv") -> list[dict[str, Any]]:
    """What a spreadsheet would find in it: the cells of each row by their headings."""
    answer = client.get(f"{path}{'&' if '?' in path else '?'}format={ending}")
    assert answer.status_code == 200, answer.content
    content = answer.content.decode() if ending == "csv" else answer.content
    return Dataset().load(content, format=ending).dict
