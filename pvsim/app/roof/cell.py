"""One cell as a circuit: what flows through its source, junction, shunt and series resistance."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from pvsim.app.words import _
from pvsim.array.build import part_circuit
from pvsim.array.place import Place, describe_place
from pvsim.array.solution import ArraySolution
from pvsim.circuit.cell import Cell
from pvsim.circuit.leaf import Junction, leaf_of
from pvsim.numbers import format_number
from pvsim.reading.eating import eating_cells

__all__ = ["cell_circuit"]

LARGEST_EXPONENT = 500.0  # as the solver's law has it
SHOWN_BREAKDOWN_A = 1e-3


def cell_circuit(solution: ArraySolution, place: Place) -> dict[str, Any]:
    """The equivalent circuit of one cell at its operating point.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        A cell.

    Returns
    -------
    dict
        Branch currents in A (`source`, `diode`, `second_diode`, `shunt`, `breakdown`,
        `added_shunt`; None for a branch the cell does not have), resistances in ohm, the cell's
        `voltage`, `current`, `power` and `junction` voltage, its `condition`, what it `does` with
        power ("gives", "eats" or "idles"), and texts. Their
        sum is the cell's current: source - diode - second_diode - shunt - breakdown - added_shunt.

    Notes
    -----
    Source of the law: J. W. Bishop, Solar Cells 25 (1988) 73-89.
    """
    cell = part_circuit(solution.scenario, place, solution.built)
    assert isinstance(cell, Cell)
    at = solution.cell_index(place)
    voltage, current = float(solution.cells.voltage_V[at]), float(solution.cells.current_A[at])
    leaf = leaf_of(cell)
    law: Junction | None = leaf.junction if cell.condition == "good" else None
    out: dict[str, Any] = {
        "voltage": voltage,
        "current": current,
        "power": float(solution.cells.power_W[at]),
        "condition": cell.condition,
        "series": cell.type.series_resistance_ohm / cell.active_fraction,
        "added_series": cell.extra_series_resistance_ohm,
        "shunt_ohm": cell.type.shunt_resistance_ohm / cell.active_fraction,
        "added_shunt_ohm": cell.parallel_resistance_ohm if isfinite(cell.parallel_resistance_ohm) else None,
        "second_diode": None,
        "breakdown": None,
        "added_shunt": None,
    }
    if law is None:
        out |= {"junction": 0.0, "source": 0.0, "diode": 0.0, "shunt": 0.0}
    else:
        v = float(solution.cells.junction_V[at])
        added = 1.0 / cell.parallel_resistance_ohm
        out |= {
            "junction": v,
            "source": leaf.source_A,
            "diode": _exponential(law.saturation_current_A, v, law.thermal_V),
            "shunt": v * (law.conductance_S - added),
        }
        if law.conductance_S > added:
            out["shunt_ohm"] = 1.0 / (law.conductance_S - added)
        if law.second_saturation_current_A > 0.0:
            out["second_diode"] = _exponential(law.second_saturation_current_A, v, law.second_thermal_V)
        if law.breakdown_conductance_S > 0.0:
            room = max(1.0 - v / law.breakdown_voltage_V, 1e-9)
            reverse = v * law.breakdown_conductance_S * room**-law.breakdown_exponent
            if v < 0.0 and abs(reverse) > SHOWN_BREAKDOWN_A:
                out["breakdown"] = reverse
            else:
                out["shunt"] += reverse
        if out["added_shunt_ohm"] is not None:
            out["added_shunt"] = v * added
    return out | _texts(solution, place, at, out)


def _exponential(saturation_A: float, v: float, thermal_V: float) -> float:
    return float(saturation_A * np.expm1(min(v / thermal_V, LARGEST_EXPONENT)))


def _texts(solution: ArraySolution, place: Place, at: int, found: dict[str, Any]) -> dict[str, str]:
    light = format_number(float(solution.cells.irradiance_W_m2[at]), "W/m²", digits=3)
    warm = format_number(float(solution.cells.temperature_K[at]) - 273.15, "°C", digits=3)
    power = format_number(abs(found["power"]), "W", digits=3)
    does = "eats" if eating_cells(solution)[at] else "gives" if found["power"] >= 0.0 else "idles"
    said = {"gives": _("gives {power}"), "eats": _("eats {power}"), "idles": _("idles")}[does]
    return {
        "does": does,
        "title": _("Cell {number}").format(number=place.cell),
        "light": f"{light} · {warm}",
        "summary": _("Circuit of {place}: {voltage}, {current}, {does}").format(
            place=describe_place(place),
            voltage=format_number(found["voltage"], "V", digits=3),
            current=format_number(found["current"], "A", digits=3),
            does=said.format(power=power),
        ),
    }
