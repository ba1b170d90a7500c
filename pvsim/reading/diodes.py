"""Which bypass diodes of a part are at work."""

from __future__ import annotations

import numpy as np

from pvsim.array.index import diode_at, module_range
from pvsim.array.place import WHOLE_ARRAY, Place, level_of
from pvsim.array.solution import ArraySolution

__all__ = ["conducting_diodes"]


def conducting_diodes(
    solution: ArraySolution, place: Place = WHOLE_ARRAY, *, backward: bool = False
) -> tuple[Place, ...]:
    """The bypass diodes that conduct in a part, or across it for a cell; or those that let current back.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level.
    backward : bool
        Those that let their substring's own current run back, as short and reversed ones do.

    Returns
    -------
    tuple of Place
        In the order string, module, substring.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    index = solution.index
    on = solution.diodes.backward if backward else solution.diodes.conducting
    first, last = module_range(index, place)
    low, high = int(index.diode_start[first]), int(index.diode_start[last])
    found = tuple(diode_at(index, low + k) for k in np.flatnonzero(on[low:high]).tolist())
    if level_of(place) in ("array", "string", "module"):
        return found
    at = solution.substring_index(place)
    return tuple(one for one in found if solution.substring_index(one) == at)
