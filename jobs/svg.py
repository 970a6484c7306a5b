"""The strokes that every drawing is made of, as SVG; lengths in the drawing's own unit, y down.

Lines and words are `currentColor`, so that a page in the dark and a paper in print need no drawing
of their own. Whatever is written goes through `element` or `text`, which escape it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

FONT_FAMILY = "Source Sans 3, sans-serif"
# A value of an attribute: words, a length, or nothing, which leaves the attribute out.
Value = str | float | None
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Canvas:
    """The part of the plane that is drawn on; `unit` is the height of its letters."""

    left: float
    top: float
    width: float
    height: float
    unit: float

    @property
    def box(self) -> str:
        return f"{self.left:.1f} {self.top:.1f} {self.width:.1f} {self.height:.1f}"


def element(name: str, *content: str, **attributes: Value) -> str:
    """`content` is SVG already; `stroke_width` becomes `stroke-width`, and `class_` `class`."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_written(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{''.join(content)}</{name}>" if content else f"<{name}{written}/>"


def drawing(
    canvas: Canvas, description: str, strokes: Iterable[str], *, weight: float | None = None
) -> str:
    """An SVG document of these strokes; `description` for somebody who cannot see them.

    `weight` is the width of a line that says none: a fourteenth of a letter where it is not given.
    """
    return element(
        "svg",
        element("title", escape(description)),
        *strokes,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=canvas.box,
        role="img",
        aria_label=description,
        fill="none",
        stroke="currentColor",
        stroke_width=_weight(weight or canvas.unit / 14),
        font_family=FONT_FAMILY,
        font_size=canvas.unit,
    )


def rectangle(
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    tint: float = 0.0,
    weight: float = 0.0,
    **more: Value,
) -> str:
    """`tint`: how much of the ink fills it, 0 to 1."""
    looks = {**_filled(tint), "stroke_width": _weight(weight), **more}
    return element("rect", x=x, y=y, width=width, height=height, **looks)


def circle(x: float, y: float, radius: float, *, tint: float = 0.0, empty: bool = False) -> str:
    """`empty`: white, so that no line runs through what is written on it."""
    filled: dict[str, Value] = {"fill": "#fff"} if empty else _filled(tint)
    return element("circle", cx=x, cy=y, r=radius, **filled)


def line(x1: float, y1: float, x2: float, y2: float, *, weight: float = 0.0) -> str:
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke_width=_weight(weight))


def path(*points: Point, closed: bool = False, weight: float = 0.0, **more: Value) -> str:
    """From point to point, and back to the first where it is closed."""
    there = " L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    ways = f"M{there} Z" if closed else f"M{there}"
    return element("path", d=ways, stroke_width=_weight(weight), **more)


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: float | None = None,
    bold: bool = False,
    anchor: str = "middle",
    **more: Value,
) -> str:
    return element(
        "text",
        escape(words),
        x=x,
        y=y,
        text_anchor=anchor,
        fill="currentColor",
        stroke="none",
        font_weight="bold" if bold else None,
        font_size=size,
        **more,
    )


def mm(length: float) -> str:
    """To a tenth at most."""
    return f"{length:.1f}".removesuffix(".0")


def _written(value: str | float) -> str:
    return escape(value) if isinstance(value, str) else f"{value:.1f}"


def _filled(tint: float) -> dict[str, Value]:
    return {"fill": "currentColor", "fill_opacity": f"{tint:g}"} if tint else {}


def _weight(weight: float) -> str | None:
    return f"{weight:.2f}" if weight else None
