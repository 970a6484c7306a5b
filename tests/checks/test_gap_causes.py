"""Causes of uneven gaps, over frames whose fault is known since geometry alone drew it."""

import pytest

from installs.arithmetic.chains import ChainJunction, RunningGearRequest
from installs.arithmetic.running_gear import set_running_gear
from tests.checks.chains_in_frames import FAULTS, LEAF_GAP
from tests.checks.study_gap_causes import share_named
from tests.lengths import short_or_long

SUPPORTS = ("hinge", "none", "carrier", "none", "carrier", "none")


def answer_for(gaps, supports=SUPPORTS, at=None, **request):
    places = at or [700.0 * index for index in range(len(gaps))]
    junctions = tuple(
        ChainJunction(place, support, head, sill)
        for place, support, (head, sill) in zip(places, supports, gaps, strict=True)
    )
    filled = {"leaf_gap": LEAF_GAP} | request
    return set_running_gear(RunningGearRequest(junctions, 3.0, 1.0, 1.0, **filled))


def even_but(**elsewhere):
    """Six junctions of 4 mm, but for `j3=(1, 4)`, say."""
    return [elsewhere.get(f"j{index}", (LEAF_GAP, LEAF_GAP)) for index in range(6)]


@pytest.mark.parametrize("kind", FAULTS)
def test_causes_of_every_kind_are_named_in_95_of_100_chains(kind):
    # Where a setting of the carriers is worked out, a chain takes ten times as long.
    few = 40 if kind in ("sound", "carriers_off", "sash_racked") else 120
    assert share_named(kind, short_or_long(few, 1000)) >= 0.95


def test_a_head_pulled_down_at_a_knuckle_is_told_as_an_act_and_no_carrier_hides_it():
    answer = answer_for(even_but(j3=(2, 4)), packers={"head": (300.0, 1430.0, 2200.0)})
    assert answer.cause == "frame_fault"
    assert answer.act == (
        "Do not turn a carrier: the head is low at junction 3. Take 2 mm of packers out at the "
        "head near 2200 mm, then read again."
    )
    (packers,) = answer.probable_causes[0].packers
    assert (packers.member, packers.places, packers.by) == ("head", (2200.0, 1430.0), -2)
    assert [lift.lift for lift in answer.adjustments] == [0, 0]
    assert not answer.within_tolerance


def test_a_lintel_that_sags_is_never_hidden_by_a_carrier_though_one_could_even_the_gaps():
    sag = [(LEAF_GAP - 3 * 4 * x * (1 - x), LEAF_GAP) for x in (0, 0.2, 0.4, 0.6, 0.8, 1)]
    answer = answer_for(sag)
    assert answer.probable_causes[0].what == "lintel_bears_on_head"
    assert {lift.lift for lift in answer.adjustments} == {0}
    assert any("lintel" in caution for caution in answer.cautions)


@pytest.mark.parametrize(
    ("gap", "cause"), [(1, "gap_narrow_everywhere"), (12, "gap_wide_everywhere")]
)
def test_gaps_that_are_even_but_not_the_leaf_gap_are_not_within_tolerance(gap, cause):
    answer = answer_for([(gap, gap)] * 6)
    assert (answer.within_tolerance, answer.cause) == (False, "frame_fault")
    assert answer.probable_causes[0].what == cause
    # By hand: both gaps together are off twice the leaf gap by this.
    assert {row.together for row in answer.gaps} == {2 * gap - 2 * LEAF_GAP}


def test_without_the_leaf_gap_it_says_what_it_cannot_tell():
    answer = answer_for([(1, 1)] * 6, leaf_gap=None)
    assert answer.within_tolerance
    assert any("too narrow or too wide" in text for text in answer.left_open)
    assert not any("leaf gap" in text for text in answer_for(even_but()).left_open)


def test_a_sum_that_differs_from_its_neighbours_is_the_frame_even_without_the_leaf_gap():
    answer = answer_for(even_but(j3=(0.5, 4)), leaf_gap=None)
    assert answer.probable_causes[0].what == "head_low"


def test_a_carrier_beyond_its_range_and_a_frame_out_of_level_are_told_apart():
    single = answer_for([(6, 6), (8, 4), (10, 2), (8, 4), (6, 6), (6, 6)], leaf_gap=6.0)
    assert single.probable_causes[0].what == "carrier_out_of_range"
    falls = [(7 + by, 7 - by) for by in (0, 1.2, 2.4, 3.6, 4.8, 4.8)]
    all_along = answer_for(falls, leaf_gap=7.0)
    assert all_along.probable_causes[0].what == "frame_out_of_level"
    assert (single.cause, all_along.cause) == ("frame_fault", "frame_fault")
    assert all("Do not turn a carrier" in answer.act for answer in (single, all_along))


def test_a_hinge_that_is_off_is_not_cured_by_carriers():
    answer = answer_for(even_but(j0=(5.5, 2.5)))
    assert (answer.cause, answer.probable_causes[0].what) == ("frame_fault", "hinge_off")


def test_small_differences_that_only_add_up_have_an_act_too():
    differences = (-1, -1, 0.5, 1.5)
    gaps = [(4 + by / 2, 4 - by / 2) for by in differences]
    answer = answer_for(gaps, supports=("hinge", "none", "carrier", "none"))
    assert answer.cause
    assert str(answer.faults[0].junction) in answer.act


def test_gaps_are_within_tolerance_by_how_well_they_were_read():
    # By hand (normal table): 1 mm is 2.0 standard uncertainties of a difference of two readings of
    # 0.3536 mm each: 0.9545 at each of six junctions, together 0.756; the sums, twice as far from
    # their limit, leave 0.99994 each.
    read = answer_for(even_but(), expanded_uncertainty=2 * 0.35355)
    assert read.probability_within == pytest.approx(0.9545**6 * 0.99994**6, abs=0.001)
    assert (read.decision, read.within_tolerance, read.cause) == ("inconclusive", False, None)
    assert read.act.startswith("Read again before anything is turned")
    finer = answer_for(even_but(), expanded_uncertainty=0.2)
    assert (finer.decision, finer.within_tolerance) == ("pass", True)
    assert finer.act.startswith("Turn nothing")


def test_probabilities_of_causes_add_up_to_no_more_than_one():
    answer = answer_for(even_but(j1=(2.6, 4.2)), expanded_uncertainty=1.0)
    probabilities = [cause.probability for cause in answer.probable_causes]
    assert probabilities == sorted(probabilities, reverse=True)
    assert 0.5 < sum(probabilities) <= 1.0001


def test_on_a_chain_of_two_leaves_a_low_head_and_a_lintel_look_alike_and_both_are_told():
    answer = answer_for(
        [(4, 4), (1, 4), (4, 4)], supports=("hinge", "none", "carrier"), at=[0, 700, 1400]
    )
    assert {cause.what for cause in answer.probable_causes} == {"head_low", "lintel_bears_on_head"}
