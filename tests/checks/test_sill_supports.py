"""Packers under what a sill carries: hand figures, and a beam by its handbook formulas."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.sill_supports import (
    SillLoad,
    SupportRules,
    loads_on_sill,
    support_positions,
)
from installs.services.calculation_rules import support_rules
from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.stack import FoldingChains
from tests.checks.rule_sets import FOLDING, GENERAL, name_of

# A sill of 3614 mm: a face of 60 mm and half a gap of 4 mm are 62 mm to the first pin, then five
# leaves of 694 mm, each with its gap of 4 mm.
FACE, GAP, DEPTH, LEAF, WIDTH = 60.0, 4.0, 70.0, 694.0, 3614.0
FIXINGS = (150, 702, 1254, 1807, 2360, 2912, 3464)
RULES = SupportRules(from_end=50, spacing=300, beside=50)


def chains(fold: str, leaves: int = 5) -> FoldingChains:
    return FoldingChains(WIDTH, FACE, GAP, DEPTH, parse_fold(fold), (LEAF,) * leaves)


def laid(loads, fixings=FIXINGS, length=WIDTH, rules=RULES):
    return support_positions(length, loads, fixings, rules)


def kinds(support) -> list[str]:
    return [load.kind for load in support.carries]


# -- what stands on the sill ------------------------------------------------------------------


def test_carriers_stand_under_every_second_junction_closed_and_beside_the_jamb_folded():
    """By hand: closed at 62 + 2 x 698 = 1458 and 62 + 4 x 698 = 2854. Folded, two leaves of 70 mm
    with their gaps take 148 mm: 62 + 148 = 210 and 62 + 296 = 358. The fifth leaf is the traffic
    door: hinged at the second carrier, locked at 62 + 5 x 698 = 3552."""
    assert [(load.kind, load.at, load.junction) for load in loads_on_sill(chains("5-5-0"))] == [
        ("carrier_folded", 210, 2),
        ("carrier_folded", 358, 4),
        ("carrier_closed", 1458, 2),
        ("carrier_closed", 2854, 4),
        ("traffic_door_hinges", 2854, 4),
        ("traffic_door_lock", 3552, 5),
    ]


def test_two_chains_are_carried_from_both_jambs_and_where_they_meet():
    """By hand, 5-3-2: the left carrier closes at 1458; three leaves on, at 62 + 3 x 698 = 2156, the
    left chain's traffic door locks where the right chain's carrier closes, 3614 - 62 - 2 x 698.
    Folded that stands at 3614 - 62 - 148 = 3404."""
    by_place: dict[float, set[tuple[str, int | None]]] = {}
    for load in loads_on_sill(chains("5-3-2")):
        by_place.setdefault(load.at, set()).add((load.kind, load.junction))
    assert by_place == {
        210: {("carrier_folded", 2)},
        1458: {("carrier_closed", 2), ("traffic_door_hinges", 2)},
        2156: {("meeting_stiles", 3), ("traffic_door_lock", 3), ("carrier_closed", 3)},
        3404: {("carrier_folded", 3)},
    }


def test_a_door_of_one_leaf_has_no_carrier_and_hangs_on_its_jamb():
    door = FoldingChains(826.0, FACE, GAP, DEPTH, parse_fold("1-0-1"), (698.0,))
    assert [(load.kind, load.at, load.junction) for load in loads_on_sill(door)] == [
        ("traffic_door_lock", 62, 0),
        ("traffic_door_hinges", 764, 1),
    ]


def test_the_supports_of_a_fold_seen_in_a_mirror_are_its_mirror_image():
    left, right = (loads_on_sill(chains(fold)) for fold in ("5-5-0", "5-0-5"))
    mirrored = sorted((WIDTH - load.at, load.kind) for load in right)
    assert sorted((load.at, load.kind) for load in left) == mirrored


# -- where it is packed -----------------------------------------------------------------------


def test_a_sill_of_five_leaves_is_packed_where_it_was_worked_out_by_hand():
    """By hand. Under loads: 50 near the left end; 210 is 60 mm from the fixing at 150, so it gets a
    packer of its own, as do 358, 1458 and 2854, 58 mm from the fixing at 2912. The lock at 3552 and
    the right end's packer at 3564 are 12 mm apart: one packer, at 3558. Between them 358 to 702,
    1458 to 1807 (349 mm) and all that is wider are halved: 530, 978, 1632 or 1633, 2083 or 2084,
    2607, 3188. No span is over 600 mm, so none needs two."""
    packed = {support.position: kinds(support) for support in laid(loads_on_sill(chains("5-5-0")))}
    assert {at: what for at, what in packed.items() if what != ["span"]} == {
        50: ["end"],
        210: ["carrier_folded"],
        358: ["carrier_folded"],
        1458: ["carrier_closed"],
        2854: ["carrier_closed", "traffic_door_hinges"],
        3558: ["traffic_door_lock", "end"],
    }
    spans = [at for at, what in packed.items() if what == ["span"]]
    assert spans == pytest.approx([530, 978, 1632.5, 2083.5, 2607, 3188], abs=0.5)


def test_the_packers_of_a_fixing_carry_what_stands_up_to_50_mm_beside_it():
    near, far = SillLoad("carrier_closed", 752.0, 2), SillLoad("carrier_closed", 1305.0, 4)
    by_place = {
        support.position: support for support in laid([near, far]) if kinds(support) != ["span"]
    }
    assert by_place[702].at_fixing
    assert by_place[702].carries == (near,)
    assert not by_place[1305].at_fixing
    assert by_place[1305].carries == (far,)
    assert 1254 not in by_place


def test_a_sill_without_any_fixing_is_packed_all_the_same():
    """By hand: 1000 mm, packers at 50 and 950 with 900 between them: two more, 300 apart."""
    assert [support.position for support in laid([], (), 1000)] == [50, 350, 650, 950]


def test_a_sill_too_short_for_two_packers_has_one_in_its_middle():
    (only,) = laid([], (), 90)
    assert (only.position, kinds(only)) == (45, ["end", "end"])


LOADS = st.lists(
    st.floats(60, 5900).map(lambda at: SillLoad("carrier_closed", round(at, 1), 2)), max_size=12
)
PLACES = st.lists(st.integers(150, 5850), max_size=10, unique=True).map(sorted)
ROUNDING = 0.5


@given(loads=LOADS, fixings=PLACES)
def test_nothing_stands_beyond_50_mm_from_a_packer_and_nothing_spans_over_300_mm(loads, fixings):
    """What rolls over the sill comes to stand wherever it is pushed to: so no two packers are
    further apart, and none is further from an end than 50 mm and the reach of its packer."""
    packed = sorted({*fixings, *(support.position for support in laid(loads, fixings, 6000))})
    for load in loads:
        assert min(abs(place - load.at) for place in packed) <= 50 + ROUNDING
    assert max(b - a for a, b in pairwise(packed)) <= 300
    assert packed[0] <= 100 + ROUNDING
    assert packed[-1] >= 5900 - ROUNDING


@given(loads=LOADS, fixings=PLACES)
def test_no_fewer_packers_carry_what_the_fixings_do_not(loads, fixings):
    """Worked out anew: fewest points that pierce intervals of 50 mm either way, each at the right
    end of the first interval that no earlier point pierces (a theorem of the textbooks)."""
    ends = [SillLoad("end", 50.0), SillLoad("end", 5950.0)]
    pierced, last = 0, float("-inf")
    for at in sorted(load.at for load in (*ends, *loads)):
        served = any(abs(at - fixing) <= 50 for fixing in fixings)
        if not served and at - 50 > last:
            pierced, last = pierced + 1, at + 50
    own = [support for support in laid(loads, fixings, 6000) if not support.at_fixing]
    assert sum(kinds(support) != ["span"] for support in own) == pierced


# -- why the limits are what they are ---------------------------------------------------------

# Aluminium, EN 1999-1-1:2007 3.2.5: 70 000 N/mm2. A low sill of 2 cm4 and a carrier of 1 kN, which
# is a pair of leaves of 100 kg: common practice, no source.
STIFFNESS = 70_000.0 * 20_000.0
CARRIER_N = 1000.0


def sag(span: float, at: float) -> float:
    """mm under a load `at` from one end of a beam on two supports: F a^2 b^2 / (3 E I l), in every
    handbook of structural engineering; F l^3 / (48 E I) halfway."""
    return CARRIER_N * at**2 * (span - at) ** 2 / (3 * STIFFNESS * span)


@pytest.mark.parametrize("rules", [FOLDING, GENERAL], ids=name_of)
def test_a_carrier_over_a_span_that_only_fixings_end_sinks_further_than_its_gaps_allow(rules):
    allowed, limits = rules["running_gear.gap_difference"], support_rules(rules)
    fixed_apart = rules["fixing.max_centres"]
    assert sag(fixed_apart, fixed_apart / 2) == pytest.approx(3.2, abs=0.05)
    assert sag(fixed_apart, fixed_apart / 2) > 3 * allowed
    assert sag(limits.spacing, limits.spacing / 2) == pytest.approx(0.4, abs=0.05)
    assert sag(limits.spacing, limits.spacing / 2) < allowed / 2


@pytest.mark.parametrize("rules", [FOLDING, GENERAL], ids=name_of)
def test_a_carrier_that_stands_beside_a_packer_sinks_by_a_tenth_of_a_millimetre(rules):
    limits = support_rules(rules)
    assert sag(limits.spacing, limits.beside) == pytest.approx(0.1, abs=0.05)
