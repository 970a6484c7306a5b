"""Walls that are not straight, reveals that are not square, and what the answer asks for."""

from dataclasses import replace

import pytest

from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import assess_opening, decide_fit
from surveys.arithmetic.placement import Frame
from surveys.arithmetic.readings import (
    Checks,
    Diagonals,
    HigherEnd,
    KnownLength,
    Plumb,
    Splay,
    Straightedge,
    Surfaces,
)
from tests.surveys.openings import (
    CLEARANCE,
    LEANING,
    PRIORS,
    TAPE,
    decide,
    measured,
    readings,
    square,
)

# Closed form: hypot(3612, 2120) is 4188.2.
UPRIGHT = replace(
    LEANING,
    diagonals=Diagonals(4188, 4188),
    sill_levels=readings((0, 0), (1806, 0), (3612, 0)),
    plumb=Plumb(readings((0, 0), (2100, 0)), readings((0, 0), (2100, 0))),
)
UNSEEN = replace(LEANING, straightedge=(), splay=())


def laid(**humps: float) -> tuple[Straightedge, ...]:
    return tuple(Straightedge(side, hump) for side, hump in humps.items())


def test_a_bulge_that_a_straightedge_shows_narrows_the_opening_by_as_much():
    flat = decide(3560, opening=UPRIGHT).clear_width
    bulged = decide(3560, opening=replace(UPRIGHT, straightedge=laid(left=6, right=0))).clear_width
    assert flat.value - bulged.value == pytest.approx(6, abs=1.5)


def test_a_bulge_where_a_width_was_read_is_no_surprise():
    narrower = readings((100, 3612), (1060, 3606), (2020, 3612))
    opening = replace(LEANING, widths=narrower, straightedge=laid(left=6, right=0))
    answer = decide(3560, opening=opening)
    assert not answer.suspect_readings
    assert answer.walls["left"].straight < 0.1
    places = [place for place in answer.critical_places if place.member == "left"]
    assert all(700 <= place.at <= 1500 or place.at >= 1900 for place in places)


def test_walls_of_masonry_are_less_trusted_than_those_of_steel():
    def clear(surface):
        kinds = Surfaces(surface, surface, surface, surface)
        return assess_opening(replace(measured(UNSEEN), surfaces=kinds), CLEARANCE, 0.95)

    assert clear("masonry").largest_frame.width < clear("steel").largest_frame.width - 2
    assert clear("masonry").walls["left"].bulged > clear("steel").walls["left"].bulged


def test_a_lintel_bulges_less_often_than_a_jamb():
    walls = assess_opening(measured(replace(UNSEEN, head_levels=())), CLEARANCE, 0.95).walls
    assert walls["head"].bulged < walls["sill"].bulged / 2
    assert walls["head"].bowed > walls["sill"].bowed


def test_kinds_of_wall_are_probabilities():
    for kinds in decide(3580).walls.values():
        total = kinds.straight + kinds.coursed + kinds.bulged + kinds.bowed
        assert total == pytest.approx(1)


def test_an_inside_edge_that_stands_further_in_narrows_the_opening():
    twisted = tuple(
        replace(read, value=5.0) if read.side == "right" else read for read in LEANING.splay
    )
    straight, narrowed = decide(3560), decide(3560, opening=replace(LEANING, splay=twisted))
    assert straight.clear_width.value - narrowed.clear_width.value == pytest.approx(5, abs=0.7)
    further_out = tuple(replace(read, value=-5.0) for read in LEANING.splay)
    widened = decide(3560, opening=replace(LEANING, splay=further_out))
    assert widened.clear_width.value == pytest.approx(straight.clear_width.value, abs=0.7)


def test_while_the_verdict_is_open_the_answer_says_what_to_read_next_and_why():
    answer = decide(3577, 2098, opening=UNSEEN)
    assert answer.verdict == "inconclusive"
    kinds = [one.kind for one in answer.read_next]
    assert {"splay", "straightedge"} & set(kinds)
    assert all(one.why and 0 <= one.probability_settles <= 1 for one in answer.read_next)
    assert answer.warnings[0].startswith("One reading would settle it best")


def test_what_was_read_is_not_asked_for_again():
    asked = decide(3583).read_next
    assert {one.kind for one in asked} <= {"width", "height", "level"}


def test_once_it_is_settled_nothing_more_is_asked():
    assert decide(3500, 2040).read_next == ()
    assert decide(3700).read_next == ()


def test_readings_that_contradict_the_others_are_asked_for_again():
    wrong = replace(LEANING, widths=readings((100, 3612), (1060, 3694), (2020, 3612)))
    first = decide(3560, opening=wrong).read_next[0]
    assert (first.kind, first.at) == ("width", 1060)
    assert first.probability_settles > 0.5


def test_before_a_wide_frame_is_ordered_a_second_instrument_is_asked_for():
    wide = replace(PRIORS, second_instrument_from=3000)
    measurement = replace(measured(), priors=wide)
    frame = Frame(3560, 2090)
    answer = decide_fit(FitRequest(measurement, frame, CLEARANCE, 15, 0.95))
    assert answer.verdict == "fits"
    assert [one.kind for one in answer.read_next] == ["check"]
    checks = Checks(known_lengths=(KnownLength(1000, 1000),))
    checked = replace(measurement, opening=replace(LEANING, checks=checks))
    assert decide_fit(FitRequest(checked, frame, CLEARANCE, 15, 0.95)).read_next == ()


@pytest.mark.parametrize("kind", ["second instrument", "known length"])
def test_a_bent_hook_shows_against_a_second_instrument_and_against_a_known_length(kind):
    """Every reading of the tape is 1.5 mm too long."""
    if kind == "known length":
        checks = Checks(known_lengths=(KnownLength(1000, 1001.5), KnownLength(2000, 2001.5)))
    else:
        width = readings((1060, 3610.5))
        checks = Checks(widths=width * 3)
    measurement = replace(measured(), check_instrument=TAPE)
    checked = replace(measurement, opening=replace(LEANING, checks=checks))
    before = assess_opening(measurement, CLEARANCE, 0.95).clear_width
    after = assess_opening(checked, CLEARANCE, 0.95).clear_width
    assert 0.2 <= before.value - after.value <= 1.5
    assert after.standard_uncertainty <= before.standard_uncertainty + 0.05


def test_levels_whose_sign_nothing_else_shows_are_asked_about():
    sloping = replace(
        LEANING,
        sill_levels=readings((0, 0), (1806, 5), (3612, 10)),
        heights=readings((100, 2120), (1800, 2115), (3500, 2110)),
        plumb=Plumb(),
        diagonals=Diagonals(4188, 4188),
    )
    unlevelled = decide(3540, 2070, opening=replace(sloping, heights=LEANING.heights))
    assert ("higher_end", "sill") in [(one.kind, one.side) for one in unlevelled.read_next]


@pytest.mark.parametrize(("seen", "contradicts"), [("left", False), ("right", True)])
def test_an_end_that_is_seen_to_be_higher_than_it_was_read_contradicts_the_levels(
    seen, contradicts
):
    """The sill was read to fall 3 mm from the left to the right."""
    answer = decide(3540, 2070, opening=replace(LEANING, higher_end=HigherEnd(sill=seen)))
    suspects = [one.reading for one in answer.suspect_readings]
    assert any(name.startswith("sill_levels") for name in suspects) == contradicts


def test_without_plumb_readings_swapped_diagonals_are_said_to_be_a_mirror_image():
    unplumbed = replace(LEANING, plumb=Plumb())
    assert any("swapped" in warning for warning in decide(3540, opening=unplumbed).warnings)
    assert not any("swapped" in warning for warning in decide(3540).warnings)


def test_a_joint_too_wide_to_seal_comes_with_what_can_be_done_about_it():
    answer = decide(3560, 2100)
    joint = next(one for one in answer.wide_joints if one.member == "left")
    assert joint.max > joint.allowed == 15
    by_code = {choice.code: choice for choice in joint.choices}
    assert set(by_code) == {"make_good", "larger_frame", "deeper_joint", "two_stage_seal"}
    assert by_code["make_good"].thickness == pytest.approx(joint.max - 15)
    larger = by_code["larger_frame"]
    assert larger.joint_min == CLEARANCE.left
    assert larger.joint_max == pytest.approx(joint.max - larger.thickness)
    assert not decide(3582, 2112, maximum_joint=40).wide_joints


def test_more_readings_of_a_rough_wall_are_no_contradiction():
    """Courses of brick stand in and out by a millimetre or two."""
    off = (0, 1, -1, 2, 0, -2, 1, 1, -1, 0, 2, -1)
    rough = readings(*((100 + 170 * k, 3612 + by) for k, by in enumerate(off)))
    brick = Surfaces(left="masonry", right="masonry")
    measurement = replace(measured(replace(UNSEEN, widths=rough)), surfaces=brick)
    assert not assess_opening(measurement, CLEARANCE, 0.95).contradictory


def test_a_splay_of_one_end_counts_for_its_own_end_most():
    foot = tuple(r for r in square(3612, 2120) if r.side != "right")
    at_foot = replace(LEANING, splay=(*foot, Splay("right", 50, 6.0)))
    at_top = replace(LEANING, splay=(*foot, Splay("right", 2070, 6.0)))
    # The right jamb leans away from the frame at its top.
    low, high = decide(3560, opening=at_foot), decide(3560, opening=at_top)
    assert low.clear_width.value < high.clear_width.value
