"""Every rule that the product asks for is known, whatever rule set a job was decided under."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from installs.api.calculation_views import _sources as fixing_sources
from installs.services.calculation_rules import (
    block_rules,
    joint_rules,
    lift_rules,
    season_rules,
)
from jobs.models import ProfileSystem
from jobs.rules import COMMON_PRACTICE, PUBLISHED, Rules
from reports.papers.certificate_record import SHOWN_RULES
from surveys.services.fit_rules import clearance_wanted
from tests.checks.rule_sets import RULE_SETS, name_of

APPS = ("jobs", "surveys", "installs", "reports", "config")
DOCUMENTS = r"\b(EN|ISO|PD|JCGM|HSE|Approved Document|Building Regulations|NHBC|LABC|RAL|VMRG)\b|^$"
READERS = ("rule", "source", "note")
# What puts the name of a rule together from parts; `asked_in_parts` calls each of them.
PUT_TOGETHER_IN = {
    "installs/api/calculation_views.py",
    "installs/services/calculation_rules.py",
    "surveys/services/fit_rules.py",
}


def newest_of(family: str) -> Rules:
    return max((r for r in RULE_SETS if r.family == family), key=lambda r: (r.issued_on, r.name))


def asked_by_name() -> set[str]:
    """Names of rules that are written out, as `rules["..."]`, `.source("...")` and the like."""
    return {
        name.value
        for _, name in _names_of_rules()
        if isinstance(name, ast.Constant) and isinstance(name.value, str)
    }


def asked_in_parts() -> set[str]:
    """What the functions of `PUT_TOGETHER_IN` ask a set that knows nothing itself."""
    newest = newest_of("folding")
    nothing = Rules("n", "folding", "t", newest.issued_on, "", {}, lambda: newest.rules)
    for build in (block_rules, joint_rules, lift_rules, fixing_sources):
        build(nothing)
    for material in ProfileSystem.Material:
        clearance_wanted(nothing, 3000, {}, material)
        season_rules(nothing, material, reinforced=True)
    return set(nothing.borrowed)


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_a_job_under_any_shipped_set_finds_every_rule_that_is_asked_for(rules):
    known = set(rules.rules) | set(newest_of(rules.family).rules)
    assert asked_by_name() | asked_in_parts() <= known


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_no_shipped_set_has_a_rule_that_nothing_asks_for(rules):
    assert set(rules.rules) <= asked_by_name() | asked_in_parts()


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_a_limit_of_a_shipped_set_cites_a_document_or_says_why_it_was_chosen(rules):
    for name, rule in rules.rules.items():
        assert rule.provenance in (PUBLISHED, COMMON_PRACTICE), name
        assert (rule.provenance == PUBLISHED) == bool(rule.source) == (not rule.why), name


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_a_document_that_is_cited_has_a_number_or_a_clause_to_find_it_by(rules):
    for name, rule in rules.rules.items():
        assert re.search(DOCUMENTS, rule.source), name


def test_names_are_put_together_where_they_are_called_here_and_nowhere_else():
    found = {file for file, name in _names_of_rules() if isinstance(name, ast.JoinedStr)}
    assert found == PUT_TOGETHER_IN


def test_what_a_certificate_lists_are_sections_that_every_set_has():
    for rules in RULE_SETS:
        assert set(SHOWN_RULES) <= {name.partition(".")[0] for name in rules.rules}


@cache
def _names_of_rules() -> list[tuple[str, ast.expr]]:
    return list(_names_in_sources())


def _names_in_sources() -> Iterator[tuple[str, ast.expr]]:
    for path in (path for app in APPS for path in sorted(Path(app).rglob("*.py"))):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Subscript) and _is_rules(node.value):
                yield str(path), node.slice
            elif isinstance(node, ast.Call) and _is_reader(node.func):
                yield from ((str(path), argument) for argument in node.args)


def _is_reader(node: ast.expr) -> bool:
    return isinstance(node, ast.Attribute) and node.attr in READERS and _is_rules(node.value)


def _is_rules(node: ast.expr) -> bool:
    """`rules`, or anything's `.rules`."""
    return getattr(node, "id", getattr(node, "attr", "")) == "rules"
