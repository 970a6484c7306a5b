"""Arrays of numbers, as the arithmetic of openings passes them on."""

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]
Drawn = npt.NDArray[np.float32]
Indices = npt.NDArray[np.int_]


def mass_of(classes: Indices, weights: Numbers, count: int = 0) -> Numbers:
    """Sum of the weights of each class, over at least so many classes."""
    return np.bincount(classes, weights, count).astype(np.float64)
