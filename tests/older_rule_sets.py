"""Rule sets that are older than those which come with the project, and know less."""

from collections.abc import Collection

from jobs.models import RuleSet
from jobs.rule_texts import complete_texts, read_rules
from tests import factories

OLDER = "folding-2025"
NEWEST = factories.NEWEST_RULE_SET
NEWEST_ISSUED_ON = "2026-11-27"
# How pages, papers and sources name the set that decides what the older one does not know.
BY_NEWEST = f"{NEWEST} of 27 November 2026"


def rules_text(
    name: str, rules: str, *, family: str = "folding", issued_on: str = "2025-01-01", more: str = ""
) -> str:
    """A rule set as it is written in a file; `more` are further lines of its heading."""
    heading = f'name = "{name}"\nfamily = "{family}"\ntitle = "t"\nissued_on = {issued_on}\n'
    return f"[rule_set]\n{heading}{more}\n{rules}"


def older_rule_set(without: Collection[str] | None = None) -> RuleSet:
    """A stored set of 2025 with the rules of the newest one of its family, but some or all."""
    newest = factories.rule_set(NEWEST)
    (text,) = complete_texts([_older_text(newest, without)])
    rules = read_rules(text)
    return RuleSet.objects.create(
        name=rules.name,
        family=rules.family,
        title=rules.title,
        issued_on=rules.issued_on,
        sha256=rules.sha256,
        text=text,
    )


def _older_text(newest: RuleSet, without: Collection[str] | None) -> str:
    _, *tables = newest.text.split("\n\n")
    kept = [
        table
        for table in tables
        if without is not None and table.partition("]")[0].removeprefix("[") not in without
    ]
    return rules_text(OLDER, "\n".join(kept))
