"""One line of the product made wrong on purpose, and the tests that must notice."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

LIST = Path(__file__).with_name("mutations.toml")


class DoesNotApply(ValueError):
    """The text to be replaced is not in its file exactly once: the code has moved on."""


@dataclass(frozen=True, slots=True)
class Mutation:
    """`old` stands exactly once in `file`; with `new` in its place one of `tests` must fail."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]

    def mutated(self, text: str) -> str:
        """The text of the file with the mutation in it. Raises `DoesNotApply`."""
        if (count := text.count(self.old)) != 1:
            raise DoesNotApply(f"{self.name}: {self.old!r} stands {count} times in {self.file}")
        return text.replace(self.old, self.new)


def mutations(*named: str) -> list[Mutation]:
    """All of the list, or those whose names begin with one of `named`."""
    rows = tomllib.loads(LIST.read_text())["mutation"]
    mutations = [Mutation(**(row | {"tests": tuple(row["tests"])})) for row in rows]
    return [mutation for mutation in mutations if not named or mutation.name.startswith(named)]
