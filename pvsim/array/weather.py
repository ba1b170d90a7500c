"""Weather and heat: what sets the cells' temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.checks import finite, one_of

Heat = Literal["fixed", "steady", "feedback"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """What sets the cells' temperature.

    Parameters
    ----------
    cell_temperature_C : float
        Of every cell, when heat is "fixed".
    ambient_temperature_C, wind_m_s : float
        Air and wind, when heat is "steady" or "feedback".
    heat : "fixed", "steady" or "feedback"
        "fixed": every cell at `cell_temperature_C`. "steady": each cell as warm as its light
        makes it. "feedback": the power each cell delivers or eats counts as well, solved
        again until temperatures settle.
    """

    cell_temperature_C: float = 25.0
    ambient_temperature_C: float = 20.0
    wind_m_s: float = 1.0
    heat: Heat = "fixed"

    def __post_init__(self) -> None:
        finite(self, "cell_temperature_C", least=-60.0, most=150.0)
        finite(self, "ambient_temperature_C", least=-60.0, most=70.0)
        finite(self, "wind_m_s", least=0.0, most=60.0)
        one_of(self, "heat", get_args(Heat))
