"""How warm a conducting bypass diode gets: its own power times a thermal resistance.

The warmer the junction, the less voltage the current needs, so the power is the one at the
temperature that it leads to: heat(T) = I V(I, T), T = around + R heat(T). A diode taken as cold as
its cells would come out 50 K too hot on bare leads.

The resistances belong to no product. They are those of a common axial Schottky diode of 45 V and 20 A
(public data sheet of 2013): 7 K/W from the junction to the case, 40 K/W from the junction to still air
when the diode hangs on its leads. What a junction box adds between case and air is left out, and so is
what a diode's own warmth changes for the array, which is solved with diodes as warm as the cells.
"""

from __future__ import annotations

from dataclasses import replace
from math import log1p

from pvsim.circuit.diode import Diode
from pvsim.circuit.leaf import diode_junction

TO_CASE_K_W = 7.0
TO_STILL_AIR_K_W = 40.0
BOX_K = 348.15  # 75 degrees C, the module in the thermal test: IEC 61215-2, MQT 18; from memory

_HALVINGS = 40  # of at most some thousand kelvins: well below a millikelvin


def junction_rise_K(diode: Diode, current_A: float, resistance_K_W: float, around_K: float = BOX_K) -> float:
    """By how much a diode's junction is warmer than what its heat goes to.

    Parameters
    ----------
    diode : Diode
        Of any temperature: its own is what is asked for.
    current_A : float
        Forward; a diode that blocks is not warmed here.
    resistance_K_W : float
        From the junction to the case, or to the air.
    around_K : float
        Temperature of that case or air.

    Returns
    -------
    float
        In K.
    """
    if current_A <= 0.0:
        return 0.0
    least, most = 0.0, resistance_K_W * forward_heat_W(diode, current_A, around_K)
    for _halving in range(_HALVINGS):  # heat falls with temperature, so there is one balance
        rise = 0.5 * (least + most)
        if resistance_K_W * forward_heat_W(diode, current_A, around_K + rise) > rise:
            least = rise
        else:
            most = rise
    return 0.5 * (least + most)


def forward_heat_W(diode: Diode, current_A: float, junction_K: float) -> float:
    """What a diode turns into heat while it carries a forward current, at a junction temperature.

    Notes
    -----
    Shockley's law turned round; the leak beside the junction takes less than a millionth of it.
    """
    junction = diode_junction(replace(diode, temperature_K=junction_K))
    across_V = junction.thermal_V * log1p(current_A / junction.saturation_current_A)
    return current_A * (across_V + current_A * diode.series_resistance_ohm)
