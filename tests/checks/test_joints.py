"""Clearances and greatest joints against published guidance on gaps around windows."""

import pytest

from surveys.services.fit_rules import clearance_wanted, greatest_joint
from tests.checks.rule_sets import RULE_SETS, name_of

every_rule_set = pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)


# published: new-home warranty guidance on gaps around windows, mm a side in openings under 1.5 m,
# of 1.5 to 3.0 m, and of 3.0 to 4.5 m
BANDS = ((1200, 1499), (1501, 2999), (3001, 4500))
GAPS = {
    "aluminium": (5, 5, 7.5),
    "pvc_u_white": (5, 5, 7.5),
    "pvc_u_coloured": (7.5, 7.5, 11),
    "timber": (5, 5, 5),
}


@every_rule_set
@pytest.mark.parametrize("material", GAPS)
def test_the_gap_at_each_side_grows_with_the_width_of_the_opening(rules, material):
    for openings, gap in zip(BANDS, GAPS[material], strict=True):
        for opening in openings:
            wanted = clearance_wanted(rules, opening, {}, material)
            assert (wanted.left, wanted.right) == (gap, gap), opening


# published: the same guidance: 10 mm in openings under 3 m, 15 mm over; exactly 3 m is not said
@every_rule_set
@pytest.mark.parametrize(("opening", "joint"), [(1200, 10), (2999, 10), (3001, 15), (4500, 15)])
def test_a_joint_may_be_wider_in_openings_over_three_metres(rules, opening, joint):
    assert greatest_joint(rules, opening, {}) == joint


# closed form, aluminium: the opening less two gaps, or less two of the greatest joints
@every_rule_set
@pytest.mark.parametrize(
    ("opening", "widest", "narrowest"), [(2990, 2980, 2970), (3600, 3585, 3570)]
)
def test_frames_between_the_least_and_the_greatest_gap_agree_with_worked_ones(
    rules, opening, widest, narrowest
):
    wanted = clearance_wanted(rules, opening, {}, "aluminium")
    assert opening - wanted.left - wanted.right == widest
    assert opening - 2 * greatest_joint(rules, opening, {}) == narrowest
