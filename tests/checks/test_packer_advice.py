"""Advice on packers against jambs whose shape is worked out by other means (`bent_jambs`)."""

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from installs.arithmetic.beams import beam_weights
from installs.arithmetic.packed_members import (
    FrameReading,
    FrameSize,
    MemberLimits,
    PackedFixing,
    PackedMember,
    PackersChange,
)
from installs.arithmetic.packer_advice import advise_packers
from installs.arithmetic.packer_options import stack_changes
from installs.arithmetic.packers import AdviceRules
from tests.checks import bent_jambs
from tests.checks.bent_jambs import LENGTH, QUARTERS, BentJamb

RULES = AdviceRules((1.0, 2.0, 3.0, 5.0, 8.0, 10.0), 0.3, 0.9)
LIMITS = MemberLimits(plumb=3.0, level=3.0, bow=1.5, diagonal=2.0)
MOST_ROUNDS = 12


@dataclass(frozen=True)
class Outcome:
    """How many packers were changed, in how many acts, until it was said to be within."""

    packers: int
    acts: int
    said_within: bool
    is_within: bool


def follow_the_advice(rng: np.random.Generator, jamb: BentJamb, u: float) -> Outcome:
    """As a crew would: read, do what is said, read again. `u`: standard uncertainty, half of its
    variance one error of the instrument."""
    readings: list[FrameReading] = []
    changes: list[PackersChange] = []
    shared, acts = rng.normal(0, u * 0.5**0.5, 2), 0
    for _ in range(MOST_ROUNDS):
        own = rng.normal(0, u * 0.5**0.5, 4)
        made, plumb, bows = len(changes), *jamb.stands
        readings.append(FrameReading("plumb", plumb + shared[0] + own[0], 2 * u, made))
        readings += [
            FrameReading("bow", bow + shared[1] + error, 2 * u, made, at)
            for at, bow, error in zip(QUARTERS, bows, own[1:], strict=True)
        ]
        advice = advise_packers(_as_asked(jamb, readings, changes), RULES)
        if advice.within_limits:
            return Outcome(made, acts, True, jamb.is_within(LIMITS.plumb, LIMITS.bow))
        acts += bool(advice.act.changes)
        for change in advice.act.changes:
            place = jamb.places.index(change.at)
            jamb.stacks[place] = change.packers or ()
            jamb.heights[place] += bent_jambs.seat(rng, change.change)
            changes.append(PackersChange(change.at, change.change, RULES.slack))
    return Outcome(len(changes), acts, False, False)


def _as_asked(
    jamb: BentJamb, readings: list[FrameReading], changes: list[PackersChange]
) -> PackedMember:
    fixings = zip(jamb.places, jamb.stacks, strict=True)
    return PackedMember(
        name="left",
        length=LENGTH,
        fixings=tuple(PackedFixing(at, stack) for at, stack in fixings),
        readings=tuple(readings),
        changes=tuple(changes),
        limits=LIMITS,
    )


# Bars: within two packers at 0.3 mm, within three at 0.5 mm, wrongly at most one in twenty.
@pytest.mark.parametrize(("u", "packers"), [(0.3, 2), (0.5, 3)])
def test_a_jamb_is_within_its_limits_after_few_packers_and_seldom_only_said_to_be(u, packers):
    rng = np.random.default_rng(5)
    outcomes = [follow_the_advice(rng, bent_jambs.at_random(rng), u) for _ in range(120)]
    said = [one for one in outcomes if one.said_within]
    assert sum(one.packers <= packers for one in said) >= 0.95 * len(outcomes)
    assert sum(not one.is_within for one in said) <= 0.05 * len(said)


def test_packers_that_give_and_six_of_them_are_served_as_well():
    rng = np.random.default_rng(6)
    places = (150.0, 500.0, 850.0, 1200.0, 1550.0, 1950.0)
    shape = bent_jambs.on_packers_that_give
    outcomes = [
        follow_the_advice(rng, bent_jambs.at_random(rng, places, shape), 0.3) for _ in range(40)
    ]
    said = [one for one in outcomes if one.said_within]
    assert len(said) >= 38
    assert sum(not one.is_within for one in said) <= 2


def test_a_beam_over_its_supports_is_the_natural_cubic_spline_of_the_reference_library():
    supports = (150.0, 520.0, 1100.0, 1700.0, 1950.0)
    inside = (150.0, 400.0, 1099.0, 1101.0, 1950.0)
    weights = beam_weights(supports, inside)
    expected = CubicSpline(supports, np.eye(5), bc_type="natural")(inside)
    assert weights == pytest.approx(expected, abs=1e-12)


def test_a_beam_runs_on_straight_beyond_its_outer_supports():
    supports, heights = (150.0, 700.0, 1400.0, 1950.0), np.array([0.0, 2.0, -1.0, 1.0])
    spline = CubicSpline(supports, heights, bc_type="natural")
    foot, head = beam_weights(supports, (0.0, 2100.0)) @ heights
    assert foot == pytest.approx(-150 * spline(150.0, 1))
    assert head == pytest.approx(1.0 + 150 * spline(1950.0, 1))


def leaning_jamb(**more):
    """Two packers and a lean of 4 mm, read once, to 0.2 mm."""
    asked = {
        "name": "left",
        "length": LENGTH,
        "fixings": (PackedFixing(100.0, (5.0,)), PackedFixing(2000.0, (5.0,))),
        "readings": (FrameReading("plumb", -4.0, 0.2, 0),),
        "changes": (),
        "limits": LIMITS,
    }
    return PackedMember(**(asked | more))


def test_a_straight_lean_is_taken_out_by_one_packer_and_read_as_its_lever_says():
    advice = advise_packers(leaning_jamb(), RULES)
    (change,) = advice.act.changes
    assert advice.act.kind == "change_packers"
    # Packers 1900 mm apart under a jamb of 2100 mm: a millimetre at one moves its lean by 1.105.
    way = 1 if change.at > LENGTH / 2 else -1
    (plumb,) = (one for one in advice.act.predicted if one.kind == "plumb")
    assert plumb.value == pytest.approx(-4.0 + way * change.change * 2100 / 1900, abs=0.1)
    assert abs(plumb.value) + plumb.expanded_uncertainty < LIMITS.plumb


def test_packers_out_of_reach_stay_as_they_are():
    fixings = (PackedFixing(100.0, (5.0,)), PackedFixing(2000.0, (5.0,), reachable=False))
    advice = advise_packers(leaning_jamb(fixings=fixings), RULES)
    (change,) = advice.act.changes
    assert change.at == 100.0
    assert change.change < 0


def test_where_nothing_can_be_reached_it_says_so():
    fixings = tuple(PackedFixing(at, (5.0,), reachable=False) for at in (100.0, 2000.0))
    assert advise_packers(leaning_jamb(fixings=fixings), RULES).act.kind == "no_packer_helps"


def test_only_pieces_that_are_carried_are_added_and_only_those_that_are_there_taken():
    rules = AdviceRules((3.0,), 0.3, 0.9)
    fixings = (PackedFixing(100.0, (2.0,)), PackedFixing(2000.0, (5.0,)))
    for change in advise_packers(leaning_jamb(fixings=fixings), rules).act.changes:
        assert set(change.added) <= {3.0}
        assert set(change.taken) <= {2.0, 5.0}
    assert [one.change for one in stack_changes((5.0,), (3.0,))] == [-5.0, -2.0, 1.0, 3.0, 6.0]


def test_of_a_stack_that_nobody_knows_nothing_is_taken_out():
    assert min(one.change for one in stack_changes(None, (1.0, 2.0))) > 0


def test_a_lean_within_its_limit_is_left_alone():
    readings = (FrameReading("plumb", 1.0, 0.2, 0),)
    advice = advise_packers(leaning_jamb(readings=readings), RULES)
    assert (advice.act.kind, advice.act.changes) == ("leave", ())


def test_readings_that_do_not_follow_from_the_changes_on_record_count_alone():
    readings = (FrameReading("plumb", -4.0, 0.2, 0), FrameReading("plumb", 6.0, 0.2, 1))
    changes = (PackersChange(2000.0, 1.0, 0.3),)
    advice = advise_packers(leaning_jamb(readings=readings, changes=changes), RULES)
    assert advice.readings_agree is False
    (plumb,) = advice.deviations
    assert plumb.value == pytest.approx(6.0, abs=0.05)


def test_a_coarse_instrument_is_not_believed_however_often_it_is_read():
    readings = tuple(FrameReading("plumb", 2.6, 4.0, 0) for _ in range(4))
    advice = advise_packers(leaning_jamb(readings=readings), RULES)
    assert not advice.within_limits
    (plumb,) = advice.deviations
    # The half of the variance that the readings share stays: 2 mm * sqrt(1/2).
    assert plumb.standard_uncertainty >= 2.0 * 0.5**0.5 * 0.9


def test_a_diagonal_tells_the_lean_by_pythagoras():
    # A frame 3000 x 2000 racked by 3 mm: both diagonals from its corners.
    lean, width, height = 3.0, 3000.0, 2000.0
    difference = np.hypot(width + lean, height) - np.hypot(width - lean, height)
    fixings = (PackedFixing(100.0, (5.0,)), PackedFixing(1900.0, (5.0,)))
    for name, way in (("left", 1.0), ("right", -1.0)):
        member = leaning_jamb(
            name=name,
            length=height,
            fixings=fixings,
            readings=(FrameReading("diagonal", difference, 0.02, 0),),
            frame=FrameSize(width, height),
        )
        advice = advise_packers(member, RULES)
        plumb = next(one for one in advice.act.predicted if one.kind == "diagonal")
        assert abs(plumb.value) < 1.0
        (change,) = advice.act.changes
        assert np.sign(change.change) == (-way if change.at > 1000 else way)


def test_a_sill_is_packed_up_where_it_sags_and_a_head_is_let_up_where_it_is_pushed_down():
    places = (150.0, 800.0, 1450.0, 2100.0)
    fixings = tuple(PackedFixing(at, (5.0, 3.0)) for at in places)
    low = dict.fromkeys((0.0, 562.5, 1125.0, 1687.5, 2250.0), 0.0) | {
        562.5: -5.0,
        1125.0: -6.0,
        1687.5: -5.0,
    }
    for name, way in (("sill", 1), ("head", -1)):
        member = PackedMember(
            name=name,
            length=2250.0,
            fixings=fixings,
            readings=tuple(FrameReading("level", v, 0.4, 0, at) for at, v in low.items()),
            changes=(),
            limits=LIMITS,
        )
        changes = advise_packers(member, RULES).act.changes
        inner = [one.change for one in changes if one.at in places[1:3]]
        assert inner
        assert all(np.sign(change) == way for change in inner)
