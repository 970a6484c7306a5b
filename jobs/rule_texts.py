"""Rule sets as TOML: what a file holds, the complete text that it stands for, and its reading.

A file has a table `rule_set` (`name`, `family`, `title`, `issued_on`, perhaps `extends`), and one
for each rule (`value`, `unit`, `source`, `why`, `provenance`). One that extends another holds only
what differs from it; a rule is given whole, since a source belongs to its value.

What is stored and hashed is the complete text, never the file: every rule with its value, inherited
or not, by name and without comments. So a stored set says by itself what each limit was, nobody
needs the files it came from, and its hash changes when a limit changes, in its own file or in one
that it extends, and with nothing else. That is how a changed parent of a released set is noticed.
"""

import hashlib
import json
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

from jobs.rules import COMMON_PRACTICE, PROVENANCES, Rule, Rules, UnsoundRuleSet

RULE_SET_FOLDER = Path(__file__).parent / "rule_sets"


def shipped_rule_set_texts() -> list[str]:
    """Complete texts of the rule sets that come with the project, in the order of file names.

    Raises `UnsoundRuleSet`.
    """
    paths = sorted(RULE_SET_FOLDER.glob("*.toml"))
    return complete_texts(path.read_text(encoding="utf-8") for path in paths)


@lru_cache(maxsize=32)
def read_rules(text: str) -> Rules:
    """Read one complete text, once per process and text.

    Raises `UnsoundRuleSet` naming what is missing or wrong.
    """
    written = _parse(text)
    if written.extends:
        raise UnsoundRuleSet(f"{written.name} extends {written.extends}: it is not complete")
    return Rules(
        name=written.name,
        family=written.family,
        title=written.title,
        issued_on=written.issued_on,
        sha256=hashlib.sha256(text.encode()).hexdigest(),
        rules=written.rules,
    )


def complete_texts(texts: Iterable[str]) -> list[str]:
    """The complete text of each of these, in their order; each may extend another of them.

    Raises `UnsoundRuleSet` for a set that is given twice, that extends one that is not there or,
    by whatever way, itself, and for a rule whose value is of another kind than the inherited one.
    """
    written = [_parse(text) for text in texts]
    by_name: dict[str, _RuleSetFile] = {}
    for rule_file in written:
        if rule_file.name in by_name:
            raise UnsoundRuleSet(f"there are two rule sets {rule_file.name}")
        by_name[rule_file.name] = rule_file
    return [_complete_text(rule_file, _all_rules(rule_file, by_name)) for rule_file in written]


@dataclass(frozen=True, slots=True)
class _RuleSetFile:
    """A rule set as it is written, with no more than the rules that it gives itself."""

    name: str
    family: str
    title: str
    issued_on: date
    extends: str
    rules: Mapping[str, Rule]


def _parse(text: str) -> _RuleSetFile:
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UnsoundRuleSet(f"not a TOML text: {error}") from error
    heading = document.pop("rule_set", {})
    for word, kind in (("name", str), ("family", str), ("title", str), ("issued_on", date)):
        if not isinstance(heading.get(word), kind):
            raise UnsoundRuleSet(f"rule_set.{word} is missing or is not a {kind.__name__}")
    extends = heading.setdefault("extends", "")
    if not isinstance(extends, str):
        raise UnsoundRuleSet("rule_set.extends is not the name of a rule set")
    if unknown := set(heading) - set(_RuleSetFile.__slots__):
        raise UnsoundRuleSet(f"rule_set has unknown words: {', '.join(sorted(unknown))}")
    rules = {name: _rule(name, entry, heading) for name, entry in _tables(document, "")}
    return _RuleSetFile(**heading, rules=rules)


def _tables(table: dict[str, Any], prefix: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every table that gives a rule, by its dotted name."""
    for word, entry in table.items():
        name = f"{prefix}{word}"
        if not isinstance(entry, dict):
            raise UnsoundRuleSet(
                f"{name} is a bare value; a rule has value, unit, source, provenance"
            )
        if "value" in entry:
            yield name, entry
        else:
            yield from _tables(entry, name + ".")


def _rule(name: str, entry: dict[str, Any], heading: dict[str, Any]) -> Rule:
    _kind(name, entry["value"])
    if not entry.get("unit"):
        raise UnsoundRuleSet(f"{name} has no unit")
    provenance = entry.get("provenance")
    if provenance not in PROVENANCES:
        raise UnsoundRuleSet(f"{name} has no provenance; it is one of: {'; '.join(PROVENANCES)}")
    if provenance != COMMON_PRACTICE and not entry.get("source"):
        raise UnsoundRuleSet(f"{name} has no source")
    unknown = set(entry) - {"value", "unit", "source", "why", "provenance"}
    if unknown:
        raise UnsoundRuleSet(f"{name} has unknown words: {', '.join(sorted(unknown))}")
    return Rule(
        value=entry["value"],
        unit=entry["unit"],
        source=entry.get("source", ""),
        why=entry.get("why", ""),
        provenance=provenance,
        rule_set=heading["name"],
        issued_on=heading["issued_on"],
    )


def _kind(name: str, value: Any) -> str:
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int | float) and not isinstance(value, bool):
        return "a number"
    raise UnsoundRuleSet(f"{name} has a value that is neither a number nor a list: {value!r}")


def _all_rules(
    rule_file: _RuleSetFile, by_name: Mapping[str, _RuleSetFile], below: tuple[str, ...] = ()
) -> dict[str, Rule]:
    """Rules of a set and of all that it extends, the nearest first; `below` led here."""
    way = (*below, rule_file.name)
    if rule_file.name in below:
        raise UnsoundRuleSet(f"a rule set extends itself: {' extends '.join(way)}")
    if not rule_file.extends:
        return dict(rule_file.rules)
    if rule_file.extends not in by_name:
        known = ", ".join(sorted(by_name))
        raise UnsoundRuleSet(
            f"{rule_file.name} extends {rule_file.extends}, which is not there; there are: {known}"
        )
    inherited = _all_rules(by_name[rule_file.extends], by_name, way)
    for name in rule_file.rules.keys() & inherited.keys():
        own, expected = _kind(name, rule_file.rules[name].value), _kind(name, inherited[name].value)
        if own != expected:
            raise UnsoundRuleSet(
                f"{rule_file.name}: {name} is {own}, in {rule_file.extends} it is {expected}"
            )
    return inherited | dict(rule_file.rules)


def _complete_text(rule_file: _RuleSetFile, rules: Mapping[str, Rule]) -> str:
    heading = {"name": rule_file.name, "family": rule_file.family, "title": rule_file.title}
    lines = ["[rule_set]", *_entries(heading), f"issued_on = {rule_file.issued_on.isoformat()}"]
    for name, rule in sorted(rules.items()):
        lines += ["", f"[{name}]", *_entries(_words(rule))]
    return "\n".join(lines) + "\n"


def _words(rule: Rule) -> dict[str, Any]:
    words = {"value": rule.value, "unit": rule.unit, "source": rule.source, "why": rule.why}
    return {word: value for word, value in words.items() if value != ""} | {
        "provenance": rule.provenance
    }


def _entries(words: Mapping[str, Any]) -> Iterator[str]:
    """Numbers, strings and lists of them are written in TOML as they are in JSON."""
    for word, value in words.items():
        yield f"{word} = {json.dumps(value, ensure_ascii=False)}"
