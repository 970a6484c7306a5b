"""Where to hold what is carried, against Airy's places, beams worked out anew and moments."""

from math import asin, cos, radians, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid

from installs.arithmetic.holding import Burden, Steps, framed, greatest_share, hold, hold_places

LENGTH = 3590.0
UNIFORM = Burden(30.0, "width", LENGTH, 2100)
# A frame alone of 3590 x 2100 mm at 2.4 kg/m: 5.04 kg in each jamb, 17.232 kg in sill and head.
FRAME = framed(27.312, "width", LENGTH, 2100, filling=0)
# With five unglazed sashes of 14.709 kg hung in it.
HUNG = framed(100.858, "width", LENGTH, 2100, filling=73.546)


@pytest.mark.parametrize(
    ("people", "first"),
    # Published: Airy's places of two supports, 0.2113 of the length from its ends; by his formula
    # L / sqrt(n^2 - 1), from memory, three and four begin at 0.1464 and 0.1127.
    [(2, 0.2113), (3, 0.1464), (4, 0.1127)],
)
def test_a_pane_or_any_even_load_is_held_at_airys_places(people, first):
    places = hold_places(UNIFORM, people)
    assert places[0] / LENGTH == pytest.approx(first, abs=5e-5)
    assert places[-1] == pytest.approx(LENGTH - places[0])
    steps = np.diff(places)
    assert steps == pytest.approx([LENGTH / sqrt(people**2 - 1)] * (people - 1))


def test_one_alone_holds_a_pane_in_its_middle():
    assert hold_places(UNIFORM, 1) == (LENGTH / 2,)


def test_the_jambs_of_a_frame_hold_their_share_of_its_mass():
    # By hand: 2 x 2.1 m x 2.4 kg/m.
    assert FRAME.at_ends == pytest.approx(10.08)
    assert HUNG.at_ends == pytest.approx(10.08, abs=0.001)


@pytest.mark.parametrize("burden", [UNIFORM, FRAME, HUNG], ids=["even", "frame", "hung"])
@pytest.mark.parametrize("people", [2, 3])
def test_with_equal_shares_the_ends_of_the_edge_stay_level(burden, people):
    """The bending line of the edge is integrated here from its loads: its slope at both ends is
    that between them, and no place nearby makes it flex less there."""
    places = hold_places(burden, people)
    left, right = slopes_at_ends(burden, places)
    assert left == pytest.approx(right, abs=1e-3 * abs(slopes_at_ends(burden, quarters(people))[0]))


def quarters(people):
    """Where each would hold the middle of an even share of the length."""
    return [LENGTH * (2 * n + 1) / (2 * people) for n in range(people)]


def slopes_at_ends(burden, places):
    """Of a beam of unit stiffness that hands of equal force hold: against its chord."""
    x = np.linspace(0, LENGTH, 40001)
    even = (burden.mass - burden.at_ends) / LENGTH
    moment = -even * x**2 / 2 - burden.at_ends / 2 * x
    for place in places:
        moment += burden.mass / len(places) * np.clip(x - place, 0, None)
    assert moment[-1] == pytest.approx(0, abs=1e-6 * burden.mass * LENGTH)
    slope = cumulative_trapezoid(moment, x, initial=0)
    line = cumulative_trapezoid(slope, x, initial=0)
    chord = line[-1] / LENGTH
    return slope[0] - chord, slope[-1] - chord


def test_a_load_that_sits_in_its_ends_is_held_at_its_ends_and_not_beyond():
    ends = Burden(30.0, "width", LENGTH, 2100, at_ends=30.0)
    assert hold_places(ends, 2) == pytest.approx((0, LENGTH))
    assert hold_places(ends, 3) == pytest.approx((0, LENGTH / 2, LENGTH))


def test_a_lifting_aid_bears_at_two_places_and_people_hold_one_each():
    assert hold(HUNG, None).by == "aid"
    assert len(hold(HUNG, None).places) == 2
    # By hand: k^2 = (17.232 / 12 + 10.08 / 4) / 27.312 L^2, so k = 0.38059 L = 1366.3 mm.
    assert hold(FRAME, 2).places == (429, 3161)


def test_on_two_steps_the_lower_of_two_carries_more_than_half():
    """By moments about the upper hand, of a pane held at its lower edge: its middle is half its
    height above the edge and leans downhill with it."""
    steps = Steps(2, rise=220, pitch=42)
    first, last = hold_places(UNIFORM, 2)
    apart = last - first
    tilt = asin(440 / apart)
    lever = apart / 2 * cos(tilt) + 2100 / 2 * sin(tilt)
    assert greatest_share(UNIFORM, 2, steps) == pytest.approx(lever / (apart * cos(tilt)))


def test_on_a_long_stair_the_tilt_is_that_of_the_steepest_stair():
    steps = Steps(13, rise=220, pitch=42)
    apart = LENGTH / sqrt(3)
    wanted = 0.5 + 2100 / 2 * tan(radians(42)) / apart
    assert greatest_share(UNIFORM, 2, steps) == pytest.approx(wanted)


def test_what_is_taller_than_its_hold_is_wide_tips_over_the_lowest():
    tall = Burden(30.0, "width", 2100, 2000)
    assert greatest_share(tall, 2, Steps(13, rise=220, pitch=42)) > 1


@pytest.mark.parametrize("people", [2, 3])
def test_shares_on_steps_add_up_and_balance(people):
    """Three hands that carry in proportion to their distance: by hand, sum and moments."""
    steps = Steps(3, rise=220, pitch=42)
    hands = np.array(hold_places(FRAME, people)) - LENGTH / 2
    tilt = asin(660 / (hands[-1] - hands[0]))
    greatest = greatest_share(FRAME, people, steps)
    shares = 1 / people + (greatest - 1 / people) * hands / hands[-1]
    assert shares.sum() == pytest.approx(1)
    assert (shares * hands).sum() * cos(tilt) == pytest.approx(2100 / 2 * sin(tilt))
