"""Rules: dated, sourced limits and defaults, each known with the rule set that decides it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from msgspec import UNSET, UnsetType

from jobs.sentences import StoredSentence, sentence

PUBLISHED = sentence("published")
COMMON_PRACTICE = sentence("common practice, no source")
FROM_MEMORY = sentence("from memory")
OWN_LIMIT = sentence("the firm's own limit (common practice, no source)")
PROVENANCES = (PUBLISHED, COMMON_PRACTICE, FROM_MEMORY)
DECIDED_BY = StoredSentence("rule set {rule_set} of {date}")


class UnsoundRuleSet(ValueError):
    """A rule set that cannot be used; the message names the rule and what it lacks."""


class UnknownRule(LookupError):
    """The code asks for a rule that no rule set of the family has: a programming error."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A limit or default as a rule set decides it; `provenance` is one of `PROVENANCES`.

    `source`: the document that gives the value, empty where none does; `why`: what speaks for a
    value that no document gives.
    """

    value: Any
    unit: str
    source: str
    why: str
    provenance: str
    rule_set: str
    issued_on: date

    @property
    def citation(self) -> str:
        """The document with its provenance; a limit without one is the firm's own."""
        return f"{self.source} ({self.provenance})" if self.source else OWN_LIMIT

    @property
    def decided_by(self) -> str:
        """Such as `rule set folding-2026 of 12 January 2026`."""
        date = f"{self.issued_on.day} {self.issued_on:%B %Y}"
        return DECIDED_BY(rule_set=self.rule_set, date=date)


@dataclass(frozen=True, slots=True)
class BorrowedRule:
    """A rule that a newer set of the family decided, issued on a day in ISO 8601."""

    rule: str
    rule_set: str
    issued_on: str


BorrowedRules = tuple[BorrowedRule, ...] | UnsetType
"""Of a frozen record; left out where its own set knew every rule."""


@dataclass(frozen=True, slots=True)
class Rules:
    """One reading of a rule set; `rules` maps dotted names, such as `frame.bow`, to rules.

    A job keeps the set that it was decided under. What that set does not know yet, the newest set
    of its family decides: `of_family` finds those rules, and is only asked when one is missing.
    `borrowed` fills with each such rule as it is read, so that an answer can say so.
    """

    name: str
    family: str
    title: str
    issued_on: date
    sha256: str
    rules: Mapping[str, Rule]
    of_family: Callable[[], Mapping[str, Rule]] = dict
    borrowed: dict[str, Rule] = field(default_factory=dict, init=False, compare=False)

    def __getitem__(self, name: str) -> Any:
        """The value of a rule. Raises `UnknownRule` when no set of the family has it."""
        return self.rule(name).value

    def rule(self, name: str) -> Rule:
        """A rule with the set that decides it. Raises `UnknownRule`."""
        if name in self.rules:
            return self.rules[name]
        rule = self.of_family().get(name)
        if rule is None:
            raise UnknownRule(f"no rule set of the family {self.family} has a rule {name}")
        self.borrowed[name] = rule
        return rule

    def source(self, name: str, *besides: str) -> str:
        """Where a limit comes from, and which set decides it where that is not this one.

        `besides` are other rules that the limit follows from.
        """
        return self.rule(name).citation + self.note(name, *besides)

    def note(self, *names: str) -> str:
        """For whatever shows a limit: `; frame.bow by rule set folding-2027 of 4 January 2027`
        for each of its rules that another set decides, else nothing."""
        rules = {name: self.rule(name) for name in names if name not in self.rules}
        return "".join(f"; {name} by {rule.decided_by}" for name, rule in rules.items())

    def signature(self) -> dict[str, Any]:
        """What a frozen record says of this reading: `rule_set` and `rules_from_newer_sets`."""
        borrowed = tuple(
            BorrowedRule(name, rule.rule_set, rule.issued_on.isoformat())
            for name, rule in sorted(self.borrowed.items())
        )
        return {"rule_set": self.name, "rules_from_newer_sets": borrowed or UNSET}

    def signed(self, answer: Mapping[str, Any]) -> dict[str, Any]:
        """An answer that was worked out by this reading, with `rule_set` and `from_newer_sets`."""
        return {"rule_set": self.name, **answer, **self.from_newer_sets()}

    def from_newer_sets(self) -> dict[str, list[dict[str, str]]]:
        """`rules_from_newer_sets`, the rules that were borrowed until now; nothing without any."""
        borrowed = [
            {"rule": name, "rule_set": rule.rule_set, "issued_on": rule.issued_on.isoformat()}
            for name, rule in sorted(self.borrowed.items())
        ]
        return {"rules_from_newer_sets": borrowed} if borrowed else {}

    def complete(self) -> dict[str, Rule]:
        """Every rule by which a job under this set is decided, in the order of their names."""
        return {name: self.rule(name) for name in sorted({*self.of_family(), *self.rules})}
