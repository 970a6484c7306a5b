"""What is told of a sash: by how much it is out of square, and which panes are not as ordered."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from installs.arithmetic.glazing_plan import sash_lift
from installs.models import Installation, SashRecord
from jobs.arithmetic.glass_marks import MarkShortfall, OrderedPane, ordered_panes
from jobs.arithmetic.glazing import read_glazing
from jobs.code_labels import code_label
from jobs.figures import number
from jobs.rules import Rules
from jobs.translation import translated


def squaring_lift_of(sash: SashRecord) -> float | None:
    """mm to lift its free stile by, down negative; None where no diagonals were measured."""
    if sash.rising_diagonal is None or sash.falling_diagonal is None:
        return None
    plan = sash.installation.plan
    leaf = next(leaf for leaf in plan.leaves if leaf.number == sash.leaf)
    glazed = next(leaf for leaf in plan.glazing.leaves if leaf.number == sash.leaf)
    return sash_lift(
        leaf.width,
        leaf.height,
        glazed.free_stile,
        sash.rising_diagonal,
        sash.falling_diagonal,
    )


def square_limit(rules: Rules) -> str:
    """`2 mm (source)`: what the diagonals of a sash may differ by."""
    return _("{limit} mm ({source})").format(
        limit=number(rules["sash.diagonal_difference"]),
        source=translated(rules.source("sash.diagonal_difference")),
    )


def out_of_square_in_words(sash: SashRecord) -> str:
    """What is wrong with its diagonals; nothing where they are as equal as they must be."""
    if not sash.out_of_square:
        return ""
    return _(
        "sash {number} is out of square: its diagonals are {rising} and {falling} mm, {difference} "
        "mm apart; allowed are {limit}"
    ).format(
        number=sash.leaf,
        rising=number(sash.rising_diagonal or 0),
        falling=number(sash.falling_diagonal or 0),
        difference=number(sash.out_of_square),
        limit=square_limit(sash.installation.rule_set.rules),
    )


def panes_ordered_for(installation: Installation, leaf: int) -> list[str]:
    """Which marking each pane that can be struck has to show."""
    panes = panes_to_mark(installation, leaf)
    return [_("pane {pane} from outside: {glass}").format(**_glass(pane)) for pane in panes]


def panes_to_mark(installation: Installation, leaf: int) -> tuple[OrderedPane, ...]:
    """The panes of a sash that can be struck, as they were ordered."""
    doorset = installation.doorset
    glass = doorset.calculation.safety_glazing
    needed = next((finding.required_class for finding in glass if finding.leaf == leaf), "")
    return ordered_panes(read_glazing(doorset.glazing), needed)


def shortfalls_in_words(shortfalls: Iterable[MarkShortfall]) -> list[str]:
    """What the marking of each pane shows, and what was ordered."""
    return [_in_words(shortfall) for shortfall in shortfalls]


def _in_words(shortfall: MarkShortfall) -> str:
    values = _glass(shortfall.ordered)
    if shortfall.mark is None:
        text = _("pane {pane} from outside: no class of BS EN 12600 is entered; ordered: {glass}")
        return text.format(**values)
    text = _("pane {pane} from outside is marked {mark}; ordered: {glass}")
    return text.format(mark=shortfall.mark, **values)


def _glass(pane: OrderedPane) -> dict[str, str | int]:
    glass = _("{kind}, class {drop_class} or better").format(
        kind=code_label(pane.safety), drop_class=pane.drop_class
    )
    return {"pane": pane.number, "glass": glass}
