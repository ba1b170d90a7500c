"""The line under the drawing: what the part in focus does, in figures."""

from __future__ import annotations

import numpy as np

from pvsim.app.numbers import format_number
from pvsim.app.words import _, mark, ngettext
from pvsim.array.heat import HOT_K, ZERO_CELSIUS_K
from pvsim.array.place import Place, format_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.course.units import UNITS, write_range
from pvsim.errors import ScenarioError

__all__ = ["reading"]

LEAST_SHOWN = 5e-4  # in V, A or W; less is written 0

NAMES = {
    "array": mark("Array"),
    "string": mark("String {place}"),
    "module": mark("Module {place}"),
    "substring": mark("Substring {place}"),
    "cell": mark("Cell {place}"),
    "diode": mark("Diode {place}"),
}

BROKEN = {
    "diode-open": mark("open"),
    "diode-short": mark("short-circuited"),
    "diode-reversed": mark("reversed"),
    "diode-resistive": mark("burnt contact"),
}


def reading(solution: ArraySolution, place: Place) -> str:
    """Figures of one part: voltage, current, power, and for a cell its light and temperature.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level; one that a fault has left out of the array is said to be missing.
    """
    name = _(NAMES[level_of(place)]).format(place=format_place(place))
    try:
        return " · ".join([name, *_figures(solution, place)])
    except ScenarioError:
        return _("{place} is not built").format(place=name)


def _figures(solution: ArraySolution, place: Place) -> list[str]:
    level = level_of(place)
    if level == "array":
        return [_n(solution.power_W, "W"), *_counts(solution, slice(None), slice(None))]
    if level == "string":
        at = (place.string or 1) - 1
        if at >= len(solution.strings.voltage_V):
            raise ScenarioError("no such string", expected="a string", mend="Choose another")
        return _electrical(solution.strings, at)
    if level == "module":
        at = solution.module_index(place)
        index = solution.index
        diodes = slice(int(index.diode_start[at]), int(index.diode_start[at + 1]))
        return [*_electrical(solution.modules, at), *_counts(solution, solution.cell_slice(place), diodes)]
    if level == "substring":
        return _electrical(solution.substrings, solution.substring_index(place))
    if level == "diode":
        at = solution.diode_index(place)
        return [*_diode_state(solution, place, at), *_electrical(solution.diodes, at)]
    at = solution.cell_index(place)
    cells = solution.cells
    in_circuit = float(cells.temperature_K[at]) - ZERO_CELSIUS_K
    settled = float(cells.steady_temperature_K[at]) - ZERO_CELSIUS_K
    told = _n(settled, "°C")
    if settled + ZERO_CELSIUS_K >= HOT_K:
        least, most = (float(end[at]) - ZERO_CELSIUS_K for end in (cells.steady_least_K, cells.steady_most_K))
        told = write_range(least, most, UNITS["degC"])
    if abs(settled - in_circuit) >= 1.0:
        told = _("{given} given, settles at {settled}").format(given=_n(in_circuit, "°C"), settled=told)
    return [_n(float(cells.irradiance_W_m2[at]), "W/m²"), *_electrical(cells, at), told]


def _diode_state(solution: ArraySolution, place: Place, at: int) -> list[str]:
    """What is wrong with a bypass diode, and what it does; an open one neither conducts nor blocks."""
    kinds = [one.kind for one in solution.scenario.faults if one.place == place]
    found = [_(BROKEN[kind]) for kind in kinds if kind in BROKEN]
    if "diode-open" in kinds:
        return found
    if solution.diodes.backward[at]:
        return [*found, _("lets current run back")]
    return [*found, _("conducts") if solution.diodes.conducting[at] else _("blocks")]


def _electrical(part: object, at: int) -> list[str]:
    voltage_V, current_A, power_W = (
        float(getattr(part, name)[at]) for name in ("voltage_V", "current_A", "power_W")
    )
    if min(abs(voltage_V), abs(current_A)) < LEAST_SHOWN:
        power_W = 0.0  # beside a factor that is written 0
    return [_n(voltage_V, "V"), _n(current_A, "A"), _n(power_W, "W")]


def _counts(solution: ArraySolution, cells: slice, diodes: slice) -> list[str]:
    on = int(np.count_nonzero(solution.diodes.conducting[diodes]))
    eating = int(np.count_nonzero(solution.cells.eating[cells]))
    out = []
    if on:
        out.append(ngettext("{count} diode conducts", "{count} diodes conduct", on).format(count=on))
    if eating:
        text = ngettext("{count} cell eats power", "{count} cells eat power", eating)
        out.append(text.format(count=eating))
    return out


def _n(value: float, unit: str) -> str:
    return format_number(0.0 if abs(value) < LEAST_SHOWN else value, unit, digits=3)
