import pytest

from jobs.rule_texts import complete_texts, read_rules, shipped_rule_set_texts
from jobs.rules import UnknownRule, UnsoundRuleSet
from tests.older_rule_sets import rules_text

RULE = '[a.b]\nvalue = 3\nunit = "mm"\nsource = "s"\nprovenance = "published"\n'
OTHER = RULE.replace("a.b", "a.c").replace("3", "[[1, 2.5]]")


def test_every_shipped_rule_set_can_be_read_and_names_differ():
    read = [read_rules(text) for text in shipped_rule_set_texts()]
    assert len({rules.name for rules in read}) == len(read) >= 2


def test_a_rule_is_read_with_its_value_and_source():
    rules = read_rules(rules_text("n", RULE))
    assert rules["a.b"] == 3
    assert rules.source("a.b") == "s (published)"


@pytest.mark.parametrize(
    ("left_out", "complaint"),
    [
        ('unit = "mm"\n', "a.b has no unit"),
        ('source = "s"\n', "a.b has no source"),
        ('provenance = "published"\n', "a.b has no provenance"),
    ],
)
def test_a_rule_that_leaves_something_out_is_refused(left_out, complaint):
    with pytest.raises(UnsoundRuleSet, match=complaint):
        read_rules(rules_text("n", RULE.replace(left_out, "")))


def test_a_bare_value_is_refused():
    with pytest.raises(UnsoundRuleSet, match=r"a\.limit is a bare value"):
        read_rules(rules_text("n", "[a]\nlimit = 3\n"))


@pytest.mark.parametrize("value", ['"three"', "true", "2026-01-01"])
def test_a_value_that_nothing_can_be_held_to_is_refused(value):
    with pytest.raises(UnsoundRuleSet, match=r"a\.b has a value that is neither"):
        read_rules(rules_text("n", RULE.replace("3", value)))


@pytest.mark.parametrize("word", ["name", "family", "title", "issued_on"])
def test_a_rule_set_without_its_heading_is_refused(word):
    lines = rules_text("n", RULE).splitlines()
    text = "\n".join(line for line in lines if not line.startswith(f"{word} ="))
    with pytest.raises(UnsoundRuleSet, match=rf"rule_set\.{word} is missing"):
        read_rules(text)


def test_a_misspelt_word_of_the_heading_is_refused():
    with pytest.raises(UnsoundRuleSet, match="rule_set has unknown words: extend"):
        complete_texts([rules_text("n", RULE, more='extend = "general"\n')])


# Sets that extend another


def extending(name: str, parent: str, rules: str) -> str:
    return rules_text(name, rules, more=f'extends = "{parent}"\n')


def test_a_set_has_what_it_changes_and_inherits_the_rest():
    changed = RULE.replace("3", "4")
    _, child = complete_texts([rules_text("old", RULE + OTHER), extending("new", "old", changed)])
    rules = read_rules(child)
    assert (rules["a.b"], rules["a.c"]) == (4, [[1, 2.5]])
    assert rules.source("a.c") == "s (published)"
    assert rules.rule("a.c").rule_set == "new"


def test_a_set_may_stand_before_the_one_it_extends():
    child, _ = complete_texts([extending("new", "old", OTHER), rules_text("old", RULE)])
    assert set(read_rules(child).rules) == {"a.b", "a.c"}


def test_a_complete_text_says_the_same_when_it_is_completed_again():
    texts = shipped_rule_set_texts()
    assert complete_texts(texts) == texts


def test_the_hash_of_a_set_goes_by_what_it_means_and_not_by_how_its_file_is_written():
    plain, commented = (
        complete_texts([rules_text("n", RULE + OTHER)]),
        complete_texts(["# The first\n" + rules_text("n", OTHER + "\n# Why\n" + RULE)]),
    )
    assert plain == commented


def test_a_changed_parent_changes_the_hash_of_what_extends_it():
    child = extending("new", "old", OTHER)
    before = complete_texts([rules_text("old", RULE), child])[1]
    after = complete_texts([rules_text("old", RULE.replace("3", "5")), child])[1]
    assert read_rules(before).sha256 != read_rules(after).sha256


def test_a_set_that_extends_itself_by_way_of_others_is_refused():
    ring = [extending("a", "b", RULE), extending("b", "c", RULE), extending("c", "a", RULE)]
    with pytest.raises(UnsoundRuleSet, match="extends itself: a extends b extends c extends a"):
        complete_texts(ring)


def test_a_set_that_extends_none_there_is_is_refused():
    with pytest.raises(UnsoundRuleSet, match=r"new extends old, which is not there; .*: new"):
        complete_texts([extending("new", "old", RULE)])


def test_two_sets_of_one_name_are_refused():
    with pytest.raises(UnsoundRuleSet, match="there are two rule sets n"):
        complete_texts([rules_text("n", RULE), rules_text("n", OTHER)])


def test_a_number_does_not_become_a_list():
    changed = RULE.replace("3", "[3]")
    with pytest.raises(UnsoundRuleSet, match=r"new: a\.b is a list, in old it is a number"):
        complete_texts([rules_text("old", RULE), extending("new", "old", changed)])


def test_a_text_that_is_not_complete_is_not_read():
    with pytest.raises(UnsoundRuleSet, match="new extends old: it is not complete"):
        read_rules(extending("new", "old", RULE))


# A rule that is asked for and not there


def test_a_rule_that_no_set_of_the_family_has_is_a_fault_that_names_it():
    with pytest.raises(UnknownRule, match=r"no rule set of the family folding has a rule a\.c"):
        read_rules(rules_text("n", RULE))["a.c"]
