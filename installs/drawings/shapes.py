"""The strokes that the drawings of a fitting plan are made of; lengths in the drawing's own mm."""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from jobs.drawings import FONT_FAMILY


@dataclass(frozen=True, slots=True)
class Canvas:
    """The part of the plane that is drawn on; `unit` is the height of its letters."""

    left: float
    top: float
    width: float
    height: float
    unit: float


def drawing(canvas: Canvas, in_words: str, strokes: Iterable[str]) -> str:
    """An SVG document of these strokes; `in_words` for somebody who cannot see them."""
    box = f"{canvas.left:.1f} {canvas.top:.1f} {canvas.width:.1f} {canvas.height:.1f}"
    words = escape(in_words)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'aria-label="{words}" fill="none" stroke="currentColor" '
        f'stroke-width="{canvas.unit / 14:.2f}" font-family="{FONT_FAMILY}" '
        f'font-size="{canvas.unit:.1f}"><title>{words}</title>{"".join(strokes)}</svg>'
    )


def rectangle(
    x: float, y: float, width: float, height: float, *, tint: float = 0.0, weight: float = 0.0
) -> str:
    """`tint`: how much of the ink fills it, 0 to 1."""
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
        f"{_filled(tint)}{_weight(weight)}/>"
    )


def circle(x: float, y: float, radius: float, *, tint: float = 0.0, empty: bool = False) -> str:
    """`empty`: white, so that no line runs through what is written on it."""
    filled = ' fill="#fff"' if empty else _filled(tint)
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}"{filled}/>'


def line(x1: float, y1: float, x2: float, y2: float, *, weight: float = 0.0) -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"{_weight(weight)}/>'


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 0.0,
    bold: bool = False,
    anchor: str = "middle",
) -> str:
    looks = (' font-weight="bold"' if bold else "") + (f' font-size="{size:.1f}"' if size else "")
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor" '
        f'stroke="none"{looks}>{escape(words)}</text>'
    )


def mm(length: float) -> str:
    """To a tenth at most."""
    return f"{length:.1f}".removesuffix(".0")


def _filled(tint: float) -> str:
    return f' fill="currentColor" fill-opacity="{tint:g}"' if tint else ""


def _weight(weight: float) -> str:
    return f' stroke-width="{weight:.2f}"' if weight else ""
