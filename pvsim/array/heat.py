"""How warm the cells get: steady temperature from light, air, wind and electrical power.

Each cell settles where it loses what it takes in,

    loss(T) = A G - p

with A = 0.9 the absorbed share of the light G, p the power the cell delivers per area that
still works, negative when it eats power, and loss(T) as `pvsim.array.cooling` has it: Faiman's
line for a module at work, radiation and rising air far above it.

Limits: steady state, each cell on its own (no heat flows to its neighbours), the same
temperature all over a cell (a spot within it is hotter), glass and back as warm as the cell, one
wind for all, the rear as open as in Faiman's fit. Correlations and mountings are taken to leave
a fifth of the loss open: some 5 K for a cell at work, some 20 to 30 K for one that takes 150 W.
`steady_range` gives that range. No temperature is above HOTTEST_K: solder has melted before.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from pvsim.array.cell_scatter import scatter_of
from pvsim.array.cooling import ABSORBED_SHARE, EFFICIENCY_AT_WORK, heat_loss
from pvsim.array.index import ArrayIndex, array_index
from pvsim.array.module import cell_area_m2
from pvsim.array.scenario import Scenario
from pvsim.array.weather import Weather
from pvsim.circuit.floats import Floats

ZERO_CELSIUS_K = 273.15
HOTTEST_K = 550.0
COLDEST_K = 180.0
STEP_K = 0.01  # temperatures are rounded to it, so that equal cells stay equal
OPEN_SHARE = 0.2  # of the loss: correlations of rising air and mountings; a judgement, no source
HOT_K = 358.15  # from 85 degrees C, the most that modules are tested at for long, a range is shown

_GRID_K = np.linspace(COLDEST_K, HOTTEST_K, 3701)  # steps of 0.1 K: fine enough for 1e-4 K


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
        T = np.full(len(G), round(weather.cell_temperature_C + ZERO_CELSIUS_K, 6))
    else:
        T = rounded(steady_temperature(weather, G, EFFICIENCY_AT_WORK * G))
    return warmer(scenario, T)


def warmer(scenario: Scenario, T: Floats) -> Floats:
    """Cell temperatures of equal modules as they are in modules that scatter; (cells,), in K."""
    if scenario.scatter is None:  # nearly always: the index of the array need not be looked up
        return T
    scattered = scatter_of(scenario.scatter, array_index(scenario))
    return T if scattered is None else np.clip(T + scattered.warmer_K, COLDEST_K, HOTTEST_K)


def steady_temperature(weather: Weather, G: Floats, p: Floats) -> Floats:
    """Steady cell temperatures.

    Parameters
    ----------
    G : (cells,)
        Irradiance, in W/m2.
    p : (cells,)
        Electrical power each cell delivers, in W per m2 of its area that works.

    Returns
    -------
    (cells,)
        In K, from COLDEST_K to HOTTEST_K; falls with p.
    """
    return _temperature(weather, ABSORBED_SHARE * G - p)


def steady_range(weather: Weather, G: Floats, p: Floats) -> tuple[Floats, Floats]:
    """The least and the most that `steady_temperature` may be off to; (cells,) each, in K."""
    heat = ABSORBED_SHARE * G - p
    two = (_temperature(weather, heat / (1.0 + OPEN_SHARE)), _temperature(weather, heat / (1.0 - OPEN_SHARE)))
    return np.minimum(*two), np.maximum(*two)


def _temperature(weather: Weather, heat_W_m2: Floats) -> Floats:
    loss = _losses(weather.ambient_temperature_C + ZERO_CELSIUS_K, weather.wind_m_s)
    T: Floats = np.interp(heat_W_m2, loss, _GRID_K)
    return T


@lru_cache(maxsize=128)
def _losses(air_K: float, wind_m_s: float) -> Floats:
    """The loss at every temperature of the grid; (n,)."""
    loss = heat_loss(_GRID_K, air_K, wind_m_s)
    loss.setflags(write=False)
    return loss


def rounded(T: Floats, step_K: float = STEP_K) -> Floats:
    """Temperatures to a step, so that equal cells stay equal."""
    out: Floats = np.round(T / step_K) * step_K
    return out


def power_per_area(index: ArrayIndex, power_W: Floats, active_fraction: Floats) -> Floats:
    """Power of every cell over its area that still works, in W/m2; (cells,).

    Parameters
    ----------
    active_fraction : (cells,)
        A crack that cuts off half a cell leaves the heat to the other half.
    """
    areas = np.array([cell_area_m2(kind.kind) for kind in index.kinds])
    share: Floats = power_W / (
        np.repeat(areas[index.module_kind], np.diff(index.cell_start)) * active_fraction
    )
    return share
