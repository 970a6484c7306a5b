"""What a paper is made of before it is laid out on pages."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from reports.papers.frozen.job import PhotoFacts
from reports.papers.parts import Part


@dataclass(frozen=True, slots=True)
class Draft:
    """The template of one kind of paper and its context.

    `parts` by the name in their `sw:` address; `photos` are the photo facts of the record, whose
    pictures are added when the paper is made.
    """

    template: str
    context: Mapping[str, Any]
    parts: Mapping[str, Part] = field(default_factory=dict)
    photos: Sequence[PhotoFacts] = ()


def labelled(record: Any, labels: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a part of a record, with labels beside them or in their place."""
    return {field.name: getattr(record, field.name) for field in fields(record)} | dict(labels)
