"""What the cells of the drawing are coloured by: the quantity of each, and the scale for it."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.words import _
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.numbers import unit_symbol

__all__ = ["cell_values", "scale_of", "settled_unit"]

_STEPS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)
_UNITS = {"irradiance": "W_m2", "voltage": "V", "power": "W", "temperature": "C"}


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
    return {"kind": kind, "low": low, "high": high, "unit": unit_symbol(_UNITS[quantity]), "ticks": ticks}


def settled_unit(scenario: Scenario, quantity: str) -> dict[str, str]:
    """What the temperatures are that are not those the curves are solved with."""
    if quantity == "temperature" and scenario.weather.heat == "fixed":
        return {"unit": _("°C when settled")}
    return {}


def _round_up(value: float, least: float) -> float:
    """The next of 1, 1.5, 2, 3, 4, 5, 6, 8, 10, ... that is not below the value, nor below `least`."""
    value = max(value, least)
    power = 10.0 ** np.floor(np.log10(value))
    found = next((step * power for step in _STEPS if step * power >= value * (1 - 1e-9)), 10.0 * power)
    return float(np.round(found, 6))
