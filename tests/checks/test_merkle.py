"""Merkle trees and their proofs beside published ones."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.arithmetic.merkle import (
    EMPTY_ROOT,
    UnsoundProof,
    consistency_path,
    inclusion_path,
    is_consistent,
    leaf_hash,
    root_of_inclusion,
    tree_root,
)

# published: the eight leaves of the test vectors of Certificate Transparency's reference
# implementation (RFC 6962), with the root of each size, and paths for some places and sizes
LEAVES = [
    leaf_hash(bytes.fromhex(leaf))
    for leaf in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
ROOTS = {
    0: "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    1: "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    2: "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    3: "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    4: "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    5: "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    6: "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    7: "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    8: "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
}
INCLUSION = [
    (1, 1, []),
    (
        1,
        8,
        [
            "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
        ],
    ),
    (
        6,
        8,
        [
            "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
            "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
            "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        ],
    ),
    (3, 3, ["fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"]),
    (
        2,
        5,
        [
            "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        ],
    ),
]
CONSISTENCY = [
    (1, 1, []),
    (
        1,
        8,
        [
            "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
        ],
    ),
    (
        6,
        8,
        [
            "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
            "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
            "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        ],
    ),
    (
        2,
        5,
        [
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        ],
    ),
]


def hexed(path) -> list[str]:
    return [hash_.hex() for hash_ in path]


@pytest.mark.parametrize(("size", "root"), ROOTS.items())
def test_the_root_of_each_size(size, root):
    assert tree_root(LEAVES[:size]).hex() == root


def test_the_root_of_no_leaf():
    assert EMPTY_ROOT.hex() == ROOTS[0]


@pytest.mark.parametrize(("number", "size", "path"), INCLUSION)
def test_the_path_of_a_leaf(number, size, path):
    assert hexed(inclusion_path(number - 1, LEAVES[:size])) == path


@pytest.mark.parametrize(("first", "second", "path"), CONSISTENCY)
def test_the_path_between_two_sizes(first, second, path):
    assert hexed(consistency_path(first, LEAVES[:second])) == path


def test_the_worked_example_of_the_standard():
    # published: RFC 9162 section 2.1.5, the tree of seven leaves with nodes a to l
    leaves = [leaf_hash(f"d{n}".encode()) for n in range(7)]
    a, b, c, d, e, f = leaves[:6]
    j = leaves[6]
    g, h, i = tree_root([a, b]), tree_root([c, d]), tree_root([e, f])
    k, level = tree_root([a, b, c, d]), tree_root([e, f, j])
    assert inclusion_path(0, leaves) == [b, h, level]
    assert inclusion_path(3, leaves) == [c, g, level]
    assert inclusion_path(4, leaves) == [f, j, k]
    assert inclusion_path(6, leaves) == [i, k]
    assert consistency_path(3, leaves) == [c, d, g, level]
    assert consistency_path(4, leaves) == [level]
    assert consistency_path(6, leaves) == [i, j, k]


some_leaves = st.lists(st.binary(max_size=3).map(leaf_hash), min_size=1, max_size=70)


@given(some_leaves, st.data())
def test_every_leaf_of_every_tree_is_proven_in_its_place_and_in_no_other(leaves, data):
    index = data.draw(st.integers(0, len(leaves) - 1))
    path, root = inclusion_path(index, leaves), tree_root(leaves)
    assert root_of_inclusion(leaves[index], index, len(leaves), path) == root
    other = leaf_hash(b"never a leaf")
    assert root_of_inclusion(other, index, len(leaves), path) != root
    for wrong in (path[:-1], [*path, root]):
        if wrong == path:
            continue
        with pytest.raises(UnsoundProof):
            root_of_inclusion(leaves[index], index, len(leaves), wrong)


@given(some_leaves, st.data())
def test_every_earlier_size_is_proven_and_a_changed_past_is_not(leaves, data):
    first = data.draw(st.integers(1, len(leaves)))
    path = consistency_path(first, leaves)
    now = (len(leaves), tree_root(leaves))
    assert is_consistent((first, tree_root(leaves[:first])), now, path)
    changed = [*leaves[:first]]
    changed[data.draw(st.integers(0, first - 1))] = leaf_hash(b"never a leaf")
    assert not is_consistent((first, tree_root(changed)), now, path)
    assert not is_consistent((first, tree_root(leaves[:first])), now, [*path, now[1]])
    for one, other in pairwise(path):
        swapped = [other if h == one else one if h == other else h for h in path]
        if one != other:
            assert not is_consistent((first, tree_root(leaves[:first])), now, swapped)


@pytest.mark.parametrize("index", [-1, 8])
def test_a_leaf_that_is_not_in_the_tree_has_no_path(index):
    with pytest.raises(IndexError):
        inclusion_path(index, LEAVES)
    with pytest.raises(UnsoundProof):
        root_of_inclusion(LEAVES[0], index, 8, [])


@pytest.mark.parametrize("first", [0, 9])
def test_a_size_that_never_was_is_consistent_with_nothing(first):
    with pytest.raises(IndexError):
        consistency_path(first, LEAVES)
    assert not is_consistent((first, LEAVES[0]), (8, tree_root(LEAVES)), [])
