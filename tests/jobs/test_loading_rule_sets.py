import pytest
from django.core.management import CommandError, call_command

from jobs import rule_texts
from jobs.models import RuleSet
from jobs.rule_texts import read_rules
from jobs.rules import OWN_LIMIT
from tests import factories
from tests.older_rule_sets import older_rule_set, rules_text

pytestmark = pytest.mark.django_db

RULE = '[frame.bow]\nvalue = 3\nunit = "mm"\nprovenance = "common practice, no source"\n'
TWIST = RULE.replace("frame.bow", "frame.twist")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder of rule sets of our own: one, and another that extends it."""
    monkeypatch.setattr(rule_texts, "RULE_SET_FOLDER", tmp_path)
    (tmp_path / "a.toml").write_text(rules_text("doors-2025", RULE, family="doors"))
    write_child(tmp_path)
    return tmp_path


def write_child(folder, *, issued_on="2026-02-01", name="doors-2026", rules=TWIST):
    more = 'extends = "doors-2025"\n'
    text = rules_text(name, rules, family="doors", issued_on=issued_on, more=more)
    (folder / f"{name}.toml").write_text(text)


def load(capsys) -> str:
    call_command("load_rule_sets")
    return capsys.readouterr().out


def test_the_stored_text_says_by_itself_what_every_limit_is(folder, capsys):
    load(capsys)
    stored = RuleSet.objects.get(name="doors-2026")
    assert stored.family == "doors"
    assert "extends" not in stored.text
    assert set(read_rules(stored.text).rules) == {"frame.bow", "frame.twist"}
    assert stored.sha256 == read_rules(stored.text).sha256


def test_the_command_names_what_it_loads_and_what_older_sets_leave_to_newer_ones(folder, capsys):
    told = load(capsys)
    assert "Loaded doors-2026 of 2026-02-01, family doors: t" in told
    assert "2 rule sets are stored." in told
    assert "doors-2025 leaves to newer sets of its family: frame.twist" in told
    assert "doors-2026 leaves" not in told


def test_loading_again_stores_nothing(folder, capsys):
    load(capsys)
    assert "Loaded" not in load(capsys)
    assert RuleSet.objects.count() == 2


@pytest.mark.parametrize("changed", ["a.toml", "doors-2026.toml"])
def test_a_set_that_was_loaded_does_not_change_be_it_by_its_parent(folder, capsys, changed):
    load(capsys)
    file = folder / changed
    file.write_text(file.read_text().replace("value = 3", "value = 4"))
    with pytest.raises(CommandError, match="or one that it extends, was changed"):
        load(capsys)
    assert {one.rules["frame.bow"] for one in RuleSet.objects.all()} == {3}


def test_a_parent_that_changed_is_refused_for_the_sake_of_the_child_alone(folder, capsys):
    """Even where the parent itself was never loaded under that name here."""
    load(capsys)
    RuleSet.objects.filter(name="doors-2025").delete()
    file = folder / "a.toml"
    file.write_text(file.read_text().replace("value = 3", "value = 4"))
    with pytest.raises(CommandError, match="rule set doors-2026, or one that it extends"):
        load(capsys)


def test_comments_and_order_of_a_file_may_change(folder, capsys):
    load(capsys)
    file = folder / "a.toml"
    file.write_text("# Limits of doors\n" + file.read_text())
    assert "Loaded" not in load(capsys)


def test_an_unsound_set_is_refused_and_none_is_stored(folder, capsys):
    write_child(folder, name="doors-2027", rules=TWIST.replace('unit = "mm"\n', ""))
    with pytest.raises(CommandError, match=r"frame\.twist has no unit"):
        load(capsys)
    assert not RuleSet.objects.exists()


def test_the_newest_set_of_the_family_decides_what_a_set_lacks(folder, capsys):
    write_child(folder, issued_on="2027-03-04", name="doors-2027", rules=TWIST.replace("3", "2"))
    load(capsys)
    rules = RuleSet.objects.get(name="doors-2025").rules
    assert (rules["frame.bow"], rules["frame.twist"]) == (3, 2)
    assert rules.source("frame.bow") == OWN_LIMIT
    assert rules.source("frame.twist").endswith(
        "; frame.twist by rule set doors-2027 of 4 March 2027"
    )


def test_a_newer_set_of_another_family_decides_nothing():
    older = older_rule_set(without={"frame.bow"})
    other = factories.rule_set("general-2026-3")
    RuleSet.objects.filter(pk=other.pk).update(issued_on="2030-01-01")
    assert older.rules.rule("frame.bow").rule_set == factories.NEWEST_RULE_SET


def test_a_set_that_knows_every_rule_asks_for_no_other(django_assert_num_queries):
    newest = factories.rule_set()
    with django_assert_num_queries(0):
        assert newest.rules["frame.bow"] == 1.5
    older = older_rule_set()
    with django_assert_num_queries(1):
        assert older.rules["frame.bow"] == older.rules["frame.bow"] == 1.5
