"""What else is not known where readings are compared: light, warmth, modules, and how neighbours differ."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from pvsim.array.checks import finite
from pvsim.array.solution import ArraySolution
from pvsim.field.kit import BACK_SENSOR, IRRADIANCE_SENSOR
from pvsim.field.meter import budget_of
from pvsim.field.probe import Probe, true_value

__all__ = ["FOLLOWS", "USUAL_DOUBT", "Doubt", "apart", "prediction_uncertainty"]

# How much of a quantity goes with light and with a kelvin. S. R. Wenham, M. A. Green, M. E. Watt, R. Corkish,
# Applied Photovoltaics, eqs 3.10-3.13: Isc +0.0006, Voc -0.003, power -0.004 to -0.005 of itself per kelvin.
# Voltage follows light by its logarithm alone: n Vt / Voc, some 0.05 of the light's share.
FOLLOWS = {
    "voltage": (0.05, 0.003),
    "open-voltage": (0.05, 0.003),
    "display-voltage": (0.05, 0.003),
    "current": (1.0, 0.0006),
    "display-current": (1.0, 0.0006),
    "power": (1.0, 0.0045),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What else is not known where readings are compared. Common practice, no source.

    Parameters
    ----------
    module_percent : float
        Plus or minus, of what modules give beside their labels.
    neighbour_percent : float
        Standard deviation of the difference between two sound strings alike, light included.
    warmth_K : float
        Standard deviation of how warm a module is, beside its neighbour or what is reckoned.
    insulation_percent : float
        Standard deviation of the insulation of sound modules, beside the same.
    """

    module_percent: float = 3.0
    neighbour_percent: float = 1.0
    warmth_K: float = 1.5
    insulation_percent: float = 30.0

    def __post_init__(self) -> None:
        for name in ("module_percent", "neighbour_percent", "warmth_K", "insulation_percent"):
            finite(self, name, least=0.0, most=100.0)


USUAL_DOUBT = Doubt()


def prediction_uncertainty(should_be: ArraySolution, probe: Probe, *, doubt: Doubt = USUAL_DOUBT) -> float:
    """Standard uncertainty of what is reckoned for a reading, in its unit.

    Light and warmth are read with the kit's sensors, and modules give what their labels say as well as
    `doubt` has it. Light itself is taken as told by a second sensor like the first.
    """
    if probe.what == "irradiance":
        return budget_of(IRRADIANCE_SENSOR, true_value(should_be, probe)).combined
    if probe.what not in FOLLOWS:
        return apart(probe, abs(true_value(should_be, probe)), doubt)
    by_light, per_K = FOLLOWS[probe.what]
    light_W_m2 = should_be.scenario.light.irradiance_W_m2
    if light_W_m2 == 0.0:
        return 0.0
    share = budget_of(IRRADIANCE_SENSOR, light_W_m2).combined / light_W_m2
    warmth_K = budget_of(BACK_SENSOR, 25.0).combined
    modules = doubt.module_percent / 100.0 / sqrt(3.0)
    return abs(true_value(should_be, probe)) * hypot(by_light * share, per_K * warmth_K, modules)


def apart(probe: Probe, size: float, doubt: Doubt) -> float:
    """How far sound neighbours lie apart in what is measured; a standard deviation in its unit."""
    if probe.what == "back":
        return doubt.warmth_K
    percent = doubt.insulation_percent if probe.what == "insulation" else doubt.neighbour_percent
    return percent / 100.0 * size
