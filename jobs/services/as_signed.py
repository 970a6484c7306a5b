"""Whether an entry of the journal keeps what was signed, wherever both call it by the same name.

A service may keep more than was said, or say it in other words, under other names: that is not
compared. What is, may differ as JSON does from what is stored: in blanks around a text, in how a
number, a moment or an identity is written.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

# What a row of readings came of, by place.
MEASURED = "measured"


def differing(
    said: Mapping[str, Any], kept: Mapping[str, Any], sealed: frozenset[str]
) -> list[str]:
    """The names under which an operation said something else than the state of its record keeps;
    what is `sealed` there cannot be told."""
    common = (said.keys() & kept.keys()) - sealed
    return sorted(name for name in common if not _agree(said[name], kept[name]))


def _agree(said: Any, kept: Any) -> bool:
    if said is None or isinstance(said, dict) != isinstance(kept, dict):
        return True
    if isinstance(said, dict):
        return all(_agree(value, kept[name]) for name, value in said.items() if name in kept)
    if isinstance(said, list) and isinstance(kept, list):
        return _lists_agree(said, kept)
    return bool(said == kept) or bool(_written(said) == _written(kept))


def _lists_agree(said: list[Any], kept: list[Any]) -> bool:
    if any(isinstance(item, dict) for item in said):
        rows = [row for row in kept if isinstance(row, dict) and MEASURED in row]
        return not rows or all(_is_among(reading, rows) for reading in said)
    return len(said) == len(kept) and all(map(_agree, said, kept))


def _is_among(reading: Mapping[str, Any], rows: list[dict[str, Any]]) -> bool:
    """A reading stands among what one of the rows was worked out from, often itself alone."""
    place, value = reading.get("place"), reading.get("value")
    return any(
        row[MEASURED].get(place) == value and (row["place"] != place or row["value"] == value)
        for row in rows
    )


def _written(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    for kind in (UUID, datetime.fromisoformat):
        try:
            return kind(value)
        except ValueError:
            continue
    return value.strip()
