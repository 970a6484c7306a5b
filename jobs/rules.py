"""Rule sets: dated, sourced limits in TOML, read into an immutable form.

Every limit or default of the service is a rule: a table with `value`, `unit`, `source` and
`standing` (one of `STANDINGS`). A text that leaves one out is refused whole.
"""

import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

RULE_SET_FOLDER = Path(__file__).parent / "rule_sets"
STANDINGS = ("published", "common practice, no source", "from memory")


class UnsoundRuleSet(ValueError):
    """A rule set that cannot be used; the message names the rule and what it lacks."""


@dataclass(frozen=True, slots=True)
class Rule:
    value: Any
    unit: str
    source: str
    standing: str


@dataclass(frozen=True, slots=True)
class Rules:
    """`rules` maps dotted names, such as `fixing.max_centres`, to their `Rule`."""

    name: str
    title: str
    issued_on: date
    sha256: str
    rules: Mapping[str, Rule]

    def __getitem__(self, name: str) -> Any:
        """The value of a rule. Raises `UnsoundRuleSet` when the set does not have it."""
        return self.rule(name).value

    def rule(self, name: str) -> Rule:
        try:
            return self.rules[name]
        except KeyError:
            raise UnsoundRuleSet(f"{self.name} has no rule {name}") from None

    def source(self, name: str) -> str:
        rule = self.rule(name)
        return f"{rule.source} ({rule.standing})" if rule.source else rule.standing

    def section(self, prefix: str) -> dict[str, Any]:
        """Values of all rules below `prefix`, by their last word."""
        start = prefix + "."
        return {
            name.removeprefix(start): rule.value
            for name, rule in self.rules.items()
            if name.startswith(start)
        }


@lru_cache(maxsize=32)
def read_rules(text: str) -> Rules:
    """Parse one rule set, once per process and text.

    Raises `UnsoundRuleSet` naming what is missing or wrong.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UnsoundRuleSet(f"not a TOML text: {error}") from error
    heading = document.pop("rule_set", {})
    for word, kind in (("name", str), ("title", str), ("issued_on", date)):
        if not isinstance(heading.get(word), kind):
            raise UnsoundRuleSet(f"rule_set.{word} is missing or is not a {kind.__name__}")
    return Rules(
        name=heading["name"],
        title=heading["title"],
        issued_on=heading["issued_on"],
        sha256=hashlib.sha256(text.encode()).hexdigest(),
        rules=dict(_walk(document, "")),
    )


def shipped_rule_set_texts() -> list[str]:
    """Texts of the rule sets that come with the project, oldest file name first."""
    return [path.read_text(encoding="utf-8") for path in sorted(RULE_SET_FOLDER.glob("*.toml"))]


def _walk(table: dict[str, Any], prefix: str) -> Iterator[tuple[str, Rule]]:
    for word, entry in table.items():
        name = f"{prefix}{word}"
        if not isinstance(entry, dict):
            raise UnsoundRuleSet(
                f"{name} is a bare value; a rule has value, unit, source, standing"
            )
        if "value" in entry:
            yield name, _rule(name, entry)
        else:
            yield from _walk(entry, name + ".")


def _rule(name: str, entry: dict[str, Any]) -> Rule:
    if not entry.get("unit"):
        raise UnsoundRuleSet(f"{name} has no unit")
    standing = entry.get("standing")
    if standing not in STANDINGS:
        raise UnsoundRuleSet(f"{name} has no standing; it is one of: {'; '.join(STANDINGS)}")
    if standing != "common practice, no source" and not entry.get("source"):
        raise UnsoundRuleSet(f"{name} has no source")
    unknown = set(entry) - {"value", "unit", "source", "standing"}
    if unknown:
        raise UnsoundRuleSet(f"{name} has unknown words: {', '.join(sorted(unknown))}")
    return Rule(entry["value"], entry["unit"], entry.get("source", ""), standing)
