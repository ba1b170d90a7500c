"""What the solver found, as the drawing shows it: plain values that often change."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.roof.cells_payload import cells_payload, diode_places, focus_module, ranges_of
from pvsim.app.roof.colours import cell_values, scale_of, settled_unit
from pvsim.app.roof.marks import faults_of, painted_of, shadow_of
from pvsim.array.index import ArrayIndex, array_index
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.reading.eating import eating_cells

__all__ = ["light_alone", "state_payload"]


def state_payload(
    scenario: Scenario,
    solution: ArraySolution,
    *,
    quantity: str,
    level: str,
    focus: Place,
    full_W_m2: np.ndarray | None = None,
) -> dict[str, Any]:
    """What the solver found, as the drawing shows it.

    Parameters
    ----------
    quantity : "irradiance", "voltage", "power" or "temperature"
        What the cells are coloured by.
    level : str
        Level of zoom; cells of a large array are sent only where it looks closely.
    focus : Place
    full_W_m2 : (cells,) or None
        Light that a cell has in full where the scenario's own is not shown.

    Returns
    -------
    dict
        `scale`; `cells` with ranges, values (int16 times `quantum`, base64) and flags; module,
        string and tracker figures; conducting diodes; faults, paint and shadows; `detail`,
        the currents and diodes of the module in focus.
    """
    index = array_index(scenario)
    values = cell_values(solution, quantity)
    module = focus_module(index, focus)
    ranges = ranges_of(index, level, module)
    on, back = np.flatnonzero(solution.diodes.conducting), np.flatnonzero(solution.diodes.backward)
    places = diode_places(index)
    out: dict[str, Any] = {
        "scale": scale_of(quantity, values) | settled_unit(scenario, quantity),
        "cells": cells_payload(scenario, solution, index, values, ranges, full_W_m2),
        "modules": {
            "value": _means(values, index),
            "power": _numbers(solution.modules.power_W),
            "voltage": _numbers(solution.modules.voltage_V),
            "eats": _any(eating_cells(solution), index),
        },
        "strings": {
            "current": _numbers(solution.strings.current_A),
            "voltage": _numbers(solution.strings.voltage_V),
            "power": _numbers(solution.strings.power_W),
        },
        "trackers": [[_round(one.point.voltage_V), _round(one.point.power_W)] for one in solution.trackers],
        "diodes": {
            "on": places[on].tolist(),
            "current": _numbers(np.asarray(solution.diodes.current_A)[on]),
            "back": places[back].tolist(),
            "back_current": _numbers(-np.asarray(solution.diodes.current_A)[back]),
        },
        "painted": painted_of(scenario, index),
        "faults": faults_of(scenario, index),
        "shadows": [shadow_of(one) for one in scenario.light.shadows],
    }
    if level in ("module", "substring", "cell"):
        out["detail"] = _detail(solution, index, module)
    return out


def light_alone(payload: dict[str, Any]) -> dict[str, Any]:
    """The entries of a `state_payload` that tell what the solver found, without a figure in them."""
    blank = {name: [None] * len(payload["strings"][name]) for name in payload["strings"]}
    modules = payload["modules"]
    modules = modules | {name: [None] * len(modules[name]) for name in ("power", "voltage")}
    return {
        "modules": modules,
        "strings": blank,
        "trackers": [[None, None] for _one in payload["trackers"]],
        "detail": None,
    }


def _detail(solution: ArraySolution, index: ArrayIndex, module: int) -> dict[str, Any]:
    cells = slice(int(index.cell_start[module]), int(index.cell_start[module + 1]))
    diodes = slice(int(index.diode_start[module]), int(index.diode_start[module + 1]))
    bypass = solution.diodes
    return {
        "module": module,
        "current": _numbers(solution.cells.current_A[cells]),
        "diodes": index.kinds[int(index.module_kind[module])].diode_substring.tolist(),
        "diode_voltage": _numbers(bypass.voltage_V[diodes]),
        "diode_current": _numbers(bypass.current_A[diodes]),
    }


def _means(values: np.ndarray, index: ArrayIndex) -> list[float]:
    counts = np.diff(index.cell_start)
    return _numbers(np.add.reduceat(values, index.cell_start[:-1]) / counts)


def _any(marked: np.ndarray, index: ArrayIndex) -> list[int]:
    """Modules with at least one cell so marked."""
    return np.flatnonzero(np.add.reduceat(marked.astype(np.intp), index.cell_start[:-1])).tolist()


def _numbers(values: Any) -> list[float]:
    return np.round(np.asarray(values, dtype=float), 5).tolist()


def _round(value: float) -> float:
    return round(float(value), 5)
