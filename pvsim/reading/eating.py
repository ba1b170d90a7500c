"""From when on a cell eats power: the one threshold, for pages, lessons, exports and the command line."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pvsim.array.solution import ArraySolution

__all__ = ["EATING_W", "eating_cells"]

EATING_W = 0.01  # a cell that takes less only idles: a thousandth of what it gives at work


def eating_cells(solution: ArraySolution) -> NDArray[np.bool_]:
    """Which cells eat power.

    Parameters
    ----------
    solution : ArraySolution

    Returns
    -------
    (cells,) of bool
        Whether the cell takes more than EATING_W, in the order string, module, cell.
    """
    return np.asarray(solution.cells.power_W < -EATING_W)
