"""Arrays of numbers, as they go from one function to the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["ArrayLike", "Floats", "Truths"]

Floats = NDArray[np.float64]
Truths = NDArray[np.bool_]
