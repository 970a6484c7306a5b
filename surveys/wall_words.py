"""What an answer says of the walls and of its own method, in plain words."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from jobs.figures import percent
from surveys.arithmetic.answers import WallKinds

SIDES = {
    "left": gettext_noop("Left jamb"),
    "right": gettext_noop("Right jamb"),
    "head": gettext_noop("Head"),
    "sill": gettext_noop("Sill"),
}
KINDS = {
    "straight": gettext_noop("straight"),
    "coursed": gettext_noop("uneven from course to course"),
    "bulged": gettext_noop("bulged or waved"),
    "bowed": gettext_noop("bowed as a whole"),
}
# From here on one kind stands alone; under the other nobody need hear of a kind.
SURE, WORTH_A_WORD = 0.8, 0.15
METHODS = {
    "eight_points": gettext_lazy(
        "Worked out by the earlier method: eight points with straight walls between them, all at "
        "the outside face. A bulge between the readings and a splayed reveal were not allowed for."
    ),
    "walls": gettext_lazy(
        "Worked out for walls as they are built: bulges between the readings, rough courses and "
        "splayed reveals are allowed for as far as nothing read rules them out."
    ),
}


def wall_labels(walls: Mapping[str, WallKinds]) -> Iterator[tuple[str, str]]:
    """`Left jamb`, `most likely straight (60 %), perhaps bulged or waved (30 %)`."""
    for side, title in SIDES.items():
        if side in walls:
            yield _(title), _kinds_label(asdict(walls[side]))


def _kinds_label(kinds: Mapping[str, float]) -> str:
    ranked = sorted(kinds.items(), key=lambda kind: -kind[1])
    (best, share), (second, other) = ranked[:2]
    if share >= SURE:
        return _(KINDS[best])
    if other < WORTH_A_WORD:
        return _("most likely {kind} ({share})").format(kind=_(KINDS[best]), share=percent(share))
    return _("most likely {kind} ({share}), perhaps {second} ({other})").format(
        kind=_(KINDS[best]), share=percent(share), second=_(KINDS[second]), other=percent(other)
    )


def method_label(method: str) -> str:
    """By which picture of an opening an answer was worked out."""
    return str(METHODS[method])
