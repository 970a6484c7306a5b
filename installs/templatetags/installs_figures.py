"""Amounts whose direction is told by a word and an arrow beside them."""

from django import template

register = template.Library()


@register.filter
def amount(value: float) -> str:
    """Without its sign, to a hundredth: `1.25`, `2`."""
    return f"{abs(value):.2f}".rstrip("0").rstrip(".")


@register.filter
def turns(value: float) -> str:
    """`1.25 turns`, `1 turn`."""
    written = amount(value)
    return f"{written} turn" if written == "1" else f"{written} turns"
