"""The cells as the drawing gets them: which are sent, their values and flags in bytes."""

from __future__ import annotations

import base64
from typing import Any

import numpy as np

from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.shading import unshaded_irradiance
from pvsim.array.solution import ArraySolution
from pvsim.reading.eating import eating_cells

__all__ = [
    "BYPASSED",
    "EATS",
    "MANY_CELLS",
    "SHADED",
    "cells_payload",
    "diode_places",
    "focus_module",
    "ranges_of",
]

MANY_CELLS = 4000  # beyond this a module is one tile until somebody goes near
DIMMED = 0.995  # of its light without shade

EATS, BYPASSED, SHADED = 1, 2, 4  # bits of a cell's flags

_bounds: IdentityMemo[tuple[np.ndarray, np.ndarray]] = IdentityMemo(16)
_diode_places: IdentityMemo[np.ndarray] = IdentityMemo(16)


def focus_module(index: ArrayIndex, focus: Place) -> int:
    """The module that holds the focus, or the first one of its string, in the flat order."""
    string = min((focus.string or 1) - 1, len(index.strings) - 1)
    first, last = int(index.string_start[string]), int(index.string_start[string + 1])
    return min(first + (focus.module or 1) - 1, last - 1)


def ranges_of(index: ArrayIndex, level: str, module: int) -> list[slice]:
    """Which cells are sent: all of a small array, those of the string or module looked at in a large one."""
    total = int(index.cell_start[-1])
    if total <= MANY_CELLS:
        return [slice(0, total)]
    if level == "array":
        return []
    string = int(index.module_string[module])
    first, last = int(index.string_start[string]), int(index.string_start[string + 1])
    start, stop = int(index.cell_start[first]), int(index.cell_start[last])
    if stop - start > MANY_CELLS:
        start, stop = int(index.cell_start[module]), int(index.cell_start[module + 1])
    return [slice(start, stop)]


def cells_payload(
    scenario: Scenario,
    solution: ArraySolution,
    index: ArrayIndex,
    values: np.ndarray,
    ranges: list[slice],
    full_W_m2: np.ndarray | None = None,
) -> dict[str, Any]:
    """Values and flags of the cells in some ranges: int16 times `quantum` and uint8, both in base64."""
    reach = max(float(np.abs(values).max(initial=0.0)), 1e-6)
    quantum = reach / 32_000.0
    flags = _flags(solution, index, unshaded_irradiance(scenario) if full_W_m2 is None else full_W_m2)
    chosen = np.concatenate([values[one] for one in ranges]) if ranges else values[:0]
    marked = np.concatenate([flags[one] for one in ranges]) if ranges else flags[:0]
    return {
        "ranges": [[one.start, one.stop - one.start] for one in ranges],
        "values": _base64(np.rint(chosen / quantum).astype("<i2")),
        "quantum": quantum,
        "flags": _base64(marked),
    }


def _flags(solution: ArraySolution, index: ArrayIndex, full: np.ndarray) -> np.ndarray:
    cells = solution.cells
    flags = np.where(eating_cells(solution), EATS, 0).astype(np.uint8)
    bypassed = np.flatnonzero(solution.diodes.conducting)
    places = diode_places(index)[bypassed]
    starts, stops = _substring_bounds(index)
    for place in places.tolist():
        flags[starts[place] : stops[place]] |= BYPASSED
    flags[np.asarray(cells.irradiance_W_m2) < DIMMED * full] |= SHADED
    return flags


def _substring_bounds(index: ArrayIndex) -> tuple[np.ndarray, np.ndarray]:
    """First cell and the one after the last of every substring of the array."""
    return _bounds.get((index,), lambda: _make_bounds(index))


def _make_bounds(index: ArrayIndex) -> tuple[np.ndarray, np.ndarray]:
    starts = [
        start + index.kinds[kind].substring_start
        for start, kind in zip(index.cell_start[:-1].tolist(), index.module_kind.tolist(), strict=True)
    ]
    return np.concatenate([one[:-1] for one in starts]), np.concatenate([one[1:] for one in starts])


def diode_places(index: ArrayIndex) -> np.ndarray:
    """The substring, counted over the whole array, that each bypass diode spans."""
    return _diode_places.get((index,), lambda: _make_diode_places(index))


def _make_diode_places(index: ArrayIndex) -> np.ndarray:
    starts, kinds = index.substring_start[:-1].tolist(), index.module_kind.tolist()
    places = [start + index.kinds[kind].diode_substring for start, kind in zip(starts, kinds, strict=True)]
    return np.concatenate(places).astype(np.intp)


def _base64(values: np.ndarray) -> str:
    return base64.b64encode(values.tobytes()).decode("ascii")
