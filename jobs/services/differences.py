"""Where two states of a record differ, in words that say nothing of what is sealed."""

import json
from collections.abc import Collection, Iterator
from typing import Any

SEALED = "a value that is kept under seal"
LONGEST = 80


def differences(
    journal: dict[str, Any], row: dict[str, Any], *, sealed: Collection[str]
) -> Iterator[tuple[str, str, str]]:
    """The first place in each column, relation or part that differs, such as `readings.3.value`,
    with what the journal says there and what there is."""
    if journal == row:
        return
    for name in sorted(journal.keys() | row.keys()):
        if journal.get(name) == row.get(name):
            continue
        if name in sealed:
            yield name, SEALED, "another"
        else:
            place, written, present = _innermost(name, journal.get(name), row.get(name))
            yield place, _words(written), _words(present)


def _innermost(place: str, written: Any, present: Any) -> tuple[str, Any, Any]:
    if isinstance(written, dict) and isinstance(present, dict):
        names = [str(name) for name in written.keys() | present.keys()]
        name = min(name for name in names if written.get(name) != present.get(name))
        return _innermost(f"{place}.{name}", written.get(name), present.get(name))
    if isinstance(written, list) and isinstance(present, list) and len(written) == len(present):
        pairs = enumerate(zip(written, present, strict=True))
        number = next(number for number, (a, b) in pairs if a != b)
        return _innermost(f"{place}.{number}", written[number], present[number])
    return place, written, present


def _words(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, list) and value:
        return f"{len(value)} in a list"
    text = json.dumps(value, ensure_ascii=False)
    return f"{text[:LONGEST]}…" if len(text) > LONGEST else text
