"""The rule sets that come with the project, for checks of the limits they hold."""

from jobs.rule_texts import read_rules, shipped_rule_set_texts
from jobs.rules import Rules

RULE_SETS: list[Rules] = [read_rules(text) for text in shipped_rule_set_texts()]
FOLDING, GENERAL = (
    next(rules for rules in RULE_SETS if rules.name == name)
    for name in ("folding-2026-3", "general-2026-3")
)


def name_of(rules: Rules) -> str:
    return rules.name
