"""What is drawn on papers and pages, from the records."""

from collections.abc import Sequence

from jobs.svg import element


def signature_svg(strokes: Sequence[Sequence[Sequence[float]]]) -> str:
    """A signature as SVG, from its strokes: lists of points [x, y], y downwards."""
    points = [point for stroke in strokes for point in stroke] or [[0, 0]]
    xs, ys = [float(x) for x, _ in points], [float(y) for _, y in points]
    width, height = max(xs) - min(xs) + 10, max(ys) - min(ys) + 10
    return element(
        "svg",
        *(element("polyline", points=_pairs(stroke)) for stroke in strokes),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"{min(xs) - 5:.1f} {min(ys) - 5:.1f} {width:.1f} {height:.1f}",
        fill="none",
        stroke="#17242a",
        stroke_width=f"{height / 40:.2f}",
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def _pairs(stroke: Sequence[Sequence[float]]) -> str:
    return " ".join(f"{float(x):.1f},{float(y):.1f}" for x, y in stroke)
