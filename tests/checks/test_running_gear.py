"""Running-gear answers against plane geometry and an exhaustive search."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.chains import ChainJunction, RunningGearRequest
from installs.arithmetic.running_gear import set_running_gear


def chain(*gaps, supports=("hinge", "none", "carrier", "none", "carrier"), **request):
    """Junctions 700 mm apart with these (head, sill) gaps."""
    junctions = tuple(
        ChainJunction(700.0 * index, support, head, sill)
        for index, (support, (head, sill)) in enumerate(zip(supports, gaps, strict=False))
    )
    filled = {"adjustment_range": 3.0, "lift_per_turn": 1.0, "tolerance": 1.0}
    return RunningGearRequest(junctions, **(filled | request))


def lifts(answer):
    return {one.junction: one.lift for one in answer.adjustments}


def test_a_leaf_pair_that_hangs_low_is_lifted_by_half_the_difference():
    # Closed form: a lift closes the head gap and opens the sill gap by as much, so half of their
    # difference evens them; the knuckle half-way moves half as far.
    answer = set_running_gear(chain((5, 5), (6, 4), (7, 3)))
    assert lifts(answer) == {2: pytest.approx(2.0, abs=1e-5)}
    assert answer.residual == pytest.approx((0, 0, 0), abs=1e-5)
    assert answer.within_tolerance
    assert answer.cause is None


def test_turns_follow_from_the_lift_of_one_turn():
    answer = set_running_gear(chain((5, 5), (6, 4), (7, 3), lift_per_turn=0.8))
    assert answer.adjustments[0].turns == pytest.approx(2.5, abs=1e-5)


def test_even_gaps_are_left_alone():
    answer = set_running_gear(chain((5, 5), (5, 5), (5, 5)))
    assert lifts(answer) == {2: 0.0}
    assert answer.adjustments[0].turns == 0


def test_of_equally_good_settings_the_one_with_least_movement_is_taken():
    # The hinge keeps a difference of 2 whatever is done: no carrier moves further than that needs.
    answer = set_running_gear(chain((6, 4), (5, 5), (5, 5)))
    assert answer.residual[0] == 2
    assert lifts(answer) == {2: pytest.approx(0.0, abs=1e-5)}


def test_a_free_edge_moves_with_the_last_carrier():
    supports = ("hinge", "none", "carrier", "none")
    answer = set_running_gear(chain((5, 5), (6, 4), (7, 3), (7, 3), supports=supports))
    assert answer.residual[3] == pytest.approx(0, abs=1e-5)


def test_a_carrier_at_the_end_of_its_range_says_so_and_blames_the_frame():
    answer = set_running_gear(chain((5, 5), (8, 2), (13, 1)))
    assert answer.adjustments[0].at_range_end
    assert not answer.within_tolerance
    assert answer.cause == "frame_fault"
    # Closed form: a difference of 12 less twice the range of 3 leaves 6.
    assert [(fault.junction, fault.excess) for fault in answer.faults] == [(2, 6.0)]


def test_a_knuckle_off_the_line_between_its_supports_is_a_sash_out_of_square():
    answer = set_running_gear(chain((5, 5), (8, 2), (5, 5)))
    assert answer.cause == "sash_fault"
    assert [(fault.junction, fault.excess) for fault in answer.faults] == [(1, 6.0)]


def test_what_a_carrier_was_lifted_before_counts_against_its_range():
    junctions = (
        ChainJunction(0, "hinge", 5, 5),
        ChainJunction(700, "none", 6, 4),
        ChainJunction(1400, "carrier", 7, 3, lifted=2.5),
    )
    answer = set_running_gear(RunningGearRequest(junctions, 3.0, 1.0, 1.0))
    assert answer.adjustments[0].lift == pytest.approx(0.5, abs=1e-5)
    assert answer.adjustments[0].at_range_end


def test_a_gap_that_would_close_is_warned_of():
    answer = set_running_gear(chain((0.5, 0.5), (0.5, 0.5), (7, 0)))
    assert any("strike" in warning for warning in answer.warnings)


def test_small_faults_that_only_add_up_still_have_their_cause():
    junctions = tuple(
        ChainJunction(700.0 * index, support, 5 + difference / 2, 5 - difference / 2)
        for index, (support, difference) in enumerate(
            zip(("hinge", "none", "carrier", "none"), (-1, -1, 0.5, 1.5), strict=True)
        )
    )
    answer = set_running_gear(RunningGearRequest(junctions, 3.0, 1.0, 1.0))
    assert not answer.within_tolerance
    assert answer.cause
    assert len(answer.faults) == 1


gap = st.integers(0, 60).map(lambda tenths: tenths / 5)
support = st.sampled_from(("hinge", "carrier", "none"))
junction = st.builds(
    lambda support, head, sill, adjustable: (support, head, sill, adjustable),
    support,
    gap,
    gap,
    st.booleans(),
)


@st.composite
def requests(draw):
    drawn = draw(st.lists(junction, min_size=2, max_size=9))
    steps = draw(st.lists(st.integers(300, 1200), min_size=len(drawn), max_size=len(drawn)))
    junctions = tuple(
        ChainJunction(float(sum(steps[:index])), support, head, sill, adjustable)
        for index, (support, head, sill, adjustable) in enumerate(drawn)
    )
    return RunningGearRequest(junctions, draw(st.sampled_from([0.0, 1.5, 3.0])), 1.0, 1.0)


@given(requests())
def test_the_answer_is_never_worse_than_doing_nothing(request):
    answer = set_running_gear(request)
    before = max(abs(junction.difference) for junction in request.junctions)
    assert max(map(abs, answer.residual)) <= before + 1e-5
    assert all(abs(one.lift) <= request.adjustment_range + 1e-6 for one in answer.adjustments)


@given(requests())
def test_whatever_is_not_within_tolerance_has_a_cause(request):
    answer = set_running_gear(request)
    assert answer.within_tolerance == (answer.cause is None)
    assert bool(answer.faults) == (not answer.within_tolerance)


@given(requests())
def test_no_setting_on_a_grid_beats_the_answer(request):
    # Closed form: every combination of lifts in half millimetres, moved along by straight lines.
    moving = [i for i, junction in enumerate(request.junctions) if junction.moves][:3]
    answer = set_running_gear(request)
    if len(moving) != len(answer.adjustments):
        return
    steps = [
        n / 2
        for n in range(int(-2 * request.adjustment_range), int(2 * request.adjustment_range) + 1)
    ]
    best = min(
        (
            _worst(request, dict(zip(moving, setting, strict=True)))
            for setting in product(steps, repeat=len(moving))
        ),
    )
    assert max(map(abs, answer.residual)) <= best + 1e-5


def _worst(request, lifts):
    """Largest difference of gaps, worked out junction by junction without any matrix."""
    held = [
        (junction.at, lifts.get(index, 0.0))
        for index, junction in enumerate(request.junctions)
        if junction.support != "none"
    ]
    return max(
        abs(junction.difference - 2 * _moved(junction.at, held)) for junction in request.junctions
    )


def _moved(at, held):
    below = [one for one in held if one[0] <= at]
    above = [one for one in held if one[0] >= at]
    if not held:
        return 0.0
    if not below or not above:
        return (above or below[::-1])[0][1]
    (x0, y0), (x1, y1) = below[-1], above[0]
    return y0 if x1 == x0 else y0 + (y1 - y0) * (at - x0) / (x1 - x0)
