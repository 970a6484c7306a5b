"""Amounts whose direction a word and an arrow beside them give."""

from collections.abc import Iterable

from django import template
from django.utils.translation import ngettext

from jobs.figures import figure, number

register = template.Library()


@register.filter
def amount(value: float) -> str:
    """Without its sign, to a hundredth: `1.25`, `2`."""
    return number(float(f"{abs(value):.2f}"))


@register.filter
def signed(value: float) -> str:
    """With its sign, to a tenth: `+1.3`, `0`, `-2`."""
    return number(round(value, 1) + 0.0, "+g") if round(value, 1) else "0"


@register.filter
def turns(value: float) -> str:
    """`1.25 turns`, `1 turn`."""
    count = amount(value)
    return ngettext("{count} turn", "{count} turns", 1 if count == "1" else 2).format(count=count)


@register.filter
def plus(pieces: Iterable[float]) -> str:
    """Thicknesses of packers on top of each other: `5 + 3`."""
    return " + ".join(figure(piece) for piece in pieces)
