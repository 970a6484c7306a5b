from dataclasses import replace
from xml.etree import ElementTree

import pytest

from surveys.arithmetic.answers import CriticalPlace, Knot
from surveys.drawings import FittedOpening, Joint, opening_svg
from tests import factories

SVG = "{http://www.w3.org/2000/svg}"

# A frame of 3000 x 2000 in an opening that stands 10 mm off it at the left, right and head.
OPENING = FittedOpening(
    frame_width=3000,
    frame_height=2000,
    x=10,
    y=0,
    knots=(
        ("bottom_left", 0, 0),
        ("sill_middle", 1510, 0),
        ("bottom_right", 3020, 0),
        ("right_middle", 3020, 1005),
        ("top_right", 3020, 2010),
        ("head_middle", 1510, 2010),
        ("top_left", 0, 2010),
        ("left_middle", 0, 1005),
    ),
    joints=(
        *(Joint(member, 1000, 10.0) for member in ("left", "right", "head")),
        Joint("left", 0, 10.0),
        Joint("sill", 1500, 0.0),
    ),
    clearance={"left": 7.5, "right": 7.5, "head": 5, "sill": 0},
    maximum_joint=15,
    verdict="fits",
    probability_fits=0.998,
)


def drawn(opening=OPENING):
    return ElementTree.fromstring(opening_svg(opening))


def words(svg):
    return [text.text for text in svg.iter(f"{SVG}text")]


def points(svg):
    [polygon] = svg.iter(f"{SVG}polygon")
    return [tuple(map(float, pair.split(","))) for pair in polygon.get("points").split()]


def test_the_frame_is_drawn_to_scale():
    frame = drawn().find(f"{SVG}rect")
    assert (frame.get("width"), frame.get("height")) == ("3000.0", "2000.0")


def test_joints_are_drawn_as_much_wider_as_the_drawing_says():
    times = OPENING.exaggeration
    assert times > 1
    left = min(x for x, _ in points(drawn()))
    assert left == pytest.approx(-10 * times)
    assert any(f"drawn {times} times as wide" in text for text in words(drawn()))


def test_the_outline_has_all_eight_knots():
    assert len(points(drawn())) == 8


def test_every_joint_is_written_in_mm():
    assert words(drawn()).count("10.0") == 4


def test_wide_joints_are_exaggerated_less():
    wide = replace(OPENING, joints=(Joint("left", 0, 60.0), *OPENING.joints))
    assert wide.exaggeration < OPENING.exaggeration


@pytest.mark.parametrize("member", ["sill", "head", "left", "right"])
@pytest.mark.parametrize("end", [0, 1])
def test_words_at_a_corner_stand_on_no_figure_and_inside_the_frame(member, end):
    width, height = OPENING.frame_width, OPENING.frame_height
    length = height if member in ("left", "right") else width
    ends = (Joint(side, at, 9.0) for side in ("left", "right") for at in (0, height))
    touching = replace(
        OPENING,
        joints=(*OPENING.joints[:3], *ends, OPENING.joints[-1]),
        critical_places=(CriticalPlace(member, end * length, 0.57),),
    )
    texts = list(drawn(touching).iter(f"{SVG}text"))
    [told] = [text for text in texts if text.text.startswith("touches first")]
    unit = max(width, 1.3 * height) / 44
    figures = [float(text.get("y")) for text in texts if text.text == "9.0"]
    assert len(figures) == 4
    assert min(abs(float(told.get("y")) - figure) for figure in figures) > unit
    if told.get("text-anchor", "middle") == "middle":
        assert 5 * unit < float(told.get("x")) < width - 5 * unit


def test_of_figures_that_would_stand_on_each_other_the_worst_is_written():
    near = (Joint("right", 0, 9.0), Joint("right", 40, 7.0), Joint("right", 60, 16.0))
    crowded = words(drawn(replace(OPENING, joints=(*OPENING.joints, *near))))
    assert "7.0 ! narrow" in crowded
    assert not {"9.0", "16.0 ! wide"} & set(crowded)
    assert crowded.count("10.0") == 4


@pytest.mark.parametrize(
    ("joint", "sign"),
    [
        (Joint("left", 1500, 7.4), "7.4 ! narrow"),
        (Joint("left", 1500, -3.0), "-3.0 ! narrow"),
        (Joint("head", 0, 15.1), "15.1 ! wide"),
        (Joint("sill", 0, 30.0), "30.0"),
        (Joint("left", 1500, 7.5), "7.5"),
    ],
)
def test_a_joint_out_of_its_limits_is_marked_by_a_word(joint, sign):
    assert sign in words(drawn(replace(OPENING, joints=(*OPENING.joints, joint))))


def test_a_drawing_tells_its_content_to_who_cannot_see_it():
    label = drawn().get("aria-label")
    assert "3000 by 2000 mm" in label
    assert "fits, probability 0.998" in label
    assert "left 10.0 to 10.0 mm" in label


@pytest.mark.django_db
def test_a_fit_decision_is_drawn_from_its_frozen_inputs_and_answer(office, opening):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    decision = factories.fit_decision(office, survey, doorset)
    decision.refresh_from_db()
    svg = drawn(FittedOpening.read(decision.inputs, decision.answer))
    assert "3590 x 2100 mm" in words(svg)
    assert len(points(svg)) == 8


def test_an_opening_of_which_nothing_was_decided_is_drawn_about_what_is_upright_and_clear_in_it():
    """The right jamb leans in by 8 mm and the sill falls by 5: what is clear is that much less."""
    moved = {"top_right": (3012, 2010), "right_middle": (3016, 1005), "bottom_right": (3020, -5)}
    knots = ((name, *moved.get(name, (x, y))) for name, x, y in OPENING.knots)
    clear = FittedOpening.clear([Knot(*knot) for knot in knots])
    assert (clear.frame_width, clear.frame_height) == (3012, 2010)
    widths = {(joint.member, joint.at): joint.width for joint in clear.joints}
    assert widths["right", 2010] == 0
    assert widths["right", 1005] == 4
    assert widths["sill", 3020] == 5
    texts = words(drawn(clear))
    assert "upright and clear; no frame was decided about" in texts
    assert not any("!" in told for told in texts)
    assert "3012 by 2010 mm" in clear.description
