"""Arrays of numbers, as they go from one function to the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
