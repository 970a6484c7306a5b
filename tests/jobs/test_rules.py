import pytest

from jobs.rules import UnsoundRuleSet, read_rules, shipped_rule_set_texts

HEADING = '[rule_set]\nname = "n"\ntitle = "t"\nissued_on = 2026-01-01\n'
RULE = '[a.b]\nvalue = 3\nunit = "mm"\nsource = "s"\nstanding = "published"\n'


def test_every_shipped_rule_set_can_be_read_and_names_differ():
    read = [read_rules(text) for text in shipped_rule_set_texts()]
    assert len({rules.name for rules in read}) == len(read) >= 2


def test_shipped_rule_sets_know_the_same_rules():
    first, *others = [set(read_rules(text).rules) for text in shipped_rule_set_texts()]
    assert all(names == first for names in others)


def test_a_rule_is_read_with_its_value_and_source():
    rules = read_rules(HEADING + RULE)
    assert rules["a.b"] == 3
    assert rules.source("a.b") == "s (published)"


@pytest.mark.parametrize(
    ("left_out", "complaint"),
    [
        ('unit = "mm"\n', "a.b has no unit"),
        ('source = "s"\n', "a.b has no source"),
        ('standing = "published"\n', "a.b has no standing"),
    ],
)
def test_a_rule_that_leaves_something_out_is_refused(left_out, complaint):
    with pytest.raises(UnsoundRuleSet, match=complaint):
        read_rules(HEADING + RULE.replace(left_out, ""))


def test_a_bare_value_is_refused():
    with pytest.raises(UnsoundRuleSet, match=r"a\.limit is a bare value"):
        read_rules(HEADING + "[a]\nlimit = 3\n")


def test_a_rule_set_without_its_date_is_refused():
    with pytest.raises(UnsoundRuleSet, match="issued_on"):
        read_rules('[rule_set]\nname = "n"\ntitle = "t"\n' + RULE)


def test_asking_for_a_rule_that_is_not_there_says_so():
    with pytest.raises(UnsoundRuleSet, match=r"n has no rule a\.c"):
        read_rules(HEADING + RULE)["a.c"]
