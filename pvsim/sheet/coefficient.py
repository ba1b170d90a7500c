"""A temperature coefficient with the unit it has on the paper, and the same in other units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pvsim.sheet.checks import number, word

Unit = Literal["%/K", "mA/K", "A/K", "mV/K", "V/K", "W/K"]

# The units each coefficient may have, as its key in a file ends, and how many of the absolute unit one is.
CURRENT_UNITS: dict[str, Unit] = {"percent_per_K": "%/K", "mA_per_K": "mA/K", "A_per_K": "A/K"}
VOLTAGE_UNITS: dict[str, Unit] = {"percent_per_K": "%/K", "mV_per_K": "mV/K", "V_per_K": "V/K"}
POWER_UNITS: dict[str, Unit] = {"percent_per_K": "%/K", "W_per_K": "W/K"}
UNITS: dict[str, dict[str, Unit]] = {"alpha": CURRENT_UNITS, "beta": VOLTAGE_UNITS, "gamma": POWER_UNITS}
_SCALE = {"mA/K": 1e-3, "A/K": 1.0, "mV/K": 1e-3, "V/K": 1.0, "W/K": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficient:
    """A temperature coefficient as it stands on the paper.

    Parameters
    ----------
    value : float
        With its sign, of the whole module.
    unit : str
        "%/K", "mA/K", "A/K", "mV/K", "V/K" or "W/K". A degree Celsius is as large as a kelvin, so that
        %/°C is %/K.

    Raises
    ------
    SheetError
        If the value is not finite, or the unit is none of these.
    """

    value: float
    unit: Unit

    def __post_init__(self) -> None:
        word(self, "unit", ("%/K", *_SCALE))
        number(self, "value", least=-1e4, most=1e4, unit=self.unit)


def relative_per_K(coefficient: Coefficient, rated: float) -> float:
    """The coefficient as a share a kelvin of the rated value (in A, V or W)."""
    if coefficient.unit == "%/K":
        return coefficient.value / 100.0
    return coefficient.value * _SCALE[coefficient.unit] / rated


def absolute_per_K(coefficient: Coefficient, rated: float) -> float:
    """The coefficient in A, V or W a kelvin."""
    return relative_per_K(coefficient, rated) * rated


def in_unit_of(coefficient: Coefficient, share_per_K: float, rated: float) -> float:
    """A share a kelvin in the unit that the coefficient has."""
    if coefficient.unit == "%/K":
        return 100.0 * share_per_K
    return share_per_K * rated / _SCALE[coefficient.unit]
