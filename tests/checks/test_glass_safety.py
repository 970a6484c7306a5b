"""Safety glazing against Approved Document K (England), section 5."""

from dataclasses import replace

import pytest

from jobs.arithmetic.glass_safety import judge_glass
from jobs.arithmetic.glazing import Cavity, Glazing, Pane
from jobs.services.doorset_rules import doorset_rules
from tests.checks.doorsets import REQUEST, doorset
from tests.checks.rule_sets import GENERAL, RULE_SETS, name_of

RULES = doorset_rules(GENERAL).glass


def judge(*kinds: str, glass_width: float = 700, bottom_of_glass: float = 66):
    layers: list[Pane | Cavity] = [Pane(4, safety=kinds[0])]
    for kind in kinds[1:]:
        layers += [Cavity(16), Pane(4, safety=kind)]
    return judge_glass(1, glass_width, bottom_of_glass, Glazing(tuple(layers)), RULES)


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_every_rule_set_holds_the_published_limits(rules):
    # published: Approved Document K, Diagram 5.1: 1500 mm in doors and in panels within 300 mm of
    # one, 800 mm elsewhere; 5.4: pane width over 900 mm
    assert rules["glass.door_height"] == 1500
    assert rules["glass.wide_pane"] == 900


@pytest.mark.parametrize(("bottom", "unsafe"), [(0, True), (1499.9, True), (1500, False)])
def test_door_glazing_is_critical_up_to_1500_mm(bottom, unsafe):
    # published: Approved Document K, Diagram 5.1: between floor and 1500 mm
    assert judge("none", "toughened", bottom_of_glass=bottom).unsafe is unsafe


@pytest.mark.parametrize(
    ("width", "needed"), [(900, "BS EN 12600 class 3"), (900.1, "BS EN 12600 class 2")]
)
def test_a_pane_of_exactly_900_mm_is_not_a_wide_one(width, needed):
    # published: Approved Document K 5.4: pane width exceeding 900 mm, class 2, else class 3
    assert judge("toughened", "toughened", glass_width=width).required_class == needed


@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
def test_every_leaf_is_a_door_whose_glass_is_critical(rules):
    # published: Approved Document K, Diagram 5.1; that each folding leaf is a door is our reading
    layers = tuple(
        replace(layer, safety="none") if isinstance(layer, Pane) else layer
        for layer in REQUEST.glazing.layers
    )
    findings = doorset(rules, glazing=Glazing(layers)).safety_glazing
    assert [(finding.leaf, finding.unsafe_panes) for finding in findings] == [
        (leaf, (1, 2)) for leaf in range(1, 6)
    ]


@pytest.mark.parametrize(
    ("kinds", "unsafe_panes"),
    [
        (("toughened", "laminated"), ()),
        (("none", "toughened"), (1,)),
        (("toughened", "none"), (2,)),
        (("none",), (1,)),
        (("toughened", "none", "toughened"), ()),
    ],
)
def test_both_faces_that_can_be_struck_must_be_safe(kinds, unsafe_panes):
    # common practice, no source: a person strikes the outermost or the innermost pane
    assert judge(*kinds).unsafe_panes == unsafe_panes
