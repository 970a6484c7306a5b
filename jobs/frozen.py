"""Frozen records: what was true when it was recorded, stored as JSON and read as dataclasses.

A kind of record has one shape, a dataclass. What is stored carries the number of its format, and
the one reader of the kind brings an older format up to the shape step by step, so that code that
shows or decides something knows the newest shape alone. Nothing stored is ever rewritten.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Generic, Literal, TypeVar, cast, overload

import msgspec
from django.db import models

from jobs.sentences import Sentence

Shape = TypeVar("Shape")
Plain = dict[str, Any]
"""A record as plain JSON."""
Upgrade = Callable[[Plain], Plain]
"""From the plain JSON of one format to that of the next; what it is given stays as it is."""

NUMBER = "format"
WITHOUT_NUMBER = 1
"""The format of what was stored before formats had numbers."""


class UnreadableRecord(ValueError):
    """A stored record that this version of the service cannot read."""


@dataclass(frozen=True, slots=True)
class FrozenKind(Generic[Shape]):
    """One kind of record. `upgrades` lead from format 1 to 2, from 2 to 3 and so on; the newest
    format, the one that is written, is that of `shape`."""

    name: str
    shape: type[Shape]
    upgrades: tuple[Upgrade, ...] = ()

    @property
    def format(self) -> int:
        """The number of the format that is written."""
        return WITHOUT_NUMBER + len(self.upgrades)

    def plain(self, record: Shape) -> Plain:
        """The plain JSON of a record without its number, as the API answers it."""
        return dict(msgspec.to_builtins(record, enc_hook=_as_stored))

    def write(self, record: Shape) -> Plain:
        """The plain JSON of a record as it is stored."""
        return {**self.plain(record), NUMBER: self.format}

    def read(self, stored: Mapping[str, Any]) -> Shape:
        """The record in a stored JSON of any format up to the newest.

        Raises `UnreadableRecord` for a newer format and for what has not the shape of its own.
        """
        try:
            return msgspec.convert(self.upgraded(stored), self.shape)
        except msgspec.ValidationError as error:
            number = stored.get(NUMBER, WITHOUT_NUMBER)
            raise UnreadableRecord(f"{self.name}, format {number}: {error}") from error

    def upgraded(self, stored: Mapping[str, Any]) -> Plain:
        """The plain JSON of a stored record in the newest format, without its number.

        Raises `UnreadableRecord` for a newer format.
        """
        number = stored.get(NUMBER, WITHOUT_NUMBER)
        if not isinstance(number, int) or not WITHOUT_NUMBER <= number <= self.format:
            raise UnreadableRecord(
                f"{self.name}: format {number!r} is not known here; this version reads formats "
                f"{WITHOUT_NUMBER} to {self.format}"
            )
        record = {name: value for name, value in stored.items() if name != NUMBER}
        for upgrade in self.upgrades[number - WITHOUT_NUMBER :]:
            record = upgrade(record)
        return record


def part_of(shape: type[Shape], whole: Any) -> Shape:
    """A `shape` of some of the fields of `whole`, a dataclass that has them all."""
    return shape(**{field.name: getattr(whole, field.name) for field in fields(cast(Any, shape))})


def _as_stored(value: Any) -> str:
    """A sentence is stored as the English text that it is."""
    if isinstance(value, Sentence):
        return str(value)
    raise NotImplementedError(f"{type(value).__name__} has no place in a frozen record")


def extended(shape: type[Shape], base: Any, **more: Any) -> Shape:
    """A `shape` with the fields of `base`, a dataclass that it extends, and `more` of its own."""
    return shape(**{field.name: getattr(base, field.name) for field in fields(base)}, **more)


if TYPE_CHECKING:
    _Set_contra = TypeVar("_Set_contra", contravariant=True)
    _Get_co = TypeVar("_Get_co", covariant=True)

    class _JSONField(models.JSONField[_Set_contra, _Get_co], Generic[_Set_contra, _Get_co]): ...
else:
    _Set_contra, _Get_co = TypeVar("_Set_contra"), TypeVar("_Get_co")

    class _JSONField(models.JSONField, Generic[_Set_contra, _Get_co]):
        """A JSON column whose type of value can be named."""


class FrozenField(_JSONField[_Set_contra, _Get_co]):
    """A JSON column that holds records of one kind: dataclasses in Python, plain JSON below.

    To migrations it is a plain JSON column: the shape of a record is no matter of the database.
    """

    @overload
    def __init__(
        self: "FrozenField[Shape, Shape]", kind: FrozenKind[Shape], *, editable: bool = ...
    ) -> None: ...
    @overload
    def __init__(
        self: "FrozenField[Shape | None, Shape | None]",
        kind: FrozenKind[Shape],
        *,
        null: Literal[True],
        editable: bool = ...,
        help_text: str = ...,
    ) -> None: ...
    def __init__(self, kind: FrozenKind[Any], **options: Any) -> None:
        self.kind: FrozenKind[Any] = kind
        super().__init__(**options)

    def deconstruct(self) -> tuple[str, str, list[Any], dict[str, Any]]:
        name, _, args, options = super().deconstruct()
        return name, "django.db.models.JSONField", list(args), options

    def clone(self) -> "FrozenField[Any, Any]":
        *_, options = self.deconstruct()
        return FrozenField(self.kind, **options)

    def from_db_value(self, *column: Any) -> Any:
        stored = super().from_db_value(*column)
        return None if stored is None else self.kind.read(stored)

    def get_prep_value(self, value: Any) -> Any:
        value = super().get_prep_value(value)
        return self.kind.write(value) if isinstance(value, self.kind.shape) else value

    def value_from_object(self, obj: models.Model) -> Any:
        """As it is stored: the journal and backups want plain JSON."""
        return self.get_prep_value(super().value_from_object(obj))


def stored_values(
    rows: models.QuerySet[Any], *names: str, are_few: bool = False
) -> Iterator[dict[str, Any]]:
    """The `values()` of these columns with frozen records as the plain JSON that is stored, in the
    format that it has: a copy of a record must not change it. `are_few`: they are read in one go.
    """
    column = rows.model._meta.get_field
    frozen = [name for name in names if isinstance(column(name), FrozenField)]
    aliases = {f"stored_{name}": name for name in frozen}
    plain = {
        alias: models.ExpressionWrapper(models.F(name), output_field=models.JSONField())
        for alias, name in aliases.items()
    }
    others = [name for name in names if name not in frozen]
    values = rows.annotate(**plain).values(*others, *aliases)
    for row in values if are_few else values.iterator(chunk_size=2000):
        yield {aliases.get(name, name): value for name, value in row.items()}
