"""What a fitting pack tells the crew, from the frozen plan alone."""

from math import ceil, floor

import pytest

from tests.reports.papers import Paper

pytestmark = pytest.mark.django_db


@pytest.fixture
def pack(long_papers) -> Paper:
    return long_papers["fitting_pack"]


@pytest.fixture
def plan(pack):
    return pack.facts["installations"][0]["plan"]


def test_cautions_come_before_everything_else(pack, plan):
    first, _, rest = pack.pages[0].partition("The job")
    assert rest
    for caution in plan["cautions"]:
        assert caution in first
    assert "local codes, the law or a licensed practitioner say otherwise, they prevail" in first
    assert "The ground outside lies 750 mm lower" in first
    # The lintel of the long job spans 6.3 m, and a 360th of that is 17.5 mm.
    assert "The lintel spans 6300 mm and may come down by 17.5 mm" in first
    assert "Ask a structural engineer how far this lintel comes down" in first


def test_it_says_which_survey_packers_and_fixings_follow_from(pack):
    assert "planned from the survey before the old door came out: the wall behind it" in pack.text


def test_the_lift_plan_says_what_the_frame_and_the_panes_need(pack, plan):
    frame = plan["lifts"]["frame"]
    assert f"Frame with its sashes, unglazed {frame['mass']:.1f} kg a lifting aid is required" in (
        pack.text
    )
    assert "Or, with the sashes taken off first: frame alone" in pack.text
    assert "only where and as the manufacturer's instructions allow it" in pack.text
    assert "Each pane of leaves 1 to 8" in pack.text
    assert "never a certificate that a load is safe to lift" in pack.text


def test_the_pack_says_where_to_hold_each_lift(pack, plan):
    frame, [pane, *_] = plan["lifts"]["frame"]["held"], plan["lifts"]["panes"]
    assert f"aid: {', '.join(map(str, frame['places']))} mm from its left" in pack.words
    assert f"{', '.join(map(str, pane['held']['places']))} mm from its foot" in pack.words
    assert "equal shares and level ends, Airy" in pack.words


def test_the_pack_says_that_the_frame_does_not_get_in_and_what_else_there_is(pack, plan):
    assert "! It does not pass the way in: corner 1, between passages of 900" in pack.words
    assert "lowest ceiling 2400 mm; narrowest doorway 900 mm wide; steps: 3" in pack.words
    assert "corners of 900 \N{MULTIPLICATION SIGN} 1000 mm" in pack.words
    assert "Stop and measure first: the narrowest passage was not measured" in pack.words
    for advice in plan["lifts"]["access"]["advice"]:
        assert advice in pack.words
    assert "The survey asks for lifting gear" in pack.words


def test_the_pack_says_how_the_frame_goes_into_its_opening(pack, plan):
    assert plan["lifts"]["tilt"]["what"] in pack.words
    assert "From inside: the ground outside lies 750 mm lower" in pack.words


def test_a_way_in_that_nobody_measured_is_to_be_walked(pack, plan):
    text = with_lifts(pack, plan["lifts"] | {"access": None, "tilt": None}).words
    assert "The way in was not measured: walk it with a lath" in text


def test_loose_glazed_sashes_have_a_lift_of_their_own_and_no_panes(pack, plan):
    lifts = plan["lifts"]
    sashes = [pane | {"mass": 44.1, "glazed": True} for pane in lifts["panes"]]
    loose = lifts | {
        "frame": lifts["sashes_off"]["frame"] | {"with_sashes": None},
        "sashes_off": None,
        "sashes": sashes,
        "panes": [],
    }
    text = with_lifts(pack, loose).words
    assert "Frame alone, without its sashes" in text
    assert "Each sash of leaves 1 to 8, glazed 44.1 kg" in text
    assert "taken off first" not in text.partition("The steps, in order")[0]
    assert "Each pane" not in text


def test_a_plan_frozen_before_sashes_were_weighed_says_what_its_mass_is_of(pack, plan):
    lifts = {name: plan["lifts"][name] for name in ("people", "assumed", "panes")}
    frame = dict(plan["lifts"]["sashes_off"]["frame"])
    text = with_lifts(pack, lifts | {"frame": frame}, format=1).words
    assert f"Frame alone, without its sashes {frame['mass']:.1f} kg" in text


def with_lifts(pack: Paper, lifts, **more) -> Paper:
    facts = pack.facts["installations"][0]
    changed = facts | {"plan": facts["plan"] | {"lifts": lifts} | more}
    return Paper("fitting_pack", pack.facts | {"installations": [changed]}, pack.pictures)


def test_every_step_stands_in_order_with_its_limits_and_evidence(pack):
    numbers = [
        pack.text.index(f"{step['title']} ") for step in pack.facts["installations"][0]["steps"]
    ]
    steps = pack.text.index("The steps, in order")
    assert min(numbers) > steps
    assert numbers == sorted(numbers)
    assert "within ± 1.5 mm, each: left jamb lower quarter" in pack.text
    assert "within ± 2 mm, the first less the second: rising falling" in pack.text
    assert "at most 3 mm, the greatest less the least: left end" in pack.text


def test_a_hold_point_is_a_word_and_a_shape(pack):
    held = [s for s in pack.facts["installations"][0]["steps"] if s["hold_point"]]
    assert held
    for step in held:
        assert f"{step['number']} ■ Hold point {step['title']}" in pack.text
    # And once where it is explained.
    assert pack.text.count("■ Hold point") == len(held) + 1


def test_every_fixing_stands_with_its_packers(pack, plan):
    for member in plan["fixing_layout"]["members"]:
        for number, fixing in enumerate(member["fixings"], start=1):
            pieces = " + ".join(f"{piece:g}" for piece in fixing["packers"]["pieces"]) or "none"
            place = f"{number} {fixing['position']} mm"
            assert place in pack.text
            assert f"{fixing['packers']['joint_width']:.1f}".removesuffix(".0") in pack.text
            assert pieces in pack.text


def test_every_packer_without_a_fixing_stands_with_what_it_carries(pack, plan):
    sill = plan["fixing_layout"]["members"][3]
    without_fixing = [support for support in sill["support_positions"] if not support["at_fixing"]]
    assert without_fixing
    for number, support in enumerate(without_fixing, start=1):
        assert f"P{number} {support['position']} mm packer without a fixing, under" in pack.text
    assert "the meeting stiles, junction 5" in pack.text
    assert "A triangle is a packer without a fixing" in pack.text


def test_a_plan_from_before_loads_were_packed_speaks_of_no_packer_without_a_fixing(pack, plan):
    members = [member | {"support_positions": []} for member in plan["fixing_layout"]["members"]]
    facts = pack.facts["installations"][0]
    bare = plan | {"fixing_layout": plan["fixing_layout"] | {"members": members}}
    older = Paper(
        "fitting_pack", pack.facts | {"installations": [facts | {"plan": bare}]}, pack.pictures
    )
    assert "without a fixing" not in older.words


def test_what_each_member_is_fixed_into_stands_beside_it(pack):
    assert "Left jamb, into brick: frame anchor into the brick, never into a mortar joint" in (
        pack.text
    )
    assert "Sill, into concrete" in pack.text


def test_the_glazing_plan_names_heel_toe_and_order(pack, plan):
    """Leaf 1 hangs on the left jamb: its heel is at the bottom left, its toe at the top right
    (common practice, no source)."""
    assert (
        "1 635.3 \N{MULTIPLICATION SIGN} 1878 29.8 kg bottom left top right bottom 150, top 485.3"
        in pack.text
    )
    assert plan["glazing"]["order"] == list(range(1, 9))
    assert "Glass never touches metal" in pack.text


def test_every_class_of_sealant_stands_with_what_it_asks_of_each_joint(pack, plan):
    for one in plan["joints"][0]["by_sealant_class"]:
        wanted = max(one["by_movement"], one["by_guidance"])
        told = f"{wanted:.1f}".removesuffix(".0")
        assert f"needs {told} mm" in pack.text or f"needs {told} to" in pack.text


def with_every_joint(pack, plan, verdict: str) -> Paper:
    """The pack of a plan whose joints all have this verdict, whatever they are sealed with."""
    joints = [
        joint
        | {
            "by_sealant_class": [
                of_class | {"verdict": verdict, "seal_between": None}
                for of_class in joint["by_sealant_class"]
            ]
        }
        for joint in plan["joints"]
    ]
    changed = pack.facts["installations"][0] | {"plan": plan | {"joints": joints}}
    return Paper("fitting_pack", pack.facts | {"installations": [changed]}, pack.pictures)


def test_a_class_that_is_only_enough_in_mild_weather_says_when_to_seal(pack, plan):
    classes = plan["joints"][0]["by_sealant_class"]
    between = next(one["seal_between"] for one in classes if one["seal_between"])
    lowest, highest = ceil(between["lowest"]), floor(between["highest"])
    assert f"seal it at {lowest} to {highest} °C of the frame" in pack.text


def test_where_no_class_is_enough_the_crew_asks_the_office(pack, plan):
    paper = with_every_joint(pack, plan, "too_narrow")
    assert "! No class is enough at every joint" in paper.words
    assert "seal it at" not in paper.words


def test_where_a_class_is_enough_nobody_is_asked(pack, plan):
    paper = with_every_joint(pack, plan, "sufficient")
    assert "! No class is enough at every joint" not in paper.words


def test_the_running_gear_has_a_chart_for_each_chain(pack):
    assert "Chain on the left jamb" in pack.text
    assert "Chain on the right jamb" in pack.text
    assert "Gaps at head and sill differ by at most 1 mm" in pack.text
    assert "Closes and is locked at junction 5." in pack.text


def test_it_says_where_the_plan_is_thin(pack, plan):
    """A joint that was not measured has no packers, and no sealant can be chosen for it."""
    facts = pack.facts["installations"][0]
    bare = plan | {"joints": [], "fit_decision": None, "substrates": {}}
    members = [
        member | {"fixings": [f | {"packers": None} for f in member["fixings"]]}
        for member in plan["fixing_layout"]["members"]
    ]
    bare["fixing_layout"] = plan["fixing_layout"] | {"members": members}
    thin = Paper(
        "fitting_pack", pack.facts | {"installations": [facts | {"plan": bare}]}, pack.pictures
    )
    for words in (
        "The joint was not measured before removal",
        "packers are made up on the day",
        "wall not recorded",
        "not measured",
    ):
        assert words in thin.words


def test_what_to_take_along_is_counted_from_the_plan(pack, plan):
    kit = pack.text.partition("What to take along")[2].partition("Glass, joints")[0]
    assert "the assessment of the anchor that is used prevails" in kit.lower()
    for packers in plan["kit"]["packers"]:
        assert f"packers of {packers['thickness']:g} mm {packers['count']}" in kit
    assert f"{plan['kit']['sealant_run'] / 1000:.1f} m" in kit
