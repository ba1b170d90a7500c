"""Bypass and blocking diodes: Shockley's law, a series resistance and a condition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.circuit import limits
from pvsim.circuit.checks import one_of, within

DiodeCondition = Literal["good", "open", "short", "reversed", "resistive"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode:
    """A diode that points along the generator current.

    One orientation serves both uses: across a substring it is the bypass diode
    (conducts when the substring's voltage is negative), in series with a string it is
    the blocking diode (its voltage is minus its forward drop).

    Parameters
    ----------
    saturation_current_A, ideality : float
        Is and n at 25 degrees C.
    series_resistance_ohm : float
        Rd.
    leakage_resistance_ohm : float
        Ohmic leakage in parallel with the junction.
    temperature_K : float
        Junction temperature.
    barrier_eV : float
        Barrier height that sets how Is rises with temperature.
    condition : "good", "open", "short", "reversed" or "resistive"
        A resistive diode has a burnt contact, `contact_resistance_ohm`, in series.
    contact_resistance_ohm : float
        Counts only when the condition is "resistive".

    Raises
    ------
    CircuitError
        If a value is not finite or outside its range.

    Notes
    -----
    I = Is (exp(u / (n Vt)) - 1) + u / Rleak, V = -(u + I Rd).
    Source: W. Shockley, Bell Syst. Tech. J. 28 (1949) 435.
    """

    saturation_current_A: float
    ideality: float = 1.05
    series_resistance_ohm: float = 0.0
    leakage_resistance_ohm: float = 1e6
    temperature_K: float = 298.15
    barrier_eV: float = 0.7
    condition: DiodeCondition = "good"
    contact_resistance_ohm: float = 0.0

    def __post_init__(self) -> None:
        within(self, limits.DIODE)
        one_of(self, "condition", get_args(DiodeCondition))
