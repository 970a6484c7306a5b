"""The closing gap to set today, against figures worked out by hand."""

import pytest

from installs.arithmetic.season import SeasonRules, closing_gap, grows
from installs.services.calculation_rules import season_rules
from tests.checks.rule_sets import FOLDING

ALUMINIUM = SeasonRules(
    expansion=23e-6,  # EN 1999-1-1 (from memory): 23e-6 to 24e-6 per K
    coldest=-5,
    hottest=45,
    least_gap=1,
    seal_reach=3,
    asked_from=1,
    source="demo",
)
FIVE_LEAVES = 3470


def test_five_aluminium_leaves_grow_4_mm_in_50_kelvin():
    # By hand: 0.023 mm a metre and kelvin, 3.47 m, 50 K: 3.99 mm.
    assert grows(FIVE_LEAVES, ALUMINIUM) == pytest.approx(4.0, abs=0.05)


@pytest.mark.parametrize(
    ("temperature", "gap"),
    # By hand: the leaf gap of 4 mm at 20 C, half-way; 0.8 mm less for every 10 K above.
    [(-5, 6.0), (10, 4.8), (20, 4.0), (30, 3.2), (45, 2.0)],
)
def test_the_gap_to_set_follows_from_todays_temperature(temperature, gap):
    answer = closing_gap(FIVE_LEAVES, 4.0, temperature, ALUMINIUM)
    assert answer.gap_today == pytest.approx(gap, abs=0.02)
    assert answer.gap_at_hottest == pytest.approx(2.0, abs=0.02)
    assert answer.gap_at_coldest == pytest.approx(6.0, abs=0.02)
    assert answer.holds


def test_a_chain_that_would_bind_is_set_wider_than_half_way():
    # By hand: 6 m grow 6.9 mm; a leaf gap of 3.5 at 20 C would be 0.05 in the heat, so 1 is kept.
    answer = closing_gap(6000, 3.5, 20, ALUMINIUM)
    assert not answer.holds  # 1 + 6.9 is more than 3.5 + 3
    shorter = closing_gap(4500, 3.5, 20, ALUMINIUM)
    # By hand: 2.5875 mm to come leave the least of 1 mm at 3.5875 today.
    assert shorter.gap_today == pytest.approx(3.5875)
    assert shorter.gap_at_hottest == pytest.approx(1.0)


def test_where_no_gap_holds_it_misses_both_ends_by_as_much_and_says_so():
    answer = closing_gap(8000, 4.0, 20, ALUMINIUM)
    bound = ALUMINIUM.least_gap - answer.gap_at_hottest
    open_by = answer.gap_at_coldest - (4.0 + ALUMINIUM.seal_reach)
    assert bound == pytest.approx(open_by)
    assert bound > 0
    assert "No closing gap holds all year" in answer.act


def test_a_day_beyond_the_extremes_is_the_extreme_itself():
    answer = closing_gap(3470, 4, -20, ALUMINIUM)
    assert answer.gap_at_coldest == answer.gap_today
    # By hand: 3.47 m, 65 K: 5.19 mm, half of it beyond the leaf gap of 4.
    assert answer.gap_today == pytest.approx(6.6, abs=0.02)


# Published: changes of length of PVC-U frames as glossaries of the trade quote the RAL guide to
# fitting: 1.6 mm/m white, 2.4 mm/m coloured; over the 40 and 60 K that the rule sets give them both
# come to 40e-6 1/K, half of what handbooks give for PVC-U without steel.
@pytest.mark.parametrize("material", ["pvc_u_white", "pvc_u_coloured"])
def test_steel_inside_halves_what_leaves_of_pvc_u_grow(material):
    bare = season_rules(FOLDING, material)
    held = season_rules(FOLDING, material, reinforced=True)
    coldest, warmest = FOLDING[f"movement.temperatures_{material}"]
    by_guide = FOLDING[f"movement.change_{material}"] / 1000 / (warmest - coldest)
    assert held.expansion == pytest.approx(by_guide)
    assert held.expansion == bare.expansion / 2


def test_steel_makes_no_difference_to_other_materials():
    assert season_rules(FOLDING, "aluminium", reinforced=True) == season_rules(FOLDING, "aluminium")
