"""What the drawing shows, as plain values: a scene that seldom changes, and its state that often does."""

from __future__ import annotations

import base64
from typing import Any

import numpy as np

from pvsim.app.roof.shape import module_shape
from pvsim.app.words import _
from pvsim.array.index import ArrayIndex, array_index, built_cells
from pvsim.array.layout import roof_of
from pvsim.array.outline import DROPPING, LEAF
from pvsim.array.place import Place, format_place, level_of
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.reading.eating import eating_cells

__all__ = ["MANY_CELLS", "light_alone", "scale_of", "scene_payload", "state_payload"]

MANY_CELLS = 4000  # beyond this a module is one tile until somebody goes near
DIMMED = 0.995  # of the string's full light

EATS, BYPASSED, SHADED = 1, 2, 4  # bits of a cell's flags

_STEPS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)
_UNITS = {"irradiance": "W/m²", "voltage": "V", "power": "W", "temperature": "°C"}


def scene_payload(scenario: Scenario) -> dict[str, Any]:
    """The roof with its modules: what stays while things are shaded or broken.

    Parameters
    ----------
    scenario : Scenario

    Returns
    -------
    dict
        `shapes`, one for each way a module type lies; `modules`, each (string, module, left mm,
        top mm, shape, row); `strings` with fuse and blocking diode; tracking, wiring; `outlines`
        of shadows with a shape of their own, in a square of side 1.
    """
    roof = roof_of(scenario)
    index = roof.index
    shapes: list[dict[str, Any]] = []
    numbers: dict[tuple[int, int], int] = {}
    modules = []
    columns = (index.module_string, index.module_number, index.module_kind, roof.turn_deg, roof.row)
    rows = zip(*(column.tolist() for column in columns), roof.rectangle.tolist(), strict=True)
    for string, number, kind, turn, row, (left, top, _right, _bottom) in rows:
        key = (kind, turn)
        if key not in numbers:
            numbers[key] = len(shapes)
            shapes.append(module_shape(index.kinds[kind].kind, turn))
        modules.append(
            [string + 1, number + 1, round(left * 1000, 1), round(top * 1000, 1), numbers[key], row]
        )
    array = scenario.array
    return {
        "shapes": shapes,
        "modules": modules,
        "strings": [{"fuse": one.fuse, "blocking": one.blocking_diode} for one in index.strings],
        "tracking": array.tracking,
        "wiring": array.wiring,
        "grounded": array.grounded,
        "outlines": {"leaf": _flat(LEAF), "dropping": _flat(DROPPING)},
        "whole": int(index.cell_start[-1]) <= MANY_CELLS,
    }


def state_payload(
    scenario: Scenario, solution: ArraySolution, *, quantity: str, level: str, focus: Place
) -> dict[str, Any]:
    """What the solver found, as the drawing shows it.

    Parameters
    ----------
    quantity : "irradiance", "voltage", "power" or "temperature"
        What the cells are coloured by.
    level : str
        Level of zoom; cells of a large array are sent only where it looks closely.
    focus : Place

    Returns
    -------
    dict
        `scale`; `cells` with ranges, values (int16 times `quantum`, base64) and flags; module,
        string and tracker figures; conducting diodes; faults, paint and shadows; `detail`,
        every figure of the module in focus.
    """
    index = array_index(scenario)
    values = cell_values(solution, quantity)
    module = focus_module(index, focus)
    ranges = _ranges(index, level, module)
    on, back = np.flatnonzero(solution.diodes.conducting), np.flatnonzero(solution.diodes.backward)
    places = _diode_places(index)
    out: dict[str, Any] = {
        "scale": scale_of(quantity, values) | _settled(scenario, quantity),
        "cells": _cells_payload(scenario, solution, index, values, ranges),
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
        "painted": _painted(scenario, index),
        "faults": _faults(scenario, index),
        "shadows": [_shadow(one) for one in scenario.light.shadows],
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


def cell_values(solution: ArraySolution, quantity: str) -> np.ndarray:
    """The chosen quantity of every cell, in the unit shown."""
    cells = solution.cells
    if quantity == "irradiance":
        return np.asarray(cells.irradiance_W_m2)
    if quantity == "voltage":
        return np.asarray(cells.voltage_V)
    if quantity == "power":
        return np.asarray(cells.power_W)
    if quantity == "temperature":
        return np.asarray(cells.steady_temperature_K) - 273.15
    raise ScenarioError(
        f"the cells cannot show {quantity!r}", expected=", ".join(_UNITS), mend="Choose one of these"
    )


def scale_of(quantity: str, values: np.ndarray) -> dict[str, Any]:
    """The colour scale for these values: rounded ends, so that it stays while little changes.

    Returns
    -------
    dict
        kind ("glass", "signed" or "heat"), low, high, unit and ticks.
    """
    least, most = float(values.min()), float(values.max())
    if quantity == "irradiance":
        high = max(1000.0, float(np.ceil(most / 200.0)) * 200.0)
        low, kind = 0.0, "glass"
        ticks = [0.0, high / 2, high]
    elif quantity == "temperature":
        low = 10.0 * np.floor(least / 10.0)
        high = max(low + 40.0, 10.0 * np.ceil(most / 10.0))
        kind, ticks = "heat", [low, (low + high) / 2, high]
    else:
        kind = "signed"
        high = 0.8 if quantity == "voltage" and most <= 0.8 else _round_up(most, 1.0)
        low = -_round_up(-least, high if quantity == "power" else 1.0)
        ticks = [low, 0.0, high]
    return {"kind": kind, "low": low, "high": high, "unit": _UNITS[quantity], "ticks": ticks}


def _settled(scenario: Scenario, quantity: str) -> dict[str, str]:
    """What the temperatures are that are not those the curves are solved with."""
    if quantity == "temperature" and scenario.weather.heat == "fixed":
        return {"unit": _("°C when settled")}
    return {}


def focus_module(index: ArrayIndex, focus: Place) -> int:
    """The module that holds the focus, or the first one of its string, in the flat order."""
    string = min((focus.string or 1) - 1, len(index.strings) - 1)
    first, last = int(index.string_start[string]), int(index.string_start[string + 1])
    return min(first + (focus.module or 1) - 1, last - 1)


def _cells_payload(
    scenario: Scenario, solution: ArraySolution, index: ArrayIndex, values: np.ndarray, ranges: list[slice]
) -> dict[str, Any]:
    reach = max(float(np.abs(values).max(initial=0.0)), 1e-6)
    quantum = reach / 32_000.0
    flags = _flags(scenario, solution, index)
    chosen = np.concatenate([values[one] for one in ranges]) if ranges else values[:0]
    marked = np.concatenate([flags[one] for one in ranges]) if ranges else flags[:0]
    return {
        "ranges": [[one.start, one.stop - one.start] for one in ranges],
        "values": _base64(np.rint(chosen / quantum).astype("<i2")),
        "quantum": quantum,
        "flags": _base64(marked),
    }


def _flags(scenario: Scenario, solution: ArraySolution, index: ArrayIndex) -> np.ndarray:
    cells = solution.cells
    flags = np.where(eating_cells(solution), EATS, 0).astype(np.uint8)
    bypassed = np.flatnonzero(solution.diodes.conducting)
    places = _diode_places(index)[bypassed]
    starts, stops = _substring_bounds(index)
    for place in places.tolist():
        flags[starts[place] : stops[place]] |= BYPASSED
    full = np.full(len(flags), scenario.light.irradiance_W_m2)
    for number, string in enumerate(index.strings):
        if string.irradiance_factor != 1.0:
            modules = slice(int(index.string_start[number]), int(index.string_start[number + 1]))
            full[index.cell_start[modules.start] : index.cell_start[modules.stop]] *= string.irradiance_factor
    flags[np.asarray(cells.irradiance_W_m2) < DIMMED * full] |= SHADED
    return flags


def _ranges(index: ArrayIndex, level: str, module: int) -> list[slice]:
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


def _substring_bounds(index: ArrayIndex) -> tuple[np.ndarray, np.ndarray]:
    """First cell and the one after the last of every substring of the array."""
    starts = [
        start + index.kinds[kind].substring_start
        for start, kind in zip(index.cell_start[:-1].tolist(), index.module_kind.tolist(), strict=True)
    ]
    return np.concatenate([one[:-1] for one in starts]), np.concatenate([one[1:] for one in starts])


def _diode_places(index: ArrayIndex) -> np.ndarray:
    """The substring, counted over the whole array, that each bypass diode spans."""
    starts, kinds = index.substring_start[:-1].tolist(), index.module_kind.tolist()
    places = [start + index.kinds[kind].diode_substring for start, kind in zip(starts, kinds, strict=True)]
    return np.concatenate(places).astype(np.intp)


def _painted(scenario: Scenario, index: ArrayIndex) -> list[list[float]]:
    """Paint, layer by layer: first cell, how many, and transmission."""
    out = []
    for one in scenario.light.painted:
        cells = built_cells(index, one.place)
        if cells is not None:
            out.append([cells.start, cells.stop - cells.start, one.transmission])
    return out


def _faults(scenario: Scenario, index: ArrayIndex) -> dict[str, list[list[Any]]]:
    """Faults by the level of their place: (index, or place in words, kind, size)."""
    out: dict[str, list[list[Any]]] = {
        "cell": [], "diode": [], "substring": [], "module": [], "string": [], "other": []
    }  # fmt: skip
    for fault in scenario.faults:
        place = fault.place
        level = level_of(place)
        if fault.kind in ("earth-fault", "string-bridge") or level == "array" or not _built(index, place):
            out["other"].append([format_place(place), fault.kind, fault.size])
            continue
        if level == "substring":
            out["substring"].append([format_place(place), fault.kind, fault.size])
            continue
        if level == "string":
            at = (place.string or 1) - 1
        else:
            module = int(index.string_start[(place.string or 1) - 1]) + (place.module or 1) - 1
            at = module
            if level == "cell":
                at = int(index.cell_start[module]) + (place.cell or 1) - 1
            elif level == "diode":
                at = int(index.substring_start[module]) + (place.diode or 1) - 1
        out[level].append([at, fault.kind, fault.size])
    return out


def _built(index: ArrayIndex, place: Place) -> bool:
    """Whether the place exists in the array as built: a string may have been left shorter."""
    return place.module is None or place.module <= len(index.strings[(place.string or 1) - 1].modules)


def _shadow(shadow: Any) -> dict[str, Any]:
    return {
        "kind": shadow.kind,
        "x": shadow.x_m,
        "y": shadow.y_m,
        "width": shadow.width_m,
        "height": shadow.height_m,
        "angle": shadow.angle_deg,
        "through": shadow.transmission,
        "name": shadow.name,
    }


def _detail(solution: ArraySolution, index: ArrayIndex, module: int) -> dict[str, Any]:
    cells = slice(int(index.cell_start[module]), int(index.cell_start[module + 1]))
    diodes = slice(int(index.diode_start[module]), int(index.diode_start[module + 1]))
    found, bypass = solution.cells, solution.diodes
    return {
        "module": module,
        "voltage": _numbers(found.voltage_V[cells]),
        "current": _numbers(found.current_A[cells]),
        "power": _numbers(found.power_W[cells]),
        "irradiance": _numbers(found.irradiance_W_m2[cells]),
        "temperature": _numbers(np.asarray(found.steady_temperature_K[cells]) - 273.15),
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


def _round_up(value: float, least: float) -> float:
    """The next of 1, 1.5, 2, 3, 4, 5, 6, 8, 10, ... that is not below the value, nor below `least`."""
    value = max(value, least)
    power = 10.0 ** np.floor(np.log10(value))
    found = next((step * power for step in _STEPS if step * power >= value * (1 - 1e-9)), 10.0 * power)
    return float(np.round(found, 6))


def _flat(points: np.ndarray) -> list[float]:
    return np.round(points, 4).ravel().tolist()


def _base64(values: np.ndarray) -> str:
    return base64.b64encode(values.tobytes()).decode("ascii")
