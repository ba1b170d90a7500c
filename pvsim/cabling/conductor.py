"""Copper of a cable: its resistance cold and warm, the voltage it drops and the power it turns into heat."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.cabling.checks import number
from pvsim.errors import CablingError
from pvsim.numbers import short_number
from pvsim.prompt import summary
from pvsim.words import _

__all__ = [
    "CLASS_5_OHM_PER_KM",
    "Conductor",
    "cable_loss_W",
    "cable_resistance_ohm",
    "voltage_drop_V",
]

# Most resistance of class 5 (flexible) copper at 20 °C, in ohm/km: plain, tinned.
# Source: IEC 60228:2004 (ed. 3), table 3; read in two independent public tables, which agree.
CLASS_5_OHM_PER_KM = {2.5: (7.98, 8.21), 4.0: (4.95, 5.09), 6.0: (3.30, 3.39), 10.0: (1.91, 1.95)}
COLDEST_C, HOTTEST_C = -60.0, 150.0  # PV cable is made for -40 to 120 °C (EN 50618, from memory)
LONGEST_m = 1e6
MOST_A = 1e5


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """A flexible copper conductor, class 5 of IEC 60228.

    Parameters
    ----------
    section_mm2 : float
        Cross-section: 2.5, 4, 6 or 10.
    tinned : bool
        Coated with tin, as the conductor of a PV cable is; or plain.

    Raises
    ------
    CablingError
        If the cross-section is none of the four.
    """

    section_mm2: float = 4.0
    tinned: bool = True

    __repr__ = summary

    def __post_init__(self) -> None:
        if isinstance(self.section_mm2, bool) or self.section_mm2 not in CLASS_5_OHM_PER_KM:
            raise CablingError(
                _("section_mm2 is {value}").format(value=repr(self.section_mm2)[:80]),
                expected=_("one of {names}").format(names=", ".join(map(short_number, CLASS_5_OHM_PER_KM))),
                mend=_("Give the cross-section of the copper in mm2"),
            )
        if not isinstance(self.tinned, bool):
            raise CablingError(
                _("tinned is {value}").format(value=repr(self.tinned)[:80]),
                expected=_("true or false"),
                mend=_("Say true for the usual cable of a PV array"),
            )
        object.__setattr__(self, "section_mm2", float(self.section_mm2))


def cable_resistance_ohm(conductor: Conductor, length_m: float, *, temperature_C: float = 20.0) -> float:
    """Resistance of a length of cable.

    Parameters
    ----------
    conductor : Conductor
        Its copper.
    length_m : float
        Of conductor, in m: there and back counted by the caller.
    temperature_C : float
        Of the copper, -60 to 150.

    Returns
    -------
    float
        In ohm; the most that the standard allows.

    Raises
    ------
    CablingError
        If length or temperature lie outside their bounds.

    Notes
    -----
    R(T) = R20 / Kt with Kt = 250 / (230 + T), the standard's own factor. Pure copper follows
    254.5 / (234.5 + T): at 70 °C some 0.3 % apart.
    Source: IEC 60228:2004, annex (table of Kt: 0.893 at 50 °C, 0.833 at 70, 0.781 at 90).
    """
    length = number("length_m", length_m, least=0.0, most=LONGEST_m)
    T = number("temperature_C", temperature_C, least=COLDEST_C, most=HOTTEST_C)
    per_km = CLASS_5_OHM_PER_KM[conductor.section_mm2][conductor.tinned]
    return per_km * length / 1000.0 * (230.0 + T) / 250.0


def voltage_drop_V(
    conductor: Conductor, length_m: float, current_A: float, *, temperature_C: float = 20.0
) -> float:
    """Voltage that a length of cable drops, in V: U = R I, with the sign of the current."""
    I = number("current_A", current_A, least=-MOST_A, most=MOST_A)
    return cable_resistance_ohm(conductor, length_m, temperature_C=temperature_C) * I


def cable_loss_W(
    conductor: Conductor, length_m: float, current_A: float, *, temperature_C: float = 20.0
) -> float:
    """Power that a length of cable turns into heat, in W: P = R I²."""
    I = number("current_A", current_A, least=-MOST_A, most=MOST_A)
    return cable_resistance_ohm(conductor, length_m, temperature_C=temperature_C) * I * I
