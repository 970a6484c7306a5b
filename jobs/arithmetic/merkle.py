"""Merkle trees of RFC 9162, section 2.1: what a list of leaves was, in 32 bytes, and short proofs
that a leaf is in it (inclusion) and that a longer list begins with it (consistency).

A tree is given as the hashes of its leaves in their order (`leaf_hash`). Pure.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence

Hash = bytes
EMPTY_ROOT = hashlib.sha256(b"").digest()


class UnsoundProof(ValueError):
    """A proof that cannot be one of the place and size it is said to be of."""


def leaf_hash(leaf: bytes) -> Hash:
    """RFC 9162 section 2.1.1."""
    return hashlib.sha256(b"\x00" + leaf).digest()


def node_hash(left: Hash, right: Hash) -> Hash:
    """RFC 9162 section 2.1.1."""
    return hashlib.sha256(b"\x01" + left + right).digest()


class GrowingTree:
    """The roots of the perfect subtrees that a list of leaves falls into, from its largest to its
    smallest: what has to be kept to add a leaf and to know the new root."""

    def __init__(self, leaves: Iterable[Hash] = ()) -> None:
        self.size = 0
        self._peaks: list[Hash] = []
        for leaf in leaves:
            self.add(leaf)

    def add(self, leaf: Hash) -> None:
        peak, at = leaf, self.size
        while at & 1:
            peak, at = node_hash(self._peaks.pop(), peak), at >> 1
        self._peaks.append(peak)
        self.size += 1

    @property
    def root(self) -> Hash:
        if not self._peaks:
            return EMPTY_ROOT
        *larger, root = self._peaks
        for peak in reversed(larger):
            root = node_hash(peak, root)
        return root


def tree_root(leaves: Iterable[Hash]) -> Hash:
    """The Merkle tree hash of RFC 9162 section 2.1.1."""
    return GrowingTree(leaves).root


def inclusion_path(index: int, leaves: Sequence[Hash]) -> list[Hash]:
    """The proof of RFC 9162 section 2.1.3.1 that the leaf at `index` (from 0) is in the tree.

    Raises `IndexError` for a place that is not in the tree.
    """
    if not 0 <= index < len(leaves):
        raise IndexError(index)
    path: list[Hash] = []
    while len(leaves) > 1:
        split = _split(len(leaves))
        if index < split:
            path.append(tree_root(leaves[split:]))
            leaves = leaves[:split]
        else:
            path.append(tree_root(leaves[:split]))
            leaves, index = leaves[split:], index - split
    return path[::-1]


def root_of_inclusion(leaf: Hash, index: int, size: int, path: Iterable[Hash]) -> Hash:
    """The root of the tree of `size` leaves in which the path leads from this leaf at `index`, by
    RFC 9162 section 2.1.3.2.

    Raises `UnsoundProof` for a path of another length than this place has.
    """
    if not 0 <= index < size:
        raise UnsoundProof("the place is not in the tree")
    root = leaf
    for hash_, is_left in _sides(index, size - 1, path):
        root = node_hash(hash_, root) if is_left else node_hash(root, hash_)
    return root


def _sides(at: int, last: int, path: Iterable[Hash]) -> Iterator[tuple[Hash, bool]]:
    """Each hash of a path upwards, and whether it is that of the left half; `at` and `last` are
    the places of the node it begins with and of the last one of that level."""
    for hash_ in path:
        if last == 0:
            raise UnsoundProof("the path is longer than it can be")
        is_left = bool(at & 1) or at == last
        yield hash_, is_left
        while is_left and not at & 1 and at:
            at, last = at >> 1, last >> 1
        at, last = at >> 1, last >> 1
    if last:
        raise UnsoundProof("the path is shorter than it can be")


def consistency_path(first: int, leaves: Sequence[Hash]) -> list[Hash]:
    """The proof of RFC 9162 section 2.1.4.1 that the tree begins with its `first` leaves; empty
    for the whole tree.

    Raises `IndexError` for a size that the tree never had.
    """
    if not 0 < first <= len(leaves):
        raise IndexError(first)
    path: list[Hash] = []
    is_known = True
    while first < len(leaves):
        split = _split(len(leaves))
        if first <= split:
            path.append(tree_root(leaves[split:]))
            leaves = leaves[:split]
        else:
            path.append(tree_root(leaves[:split]))
            leaves, first, is_known = leaves[split:], first - split, False
    return ([] if is_known else [tree_root(leaves)]) + path[::-1]


def is_consistent(first: tuple[int, Hash], second: tuple[int, Hash], path: Sequence[Hash]) -> bool:
    """Whether the path shows that the second tree (size and root) begins with the whole of the
    first, by RFC 9162 section 2.1.4.2."""
    (size, root), (later_size, later_root) = first, second
    if not 0 < size <= later_size:
        return False
    if size == later_size:
        return not path and root == later_root
    # A perfect tree is a node of the later one, and its root is left out of the path.
    steps = list(path) if size & (size - 1) else [root, *path]
    at, last = size - 1, later_size - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    try:
        return steps != [] and _climbed(steps, at, last) == (root, later_root)
    except UnsoundProof:
        return False


def _climbed(steps: Sequence[Hash], at: int, last: int) -> tuple[Hash, Hash]:
    old = new = steps[0]
    for hash_, is_left in _sides(at, last, steps[1:]):
        if is_left:
            old = node_hash(hash_, old)
        new = node_hash(hash_, new) if is_left else node_hash(new, hash_)
    return old, new


def _split(size: int) -> int:
    """The largest power of two below `size`."""
    return 1 << ((size - 1).bit_length() - 1)
