"""What scatter makes of every cell of an array.

What a place gets depends on the seed and on the place alone, so a string that grows leaves all others
as they were. Photocurrent, breakdown voltage, light and temperature are scattered normally, shunts in
their logarithm, all cut off at three standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.draw import Words, normal
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex
from pvsim.array.scatter import Scatter
from pvsim.circuit.floats import Floats
from pvsim.prompt import summary

__all__ = ["CellScatter", "scatter_of"]

_FARTHEST = 3.0  # standard deviations


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellScatter:
    """What scatter makes of every cell: factors on what its type says; do not write to them.

    Parameters
    ----------
    photocurrent, shunt, breakdown : (cells,)
        Factors on photocurrent, shunt resistance and breakdown voltage.
    light : (cells,)
        Factor on the light of the cell's module.
    warmer_K : (cells,)
        How much warmer the cell's module is than the weather makes it.
    """

    photocurrent: Floats
    shunt: Floats
    breakdown: Floats
    light: Floats
    warmer_K: Floats

    __repr__ = summary


_known: IdentityMemo[CellScatter] = IdentityMemo(16)


def scatter_of(scatter: Scatter | None, index: ArrayIndex) -> CellScatter | None:
    """What a scenario's scatter makes of every cell of its array; None where all are equal."""
    if scatter is None:
        return None
    return _known.get((scatter, index), lambda: _draw(scatter, index))


def _draw(scatter: Scatter, index: ArrayIndex) -> CellScatter:
    modules = (index.module_string.astype(np.uint64) << np.uint64(32)) + (
        index.module_number.astype(np.uint64) << np.uint64(16)
    )
    counts = np.diff(index.cell_start)
    within = np.arange(int(index.cell_start[-1])) - np.repeat(index.cell_start[:-1], counts)
    cells = np.repeat(modules, counts) + within.astype(np.uint64) + np.uint64(1)
    found = CellScatter(
        photocurrent=1.0 + scatter.photocurrent_percent / 100.0 * _normal(scatter.seed, 0, cells),
        shunt=np.exp(scatter.shunt_percent / 100.0 * _normal(scatter.seed, 1, cells)),
        breakdown=1.0 + scatter.breakdown_percent / 100.0 * _normal(scatter.seed, 2, cells),
        light=np.repeat(1.0 + scatter.light_percent / 100.0 * _normal(scatter.seed, 3, modules), counts),
        warmer_K=np.repeat(np.round(scatter.temperature_K * _normal(scatter.seed, 4, modules), 2), counts),
    )
    for values in (found.photocurrent, found.shunt, found.breakdown, found.light, found.warmer_K):
        values.setflags(write=False)
    return found


def _normal(seed: int, stream: int, places: Words) -> Floats:
    """A standard normal number for each place, cut off at _FARTHEST."""
    return np.clip(normal(seed, stream, places), -_FARTHEST, _FARTHEST)
