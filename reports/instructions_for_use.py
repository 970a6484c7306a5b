"""How a folding sliding doorset is opened and closed, for whoever lives with it.

Leaves are numbered from the left, seen from outside. Common practice, no source; what the maker of
the system says prevails.
"""

from django.utils.translation import gettext as _

from jobs.arithmetic.fold import Fold, FoldedLeaf, Side


def opening_steps(fold: Fold, opens: str) -> list[str]:
    """From shut and locked to folded back; `opens` is `out` or `in`."""
    return [
        *_open_first(fold, opens),
        *([_undo_locks(fold)] if _folding_chains(fold) else []),
        *(_fold_back(fold, side, opens) for side in _folding_chains(fold)),
        _("Secure the folded leaves, or they move in the wind. Do not leave them half way."),
    ]


def closing_steps(fold: Fold) -> list[str]:
    """The other way round: the access leaf shuts last."""
    return [
        _("Check that nothing lies in the bottom track and that nobody is near the leaves."),
        *(_unfold(side) for side in _folding_chains(fold)),
        *([_do_locks(fold)] if _folding_chains(fold) else []),
        *_shut_last(fold),
        _("Pull at the leaves once: nothing may give. A lock that needs force needs adjusting."),
    ]


def threshold_advice(upstand: float) -> str:
    """`upstand` in mm above the finished floor."""
    if upstand <= 0:
        return _("The threshold is level with the finished floor.")
    message = _(
        "The threshold is {upstand} mm higher than the finished floor: lift your feet, and take "
        "care with wheels and in the dark."
    )
    return message.format(upstand=f"{upstand:.0f}")


def _open_first(fold: Fold, opens: str) -> list[str]:
    access = _access_leaves(fold)
    if not access:
        return [_begin_at_closing_place(fold)]
    steps = [_swing_access_leaf(access, opens)]
    if any(leaf.position > 1 for leaf in access):
        steps.append(
            _("To open more, lay it against its neighbour, where catch or magnet holds it.")
        )
    return steps


def _begin_at_closing_place(fold: Fold) -> str:
    if fold.all_one_way and fold.left:
        return _(
            "There is no access leaf: begin where the doorset is locked, at the right jamb, with "
            "the handle there."
        )
    if fold.all_one_way:
        return _(
            "There is no access leaf: begin where the doorset is locked, at the left jamb, with "
            "the handle there."
        )
    message = _(
        "There is no access leaf: begin where the doorset is locked, where leaves {left} and "
        "{right} meet, with the handle there."
    )
    return message.format(left=fold.left, right=fold.left + 1)


def _swing_access_leaf(access: list[FoldedLeaf], opens: str) -> str:
    if opens == "out":
        message = _(
            "Begin with the access leaf, {leaf}: unlock it and swing it outwards as far as it "
            "goes. It alone serves as an ordinary door."
        )
    else:
        message = _(
            "Begin with the access leaf, {leaf}: unlock it and swing it inwards as far as it "
            "goes. It alone serves as an ordinary door."
        )
    return message.format(leaf=_leaf_names(access))


def _undo_locks(fold: Fold) -> str:
    if _access_leaves(fold):
        return _(
            "Undo the locks of the folding leaves at top and bottom, one after the other: begin "
            "beside the access leaf and go towards the jamb."
        )
    if fold.all_one_way:
        return _(
            "Undo the locks of the folding leaves at top and bottom, one after the other: begin "
            "at the jamb where the doorset is locked and go towards the other jamb."
        )
    message = _(
        "Undo the locks of the folding leaves at top and bottom, one after the other: begin where "
        "leaves {left} and {right} meet and go towards the jambs."
    )
    return message.format(left=fold.left, right=fold.left + 1)


def _do_locks(fold: Fold) -> str:
    if _access_leaves(fold):
        return _(
            "Lock the folding leaves at top and bottom: begin at the jamb and go leaf by leaf "
            "towards the access leaf."
        )
    if fold.all_one_way:
        return _(
            "Lock the folding leaves at top and bottom: begin at the jamb where they fold and go "
            "leaf by leaf towards the other jamb."
        )
    message = _(
        "Lock the folding leaves at top and bottom: begin at the jambs and go leaf by leaf towards "
        "where leaves {left} and {right} meet."
    )
    return message.format(left=fold.left, right=fold.left + 1)


def _unfold(side: Side) -> str:
    if side == "left":
        return _("Unfold the leaves at the left jamb, slowly, until they lie in line.")
    return _("Unfold the leaves at the right jamb, slowly, until they lie in line.")


def _shut_last(fold: Fold) -> list[str]:
    access = _access_leaves(fold)
    if not access:
        return []
    message = _(
        "Shut the access leaf, {leaf}, last: lift the handle, turn the key, and take it out."
    )
    return [message.format(leaf=_leaf_names(access))]


def _fold_back(fold: Fold, side: Side, opens: str) -> str:
    if side == "left":
        return _fold_back_left(opens).format(count=fold.left)
    return _fold_back_right(opens).format(count=fold.right)


def _fold_back_left(opens: str) -> str:
    if opens == "out":
        return _(
            "Take the {count} leaves on the left by their handle, push the first pair outwards and "
            "walk them to the left jamb, slowly, with hands off the edges where leaves meet."
        )
    return _(
        "Take the {count} leaves on the left by their handle, pull the first pair inwards and walk "
        "them to the left jamb, slowly, with hands off the edges where leaves meet."
    )


def _fold_back_right(opens: str) -> str:
    if opens == "out":
        return _(
            "Take the {count} leaves on the right by their handle, push the first pair outwards "
            "and walk them to the right jamb, slowly, with hands off the edges where leaves meet."
        )
    return _(
        "Take the {count} leaves on the right by their handle, pull the first pair inwards and "
        "walk them to the right jamb, slowly, with hands off the edges where leaves meet."
    )


def _access_leaves(fold: Fold) -> list[FoldedLeaf]:
    return [leaf for leaf in fold.folded_leaves() if leaf.access_leaf]


def _folding_chains(fold: Fold) -> list[Side]:
    """Sides with more than the one leaf that only swings."""
    chains: tuple[tuple[Side, int], ...] = (("left", fold.left), ("right", fold.right))
    return [side for side, count in chains if count > 1]


def _leaf_names(leaves: list[FoldedLeaf]) -> str:
    """`leaf 3`; with two access leaves `leaf 3 or leaf 4`."""
    first, *others = (leaf.number for leaf in leaves)
    if not others:
        return _("leaf {number}").format(number=first)
    return _("leaf {first} or leaf {second}").format(first=first, second=others[0])
