import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import Fold, parse_fold

folds = st.tuples(st.integers(0, 8), st.integers(0, 8)).filter(any)


def test_five_leaves_one_way_end_in_an_access_leaf_against_a_keep():
    fold = parse_fold("5-5-0")
    assert [leaf.number for leaf in fold.folded_leaves() if leaf.brings_carrier] == [2, 4]
    assert [leaf.number for leaf in fold.folded_leaves() if leaf.access_leaf] == [5]
    assert [junction.supports for junction in fold.junctions()] == [
        ("jamb_hinge",),
        ("knuckle",),
        ("carrier",),
        ("knuckle",),
        ("carrier",),
        ("closing_edge",),
    ]
    assert fold.keep_jamb == "right"


def test_a_chain_of_one_hangs_on_its_jamb_and_has_no_carrier():
    single = parse_fold("3-2-1").folded_leaves()[2]
    assert (single.carried_on, single.brings_carrier, single.access_leaf) == ("right", False, True)


def test_even_chains_meet_in_end_carriers_and_have_no_access_leaf():
    fold = parse_fold("4-2-2")
    assert not any(leaf.access_leaf for leaf in fold.folded_leaves())
    assert fold.junctions()[2].supports == ("carrier", "carrier")
    assert fold.keep_jamb is None


@given(folds)
def test_a_mirrored_fold_has_mirrored_leaves(sides):
    left, right = sides
    fold, mirrored = Fold(left + right, left, right), Fold(left + right, right, left)
    other = {"left": "right", "right": "left"}
    assert [other[leaf.carried_on] for leaf in fold.folded_leaves()] == [
        leaf.carried_on for leaf in reversed(mirrored.folded_leaves())
    ]


@given(folds)
def test_each_even_leaf_of_a_chain_stands_on_one_carrier(sides):
    left, right = sides
    fold = Fold(left + right, left, right)
    carriers = sum(junction.supports.count("carrier") for junction in fold.junctions())
    assert carriers == left // 2 + right // 2
    assert carriers == sum(leaf.brings_carrier for leaf in fold.folded_leaves())


@pytest.mark.parametrize(
    "text",
    ["", "5", "5-5", "5-4-0", "0-0-0", "a-b-c", "21-21-0", "5-5-0-0", "\u0665-\u0665-\u0660"],
)
def test_an_unknown_fold_is_refused_by_name(text):
    with pytest.raises(UnusableInput) as refusal:
        parse_fold(text)
    assert refusal.value.pointer == "/fold"
