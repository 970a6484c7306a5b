"""How a straightedge is laid along a wall and a square held at its reveal, as SVG.

Pure: data in, text out. No scale: a bulge of millimetres is drawn as large as a hand.
"""

from collections.abc import Iterator
from math import cos, pi

from django.utils.translation import gettext as _

from jobs.svg import Canvas, Point, drawing, line, path, rectangle, text

WIDTH, LETTER = 100.0, 4.2
# The wall's face as it should be, how far the bulge stands in, and the straightedge's thickness.
FACE, BULGE, BAR = 30.0, 9.0, 3.4


def straightedge_svg() -> str:
    """A wall with a bulge, the straightedge rocked on it until both its ends stand off alike."""
    words = _(
        "A straightedge lies along the whole side and rests on the bulge of the wall. It is "
        "rocked until the gap at both ends is the same; that gap is the reading. Where it touches "
        "at both ends, write 0."
    )
    return drawing(Canvas(0, 6, WIDTH, 39, LETTER), words, _straightedge(), weight=0.4)


def _straightedge() -> Iterator[str]:
    face = [(float(x), _face(x)) for x in range(0, 101, 2)]
    yield _wall([*face, (WIDTH, 44), (0, 44)])
    bar = FACE - BULGE - BAR
    yield rectangle(4, bar, 92, BAR, weight=0.5, tint=0.05)
    for x in (7.0, 93.0):
        yield from _gap(x, bar + BAR, _face(x))
    yield text(WIDTH / 2, bar - 2.6, _("straightedge or string along the whole side"))
    yield text(10, FACE - 3.2, _("same gap"), anchor="start", bold=True)
    yield text(90, FACE - 3.2, _("same gap"), anchor="end", bold=True)
    yield text(WIDTH / 2, 40, _("wall, its bulge drawn far too large"))


def _face(x: float) -> float:
    """Where the wall's face is; y down."""
    away = abs(x - WIDTH / 2) / 24
    return FACE - (BULGE * (1 + cos(pi * away)) / 2 if away < 1 else 0.0)


def square_svg() -> str:
    """The left reveal seen from above, a square held against the outside face."""
    words = _(
        "The left reveal seen from above: a square is held against the outside face of the wall, "
        "its blade along the depth in which the frame stands. Read how much further into the "
        "opening the wall stands at the inside edge of the frame than at the outside edge; with a "
        "minus where it stands back."
    )
    return drawing(Canvas(0, 0, WIDTH, 58, LETTER), words, _square(), weight=0.4)


def _square() -> Iterator[str]:
    outside, inside, corner, splay = 12.0, 48.0, 38.0, 9.0
    yield _wall([(0, outside), (corner, outside), (corner + splay, inside), (0, inside)])
    yield rectangle(8, outside - BAR, corner - 8, BAR, weight=0.5, tint=0.05)
    yield path((corner, outside - BAR), (corner, inside + 2), weight=0.9)
    yield line(corner, inside + 4, corner + splay, inside + 4, weight=0.6)
    for x in (corner, corner + splay):
        yield line(x, inside + 2.6, x, inside + 5.4, weight=0.6)
    yield text(18, 32, _("wall"))
    yield text(corner + 4, 6, _("outside"), anchor="start")
    yield text(23, 6, _("square"), bold=True)
    yield text(corner + splay + 4, 30, _("opening"), anchor="start")
    yield text(corner + splay + 3, inside + 5.4, _("read this, here +"), anchor="start", bold=True)


def _wall(outline: list[Point]) -> str:
    return path(*outline, closed=True, weight=0.5, fill="currentColor", fill_opacity="0.18")


def _gap(x: float, top: float, bottom: float) -> Iterator[str]:
    yield line(x, top, x, bottom, weight=0.6)
    for y in (top, bottom):
        yield line(x - 1.4, y, x + 1.4, y, weight=0.6)
