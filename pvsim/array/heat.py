"""How warm the cells get: steady temperature from light, wind and electrical power.

D. Faiman, Prog. Photovolt.: Res. Appl. 16 (2008) 307-315, has for a module at work

    T = T_ambient + G / (U0 + U1 wind),   U0 = 25 W/(m2 K), U1 = 6.84 W s/(m3 K)

(coefficients from memory). They were fitted to modules that turned a part of the light
into electricity. Here the heat of each cell is written out, absorbed light less delivered
power, and scaled so that the fitted case comes back:

    T = T_ambient + (A G - p) / (A - E) / (U0 + U1 wind)

with A = 0.9 the absorbed share, E = 0.13 the efficiency at work of the modules of that time
(both assumed), and p the power the cell delivers per area, negative when it eats power.

Limits: steady state, each cell on its own (no heat flows to its neighbours), the same
temperature all over a cell (a hot spot within it is hotter), one wind for all, the rear as
open as in the fitted case. Good to some 5 K for a cell at work, to some 30 % of the rise for
a cell that eats power. Above HOTTEST_K no answer is given: solder has melted long before.
"""

from __future__ import annotations

import numpy as np

from pvsim.array.index import ArrayIndex
from pvsim.array.module import Floats, cell_area_m2
from pvsim.array.scenario import Scenario
from pvsim.array.weather import Weather

U0_W_m2_K = 25.0
U1_W_s_m3_K = 6.84
ABSORBED_SHARE = 0.9
EFFICIENCY_AT_WORK = 0.13
ZERO_CELSIUS_K = 273.15
HOTTEST_K = 550.0
COLDEST_K = 180.0
STEP_K = 0.01  # temperatures are rounded to it, so that equal cells stay equal


def start_temperature(scenario: Scenario, G: Floats) -> Floats:
    """Cell temperatures before anything electrical is known.

    Parameters
    ----------
    G : (cells,)
        Irradiance of every cell, in W/m2.

    Returns
    -------
    (cells,)
        In K: the weather's fixed one, or by light and wind alone.
    """
    weather = scenario.weather
    if weather.heat == "fixed":
        return np.full(len(G), round(weather.cell_temperature_C + ZERO_CELSIUS_K, 6))
    return rounded(steady_temperature(weather, G, EFFICIENCY_AT_WORK * G))


def steady_temperature(weather: Weather, G: Floats, p: Floats) -> Floats:
    """Steady cell temperatures.

    Parameters
    ----------
    G : (cells,)
        Irradiance, in W/m2.
    p : (cells,)
        Electrical power each cell delivers, in W per m2 of its area.

    Returns
    -------
    (cells,)
        In K, at most HOTTEST_K.
    """
    U = U0_W_m2_K + U1_W_s_m3_K * weather.wind_m_s
    rise = (ABSORBED_SHARE * G - p) / (ABSORBED_SHARE - EFFICIENCY_AT_WORK) / U
    T = weather.ambient_temperature_C + ZERO_CELSIUS_K + rise
    bounded: Floats = np.clip(T, COLDEST_K, HOTTEST_K)
    return bounded


def rounded(T: Floats, step_K: float = STEP_K) -> Floats:
    """Temperatures to a step, so that equal cells stay equal."""
    out: Floats = np.round(T / step_K) * step_K
    return out


def power_per_area(index: ArrayIndex, power_W: Floats) -> Floats:
    """Power of every cell over its area, in W/m2; (cells,)."""
    areas = np.array([cell_area_m2(kind.kind) for kind in index.kinds])
    share: Floats = power_W / np.repeat(areas[index.module_kind], np.diff(index.cell_start))
    return share
