"""The cell that gives least, or eats most."""

from __future__ import annotations

import numpy as np

from pvsim.array.index import cell_at
from pvsim.array.place import Place
from pvsim.array.solution import ArraySolution

__all__ = ["worst_cell"]

APART_W = 1e-3  # closer together than this all cells give the same


def worst_cell(solution: ArraySolution) -> Place | None:
    """The cell of least power at work; None where all of them give the same."""
    power = solution.cells.power_W
    if float(np.ptp(power)) < APART_W:
        return None
    return cell_at(solution.index, int(np.argmin(power)))
