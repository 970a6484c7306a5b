"""What is drawn on papers and pages, from the records."""

from collections.abc import Sequence

from jobs.elevations import elevation_facts

__all__ = ["elevation_facts", "signature_svg"]


def signature_svg(strokes: Sequence[Sequence[Sequence[float]]]) -> str:
    """A signature as SVG, from its strokes: lists of points [x, y], y downwards."""
    points = [point for stroke in strokes for point in stroke] or [[0, 0]]
    xs, ys = [float(x) for x, _ in points], [float(y) for _, y in points]
    width, height = max(xs) - min(xs) + 10, max(ys) - min(ys) + 10
    lines = "".join(f'<polyline points="{_pairs(stroke)}"/>' for stroke in strokes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{min(xs) - 5:.1f} {min(ys) - 5:.1f} '
        f'{width:.1f} {height:.1f}" fill="none" stroke="#17242a" stroke-width="{height / 40:.2f}" '
        f'stroke-linecap="round" stroke-linejoin="round">{lines}</svg>'
    )


def _pairs(stroke: Sequence[Sequence[float]]) -> str:
    return " ".join(f"{float(x):.1f},{float(y):.1f}" for x, y in stroke)
