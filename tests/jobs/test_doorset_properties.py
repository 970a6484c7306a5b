"""What holds for every fold of up to eight leaves and every doorset made with it.

The rules of the fold are common practice, no source; everything else is closed form.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jobs.arithmetic.doorset import (
    DoorsetAnswer,
    DoorsetRequest,
    DoorsetRules,
    ProfileData,
    Size,
    work_out_doorset,
)
from jobs.arithmetic.fold import Fold, FoldedLeaf, Side
from jobs.arithmetic.glass_safety import GlassSafetyRules
from jobs.arithmetic.glazing import Cavity, Glazing, Pane
from tests.factories import PROFILE_DATA

FOLDS = [Fold(n, left, n - left) for n in range(1, 9) for left in range(n + 1)]
OTHER: dict[Side, Side] = {"left": "right", "right": "left"}
SYSTEM = ProfileData(**PROFILE_DATA | {"head_fixing": ("in_channel",)})
GLASS_RULES = GlassSafetyRules(door_height=1500, wide_pane=900, source="")
RULES = DoorsetRules(1.4, "", 15, "", GLASS_RULES)

every_fold = pytest.mark.parametrize("fold", FOLDS, ids=lambda f: f"{f.leaves}-{f.left}-{f.right}")
frames = st.builds(Size, st.integers(2000, 9000), st.integers(1800, 2700))
panes = st.sampled_from((4.0, 6.0, 6.8, 8.0, 10.0))


def doorset(fold: Fold, frame: Size, *glass: float, system: ProfileData = SYSTEM) -> DoorsetAnswer:
    layers: list[Pane | Cavity] = []
    for thickness in glass:
        layers += [Cavity(16)] if layers else []
        layers.append(Pane(thickness, safety="toughened"))
    return work_out_doorset(
        DoorsetRequest(frame, fold, "out", system, Glazing(tuple(layers))), RULES
    )


def exact(value: float) -> Fraction:
    """The decimal that was meant, not the binary float."""
    return Fraction(str(value))


@every_fold
def test_every_leaf_and_every_junction_is_numbered_once_from_the_left(fold):
    leaves, junctions = fold.folded_leaves(), fold.junctions()
    assert [leaf.number for leaf in leaves] == list(range(1, fold.leaves + 1))
    assert [junction.number for junction in junctions] == list(range(fold.leaves + 1))
    for junction in junctions:
        beside = {junction.number, junction.number + 1} & {leaf.number for leaf in leaves}
        assert set(junction.leaves) == beside
        assert junction.supports


@every_fold
def test_carriers_stand_at_the_even_junctions_of_each_chain_and_nowhere_else(fold):
    at = {j.number: j.supports.count("carrier") for j in fold.junctions()}
    from_left = range(2, fold.left + 1, 2)
    from_right = [fold.leaves - number for number in range(2, fold.right + 1, 2)]
    expected = [*from_left, *from_right]
    assert at == {number: expected.count(number) for number in at}


@every_fold
def test_a_carrier_comes_with_every_second_leaf_of_its_chain(fold):
    carriers = sum(junction.supports.count("carrier") for junction in fold.junctions())
    assert carriers == sum(leaf.brings_carrier for leaf in fold.folded_leaves())


@every_fold
def test_an_odd_chain_ends_in_its_one_access_leaf_and_an_even_chain_has_none(fold):
    leaves = fold.folded_leaves()
    for chain, length in (("left", fold.left), ("right", fold.right)):
        access = [leaf.position for leaf in leaves if leaf.chain == chain and leaf.access_leaf]
        assert access == ([length] if length % 2 else [])


@every_fold
def test_neighbours_in_a_chain_are_carried_on_opposite_sides_from_the_jamb_on(fold):
    for chain in ("left", "right"):
        leaves = sorted(
            (leaf for leaf in fold.folded_leaves() if leaf.chain == chain),
            key=lambda leaf: leaf.position,
        )
        sides = [leaf.carried_on for leaf in leaves]
        assert sides == [(chain, OTHER[chain])[index % 2] for index in range(len(leaves))]


def as_seen_in_a_mirror(leaf: FoldedLeaf, leaves: int) -> FoldedLeaf:
    return replace(
        leaf,
        number=leaves + 1 - leaf.number,
        chain=OTHER[leaf.chain],
        carried_on=OTHER[leaf.carried_on],
    )


@every_fold
def test_a_mirrored_fold_has_mirrored_leaves_and_junctions(fold):
    mirrored = Fold(fold.leaves, fold.right, fold.left)
    assert [as_seen_in_a_mirror(leaf, fold.leaves) for leaf in reversed(fold.folded_leaves())] == [
        *mirrored.folded_leaves()
    ]
    assert [(sorted(j.supports), j.keep) for j in reversed(fold.junctions())] == [
        (sorted(j.supports), j.keep) for j in mirrored.junctions()
    ]


@given(
    st.sampled_from(FOLDS),
    st.integers(900, 9000),
    st.decimals("0", "12", places=2).map(float),
    st.decimals("20", "120", places=2).map(float),
)
def test_leaves_gaps_and_faces_add_up_to_the_frame_exactly(fold, width, gap, face):
    system = replace(SYSTEM, leaf_gap=gap, frame_face=face, sash_face=30)
    assume(width - 2 * face - (fold.leaves + 1) * gap > fold.leaves * 70)
    leaves = doorset(fold, Size(width, 2100), 6, 4, system=system).leaves
    across = sum(exact(leaf.width) for leaf in leaves)
    assert across + 2 * exact(face) + (fold.leaves + 1) * exact(gap) == width
    assert max(leaf.width for leaf in leaves) - min(leaf.width for leaf in leaves) < 0.21
    assert {exact(leaf.height) for leaf in leaves} == {2100 - 2 * (exact(face) + exact(gap))}


@given(st.sampled_from(FOLDS), frames, panes, panes, panes)
def test_more_glass_never_makes_a_lighter_doorset(fold, frame, one, two, third):
    assume(frame.width >= 200 * fold.leaves)
    thin, thick = sorted((one, two))
    lighter, heavier = doorset(fold, frame, thin, 4), doorset(fold, frame, thick, 4)
    assert heavier.mass >= lighter.mass
    assert doorset(fold, frame, thin, 4, third).mass > lighter.mass
    assert heavier.frame_mass == lighter.frame_mass


@given(st.sampled_from(FOLDS), frames, st.integers(1, 500), st.integers(1, 500))
def test_a_larger_frame_never_makes_a_lighter_doorset(fold, frame, wider, higher):
    assume(frame.width >= 200 * fold.leaves)
    larger = Size(frame.width + wider, frame.height + higher)
    assert doorset(fold, larger, 6, 4).mass > doorset(fold, frame, 6, 4).mass


@given(st.sampled_from(FOLDS), frames, panes)
def test_a_doorset_weighs_as_much_as_its_frame_and_its_leaves(fold, frame, glass):
    assume(frame.width >= 200 * fold.leaves)
    answer = doorset(fold, frame, glass, 4)
    assert answer.mass == pytest.approx(
        answer.frame_mass + sum(leaf.mass for leaf in answer.leaves)
    )
    assert all(leaf.mass > leaf.glass_mass > 0 for leaf in answer.leaves)
