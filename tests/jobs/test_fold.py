import pytest

from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import parse_fold


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


@pytest.mark.parametrize(("text", "hinged", "keep"), [("1-1-0", 0, 1), ("1-0-1", 1, 0)])
def test_a_single_leaf_hangs_on_one_jamb_and_closes_against_the_other(text, hinged, keep):
    junctions = parse_fold(text).junctions()
    assert junctions[hinged].supports == ("jamb_hinge",)
    assert junctions[keep].supports == ("closing_edge",)
    assert junctions[keep].keep


@pytest.mark.parametrize(
    "text",
    ["", "5", "5-5", "5-4-0", "0-0-0", "a-b-c", "21-21-0", "5-5-0-0", "\u0665-\u0665-\u0660"],
)
def test_an_unknown_fold_is_refused_by_name(text):
    with pytest.raises(UnusableInput) as refusal:
        parse_fold(text)
    assert refusal.value.pointer == "/fold"
