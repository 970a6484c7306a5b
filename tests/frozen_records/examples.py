"""Stored records of every kind and format, as services made them. They stay for good: what was
recorded once must be read by every later version.

A file is named after its format; a format without a number is format 1.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from jobs.frozen import FrozenKind

FOLDER = Path(__file__).parent


def of_kind(folder: str) -> pytest.MarkDecorator:
    """Run a test with every stored example of a kind, as `stored`."""
    files = sorted((FOLDER / folder).glob("*.json"))
    return pytest.mark.parametrize(
        "stored", [json.loads(file.read_text()) for file in files], ids=[f.stem for f in files]
    )


def stored(folder: str, name: str) -> dict[str, Any]:
    """One example by the name of its file."""
    return dict(json.loads((FOLDER / folder / f"{name}.json").read_text()))


def formats_in(folder: str) -> set[int]:
    """The formats that there are examples of."""
    stored = [json.loads(file.read_text()) for file in (FOLDER / folder).glob("*.json")]
    return {record.get("format", 1) for record in stored}


def every_format(kind: FrozenKind[Any]) -> set[int]:
    return set(range(1, kind.format + 1))
