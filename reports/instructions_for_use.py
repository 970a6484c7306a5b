"""How a folding sliding doorset is opened and closed, in words for whoever lives with it. Pure.

Leaves are numbered from the left, seen from outside. Common practice, no source; what the maker of
the system says prevails.
"""

from jobs.arithmetic.fold import Fold, FoldedLeaf, Side


def opening_steps(fold: Fold, opens: str) -> list[str]:
    """From shut and locked to folded back."""
    access = _access_leaves(fold)
    return [
        *_first(access, fold, opens),
        *_undo_locks(fold, access),
        *(_fold_back(fold, side, opens) for side in _folding_chains(fold)),
        "Secure the folded leaves, or they move in the wind. Do not leave them half way.",
    ]


def closing_steps(fold: Fold) -> list[str]:
    """The other way round: the access leaf shuts last."""
    access = _access_leaves(fold)
    sides = _folding_chains(fold)
    return [
        "See that nothing lies in the bottom track and that nobody is near the leaves.",
        *(
            f"Unfold the leaves at the {side} jamb, slowly, until they lie in line."
            for side in sides
        ),
        *_do_locks(fold, access),
        *_last(access),
        "Pull at the leaves once: nothing may give. A lock that needs force needs setting.",
    ]


def threshold_in_words(upstand: float) -> str:
    """`upstand` in mm above the finished floor."""
    if upstand <= 0:
        return "The threshold lies level with the finished floor."
    return (
        f"The threshold stands {upstand:.0f} mm above the finished floor: lift your feet, and take "
        "care with wheels and in the dark."
    )


def _first(access: list[FoldedLeaf], fold: Fold, opens: str) -> list[str]:
    if not access:
        return [
            "There is no access leaf: begin where the doorset is locked, "
            f"{_closing_place(fold)}, with the handle there."
        ]
    steps = [
        f"Begin with the access leaf, {_named(access)}: unlock it and swing it {opens}wards as far "
        "as it goes. It alone serves as an ordinary door."
    ]
    if any(leaf.position > 1 for leaf in access):
        steps.append("To open more, lay it against its neighbour, where catch or magnet holds it.")
    return steps


def _undo_locks(fold: Fold, access: list[FoldedLeaf]) -> list[str]:
    if not _folding_chains(fold):
        return []
    return [
        "Undo the locks of the folding leaves at top and bottom, one after the other: begin beside "
        f"{_end(fold, access)} and go towards the jamb."
    ]


def _do_locks(fold: Fold, access: list[FoldedLeaf]) -> list[str]:
    if not _folding_chains(fold):
        return []
    return [
        "Lock the folding leaves at top and bottom: begin at the jamb and go leaf by leaf towards "
        f"{_end(fold, access)}."
    ]


def _last(access: list[FoldedLeaf]) -> list[str]:
    if not access:
        return []
    return [
        f"Shut the access leaf, {_named(access)}, last: lift the handle, turn the key, and take it "
        "out."
    ]


def _fold_back(fold: Fold, side: Side, opens: str) -> str:
    count = fold.left if side == "left" else fold.right
    moved = "push" if opens == "out" else "pull"
    return (
        f"Take the {count} leaves on the {side} by their handle, {moved} the first pair "
        f"{opens}wards and walk them to the {side} jamb, slowly, with hands off the edges where "
        "leaves meet."
    )


def _access_leaves(fold: Fold) -> list[FoldedLeaf]:
    return [leaf for leaf in fold.folded_leaves() if leaf.access_leaf]


def _folding_chains(fold: Fold) -> list[Side]:
    """Sides with more than the one leaf that only swings."""
    chains: tuple[tuple[Side, int], ...] = (("left", fold.left), ("right", fold.right))
    return [side for side, count in chains if count > 1]


def _named(leaves: list[FoldedLeaf]) -> str:
    return " or ".join(f"leaf {leaf.number}" for leaf in leaves)


def _end(fold: Fold, access: list[FoldedLeaf]) -> str:
    return "the access leaf" if access else _closing_place(fold)


def _closing_place(fold: Fold) -> str:
    if fold.all_one_way:
        return f"the {'right' if fold.left else 'left'} jamb"
    return f"where leaves {fold.left} and {fold.left + 1} meet"
