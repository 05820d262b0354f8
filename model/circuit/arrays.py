"""The kinds of arrays that the circuit is solved with, and the one sum over places that all of it needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


def sum_at(places: IntArray, values: FloatArray, count: int) -> FloatArray:
    """Sum the values that belong to each place.

    Parameters
    ----------
    places, values
        Shape (values,); a place from 0 to ``count`` - 1 for each value.

    Returns
    -------
    FloatArray
        Shape (count,), 0 where nothing belongs.
    """
    return np.asarray(np.bincount(places, values, count), dtype=np.float64)
