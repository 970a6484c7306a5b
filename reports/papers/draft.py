"""What a paper is made of before it is laid out on pages."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

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
    photos: Sequence[Mapping[str, Any]] = ()
