"""Drawings of a fitting plan: to scale, complete, and in words for who cannot see them."""

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from installs.arithmetic.chains import chains_of
from installs.arithmetic.glazing_plan import BlockRules, GlazedLeaf, plan_glazing
from installs.arithmetic.members import PlannedFixing, PlannedMember
from installs.arithmetic.packers import make_up_packers
from installs.drawings import (
    DrawnChain,
    DrawnMember,
    GlazedDoorset,
    chain_svg,
    glazing_svg,
    member_svg,
    sash_svg,
)
from jobs.arithmetic.fold import parse_fold
from jobs.drawings import Elevation

SVG = "{http://www.w3.org/2000/svg}"
PACKERS = (1.0, 2.0, 5.0, 10.0)


def planned_member(**changes):
    fixings = tuple(
        PlannedFixing(at, method, make_up_packers(joint, PACKERS, 0.5))
        for at, method, joint in (
            (150, "through_track", 11.0),
            (700, "in_channel", 9.4),
            (1250, "through_track", 12.9),
        )
    )
    member = PlannedMember(
        name="head",
        length=1400,
        kept_out=((400.0, 500.0),),
        reachable=None,
        positions=(150, 700, 1250),
        centres=(550, 550),
        count=3,
        reason=None,
        note=None,
        fixings=fixings,
        support_positions=(),
    )
    return replace(member, **changes)


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def drawn_member(**changes) -> str:
    return member_svg(DrawnMember.read(planned_member(**changes)), longest=2800)


def test_distances_run_from_end_to_end_and_add_up():
    member = DrawnMember.read(planned_member())
    assert list(member.distances) == [150, 550, 550, 150]
    assert sum(member.distances) == member.length
    texts = words(drawn_member())
    assert [texts.count(distance) for distance in ("150", "550")] == [2, 2]


def test_members_of_one_frame_share_one_scale():
    svg = ElementTree.fromstring(drawn_member())
    assert float(svg.get("viewBox").split()[2]) > 2800
    assert svg.find(f"{SVG}rect").get("width") == "1400.0"


def test_fixings_stand_at_their_places_and_by_their_shape():
    svg = ElementTree.fromstring(drawn_member())
    assert [float(mark.get("cx")) for mark in svg.iter(f"{SVG}circle")] == [150, 1250]
    squares = [r for r in svg.iter(f"{SVG}rect") if r.get("fill-opacity") == "1"]
    assert [float(s.get("x")) + float(s.get("width")) / 2 for s in squares] == [700]


def test_packers_stand_under_their_fixing_and_what_is_left_open_is_marked():
    texts = words(drawn_member())
    assert {"11", "10+1", "9", "5+2+2", "12 !", "10+2"} <= set(texts)


def test_a_joint_that_was_not_measured_has_a_question_mark():
    fixing = PlannedFixing(700, "through_jamb", None)
    assert "?" in words(drawn_member(fixings=(fixing,)))


def test_what_is_out_of_reach_is_closed_like_what_is_kept_out():
    member = DrawnMember.read(planned_member(reachable=((300.0, 1100.0),)))
    assert member.closed == ((400.0, 500.0), (0.0, 300.0), (1100.0, 1400))


def test_a_member_without_a_layout_says_why():
    svg = drawn_member(positions=None, fixings=(), reason="<all> of it is kept out")
    assert "! no layout: <all> of it is kept out" in words(svg)
    assert "&lt;all&gt;" in svg


def glazed(fold: str, **changes):
    parsed = parse_fold(fold)
    leaf = {"width": 700.0, "height": 2000.0, "glass_mass": 30.0}
    sizes = leaf | {"glass_width": 600.0, "glass_height": 1900.0} | changes
    leaves = [GlazedLeaf(number, **sizes) for number in range(1, parsed.leaves + 1)]
    glazing = plan_glazing(
        parsed,
        leaves,
        BlockRules(per_m2=0, least=100, from_corner=20, sources=()),
        toe_and_heel_device=False,
    )
    return GlazedDoorset.read(leaves, glazing, ELEVATION)


ELEVATION = Elevation(
    frame_width=2228,
    frame_height=2128,
    frame_face=60,
    leaf_gap=4,
    sash_face=50,
    left_leaves=3,
    right_leaves=0,
    opens="out",
    leaves=(),
)


def braces(svg: str) -> list[tuple[float, ...]]:
    lines = ElementTree.fromstring(svg).iter(f"{SVG}line")
    return [tuple(float(line.get(end)) for end in ("x1", "y1", "x2", "y2")) for line in lines]


def test_every_brace_runs_from_the_heel_below_to_the_toe_above():
    """The heel is at the foot of the stile that carries the sash: the load runs from the upper lock
    side over the pane to the lower hinge side (encyclopaedia article on glazing blocks)."""
    doorset = glazed("3-3-0")
    first, second, third = braces(glazing_svg(doorset))
    for x1, y1, x2, y2 in (first, second, third):
        assert (y1 - y2, abs(x1 - x2)) == (1900, 600)
    # Leaf 1 hangs left, leaf 2 on the hinge that it shares with leaf 3 at its right.
    assert first[0] < first[2]
    assert second[0] > second[2]
    assert third[0] < third[2]
    assert first[0] == 60 + 4 + 50


def test_blocks_that_carry_are_solid_and_the_others_hollow():
    svg = ElementTree.fromstring(glazing_svg(glazed("3-3-0")))
    blocks = [r for r in svg.iter(f"{SVG}rect") if "100.0" in (r.get("width"), r.get("height"))]
    solid = [block for block in blocks if block.get("fill-opacity") == "1"]
    assert (len(solid), len(blocks)) == (2 * 3, 5 * 3)


def test_the_order_of_work_stands_below_the_leaves():
    """All one way: begin with the second sash in (common practice, no source)."""
    texts = words(glazing_svg(glazed("3-3-0")))
    assert [word for word in texts if word in ("1.", "2.", "3.")] == ["3.", "1.", "2."]


def test_a_pane_of_unknown_size_is_drawn_by_the_face_of_its_sash():
    sash = glazed("3-3-0", glass_width=None, glass_height=None).sashes[0]
    assert (sash.glass_width, sash.glass_height) == (600, 1900)


def chain(fold: str, side: int) -> DrawnChain:
    parsed = parse_fold(fold)
    return DrawnChain.read(chains_of(parsed, [700.0] * parsed.leaves, 4)[side])


@pytest.mark.parametrize(("fold", "side"), [("5-5-0", 0), ("8-5-3", 1), ("20-20-0", 0)])
def test_every_junction_has_empty_boxes_for_its_gaps_and_every_support_one_for_turns(fold, side):
    drawn = chain(fold, side)
    rects = ElementTree.fromstring(chain_svg(drawn)).iter(f"{SVG}rect")
    boxes = [rect for rect in rects if not rect.get("fill")]
    moving = sum(place.support != "none" for place in drawn.places)
    assert len(boxes) == 4 * len(drawn.places) + moving


def test_boxes_never_overlap_however_many_leaves_there_are():
    drawn = chain("20-20-0", 0)
    rects = ElementTree.fromstring(chain_svg(drawn)).iter(f"{SVG}rect")
    row = [rect for rect in rects if not rect.get("fill")][: len(drawn.places)]
    for left, right in pairwise(row):
        assert float(left.get("x")) + float(left.get("width")) < float(right.get("x"))


def test_a_right_hand_chain_is_seen_from_outside_too():
    drawn = chain("8-5-3", 1)
    assert drawn.places[0].junction == 8
    assert drawn.drawn_at(drawn.places[0]) == drawn.length
    assert drawn.drawn_at(drawn.places[-1]) == 0


def test_every_drawing_says_in_words_what_it_shows():
    member = DrawnMember.read(planned_member())
    assert "700 (5 + 2 + 2)" in member.description
    assert "leaf 2 from heel bottom right to toe top left" in (glazed("3-3-0").description)
    assert "junction 2 carrier" in chain("5-5-0", 0).description


def test_one_sash_is_drawn_by_itself_with_its_own_blocks_and_brace():
    doorset = glazed("3-3-0")
    alone, whole = sash_svg(doorset, 2), glazing_svg(doorset)
    [sash] = (sash for sash in doorset.sashes if sash.number == 2)
    blocks = len(sash.setting_blocks) + len(sash.location_blocks)
    # The frame is drawn as its outline; then sash, glass, and each block.
    assert alone.count("<rect") == 3 + blocks
    assert alone.count("<rect") < whole.count("<rect")
    assert "leaf 2 from heel" in alone
    assert "leaf 3 from heel" not in alone
