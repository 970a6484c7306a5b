import re
from dataclasses import replace

import pytest

from jobs.arithmetic.doorset import (
    DoorsetRequest,
    DoorsetRules,
    ProfileData,
    Size,
    work_out_doorset,
)
from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.glass_safety import GlassSafetyRules
from jobs.arithmetic.glazing import read_glazing
from tests.factories import GLAZING, PROFILE_DATA

SYSTEM = ProfileData(**PROFILE_DATA | {"head_fixing": ("in_channel",)})
RULES = DoorsetRules(
    u_value=1.4,
    u_value_source="",
    upstand=15,
    upstand_source="",
    glass=GlassSafetyRules(door_height=1500, wide_pane=900, source=""),
)
REQUEST = DoorsetRequest(
    Size(3590, 2100), parse_fold("5-5-0"), "out", SYSTEM, read_glazing(GLAZING), upstand=12
)


def test_a_pane_weighs_two_and_a_half_kilograms_per_square_metre_and_millimetre():
    # from memory: EN 572-1, density of glass 2500 kg/m3
    leaf = work_out_doorset(REQUEST, RULES).leaves[0]
    area_m2 = leaf.glass_width * leaf.glass_height / 1e6
    assert leaf.glass_mass == pytest.approx(area_m2 * 10 * 2.5)


def test_a_leaf_beyond_the_system_is_named_with_its_limit():
    answer = work_out_doorset(replace(REQUEST, fold=parse_fold("3-3-0")), RULES)
    broken = [(limit.leaf, limit.what) for limit in answer.broken_limits]
    assert (1, "width") in broken


def test_annealed_glass_in_a_door_is_unsafe():
    # published: Approved Document K section 5: door glazing from the floor to 1500 mm
    layers = [dict(layer) for layer in GLAZING["layers"]]
    layers[2]["safety"] = "none"
    answer = work_out_doorset(replace(REQUEST, glazing=read_glazing({"layers": layers})), RULES)
    assert [finding.unsafe_panes for finding in answer.safety_glazing] == [(2,)] * 5


@pytest.mark.parametrize(("glass_width", "needed"), [(900, "class 3"), (900.1, "class 2")])
def test_panes_over_900_mm_wide_need_the_better_class(glass_width, needed):
    # published: Approved Document K 5.4: width exceeding 900 mm, class 2 of BS EN 12600
    system = replace(SYSTEM, glass_edge_cover=SYSTEM.sash_face)
    width = glass_width + 2 * (SYSTEM.frame_face + SYSTEM.leaf_gap)
    request = replace(
        REQUEST, frame=Size(width, 2100), fold=parse_fold("1-1-0"), profile_system=system
    )
    (finding,) = work_out_doorset(request, RULES).safety_glazing
    assert needed in finding.required_class


def test_an_upstand_over_fifteen_millimetres_is_a_finding():
    # from memory: Approved Document M (England), accessible threshold
    assert work_out_doorset(REQUEST, RULES).upstand.within
    assert work_out_doorset(replace(REQUEST, upstand=15), RULES).upstand.within
    assert not work_out_doorset(replace(REQUEST, upstand=15.1), RULES).upstand.within


@pytest.mark.parametrize(
    ("frame", "system", "pointer"),
    [
        (Size(700, 2100), SYSTEM, "/frame/width"),
        (Size(3590, 250), SYSTEM, "/frame/height"),
        (
            Size(3590, 2100),
            replace(SYSTEM, glass_edge_cover=63),
            "/profile_system/glass_edge_cover",
        ),
    ],
)
def test_an_order_that_cannot_be_made_is_refused_by_field(frame, system, pointer):
    with pytest.raises(UnusableInput) as refusal:
        work_out_doorset(replace(REQUEST, frame=frame, profile_system=system), RULES)
    assert refusal.value.pointer == pointer
    assert "give" in refusal.value.detail


@pytest.mark.parametrize(("fold", "hinge_side"), [("1-1-0", "left"), ("1-0-1", "right")])
def test_a_single_leaf_fills_its_frame_and_is_the_access_leaf(fold, hinge_side):
    # closed form: 1000 - 2 x (60 + 4)
    request = replace(REQUEST, frame=Size(1000, 2100), fold=parse_fold(fold))
    (leaf,) = work_out_doorset(request, RULES).leaves
    assert (leaf.width, leaf.hinge_side) == (872, hinge_side)
    assert (leaf.access_leaf, leaf.carrier) == (True, False)


@pytest.mark.parametrize("fold", ["1-1-0", "5-5-0", "3-2-1", "8-3-5"])
def test_the_width_that_a_narrow_frame_is_told_to_have_is_enough(fold):
    def doorset(width):
        return work_out_doorset(
            replace(REQUEST, frame=Size(width, 2100), fold=parse_fold(fold)), RULES
        )

    with pytest.raises(UnusableInput) as refusal:
        doorset(200)
    least = float(re.search(r"give ([0-9.]+) or more", refusal.value.detail)[1])
    assert len(doorset(least).leaves) == int(fold[0])
    with pytest.raises(UnusableInput):
        doorset(least - 0.1)


def test_a_leaf_exactly_as_high_as_the_system_allows_breaks_no_limit():
    # closed form: 2620.2 - 2 x (60.05 + 0.05) is 2500 mm, but more in binary fractions
    system = replace(SYSTEM, frame_face=60.05, leaf_gap=0.05, largest_leaf_mass=500)
    answer = work_out_doorset(
        replace(REQUEST, frame=Size(3590, 2620.2), profile_system=system), RULES
    )
    assert {leaf.height for leaf in answer.leaves} == {2500}
    assert answer.broken_limits == ()


def test_the_limit_of_the_u_value_comes_with_its_source():
    rules = replace(RULES, u_value_source="Approved Document L")
    assert work_out_doorset(REQUEST, rules).thermal.source == "Approved Document L"


def test_the_frame_alone_is_lighter_than_the_whole():
    answer = work_out_doorset(REQUEST, RULES)
    assert answer.frame_mass == pytest.approx(2 * (3.590 + 2.100) * 2.4)
    assert answer.mass == pytest.approx(
        answer.frame_mass + sum(leaf.mass for leaf in answer.leaves)
    )
