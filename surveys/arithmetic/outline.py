"""Places along a side of an opening, as shares of its length."""


def share(place: float, size: float) -> float:
    """A place as a share of the size, within the opening."""
    return min(max(place / size, 0.0), 1.0)
