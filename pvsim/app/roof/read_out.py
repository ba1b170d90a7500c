"""The line under the drawing: what the part in focus does, in figures."""

from __future__ import annotations

import numpy as np

from pvsim.app.words import _, mark, ngettext
from pvsim.array.heat import HOT_K, ZERO_CELSIUS_K
from pvsim.array.place import Place, format_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import PowerPoint
from pvsim.course.number.units import UNITS, write_range
from pvsim.errors import ScenarioError
from pvsim.numbers import format_number
from pvsim.reading.diodes import conducting_diodes
from pvsim.reading.eating import eating_cells
from pvsim.reading.terminals import point_of

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
        return [_n(solution.power_W, "W"), *_counts(solution, place)]
    point = point_of(solution, place)
    assert point is not None  # only the whole array may have no single point
    told = _electrical(point)
    if level == "module":
        return [*told, *_counts(solution, place)]
    if level == "diode":
        return [*_diode_state(solution, place), *told]
    if level == "cell":
        at = solution.cell_index(place)
        light = float(solution.cells.irradiance_W_m2[at])
        return [_n(light, "W/m²"), *told, _warmth(solution, at)]
    return told


def _warmth(solution: ArraySolution, at: int) -> str:
    """How warm a cell is and gets; a range from where the model leaves one open."""
    cells = solution.cells
    in_circuit = float(cells.temperature_K[at]) - ZERO_CELSIUS_K
    settled = float(cells.steady_temperature_K[at]) - ZERO_CELSIUS_K
    told = _n(settled, "°C")
    if settled + ZERO_CELSIUS_K >= HOT_K:
        least, most = (float(end[at]) - ZERO_CELSIUS_K for end in (cells.steady_least_K, cells.steady_most_K))
        told = write_range(least, most, UNITS["degC"])
    if abs(settled - in_circuit) >= 1.0:
        told = _("{given} given, settles at {settled}").format(given=_n(in_circuit, "°C"), settled=told)
    return told


def _diode_state(solution: ArraySolution, place: Place) -> list[str]:
    """What is wrong with a bypass diode, and what it does; an open one neither conducts nor blocks."""
    at = solution.diode_index(place)
    kinds = [one.kind for one in solution.scenario.faults if one.place == place]
    found = [_(BROKEN[kind]) for kind in kinds if kind in BROKEN]
    if "diode-open" in kinds:
        return found
    if solution.diodes.backward[at]:
        return [*found, _("lets current run back")]
    return [*found, _("conducts") if solution.diodes.conducting[at] else _("blocks")]


def _electrical(point: PowerPoint) -> list[str]:
    """Voltage, current and power; beside a factor that is written 0 the power is 0 too."""
    none = min(abs(point.voltage_V), abs(point.current_A)) < LEAST_SHOWN
    power_W = 0.0 if none else point.power_W
    return [_n(point.voltage_V, "V"), _n(point.current_A, "A"), _n(power_W, "W")]


def _counts(solution: ArraySolution, place: Place) -> list[str]:
    on = len(conducting_diodes(solution, place))
    eating = int(np.count_nonzero(eating_cells(solution)[solution.cell_slice(place)]))
    out = []
    if on:
        out.append(ngettext("{count} diode conducts", "{count} diodes conduct", on).format(count=on))
    if eating:
        text = ngettext("{count} cell eats power", "{count} cells eat power", eating)
        out.append(text.format(count=eating))
    return out


def _n(value: float, unit: str) -> str:
    return format_number(0.0 if abs(value) < LEAST_SHOWN else value, unit, digits=3)
