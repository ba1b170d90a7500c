"""How a module gets rid of its heat: radiation and moving air, on its front and its back.

What a square metre of cells loses at temperature T in air at Ta, W/m2:

    loss(T) = (e_front + e_back) sigma (T^4 - Ta^4) + 2 c(wind) h(T, Ta, wind) (T - Ta)

The air's coefficient h joins what rises by itself and what the wind drives, as
h^3 = natural^3 + forced^3 (F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass
Transfer, section on combined convection), with

    natural: Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2
             (S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; a plate)
    forced:  Nu = 0.037 Re^(4/5) Pr^(1/3)   (turbulent flow along a plate, the same book)

and air as in that book's table of gases; correlations and table from memory. For air of 20
degrees C, c(wind), between 0.7 and 1, makes a module at work in full sun as warm as D. Faiman's
fit has it (Prog. Photovolt. 16 (2008) 307-315, coefficients from memory):

    T = Ta + G / (U0 + U1 wind),   U0 = 25 W/(m2 K), U1 = 6.84 W s/(m3 K)

for modules that absorb A = 0.9 of the light and deliver E = 0.13 (both assumed). So Faiman's
line holds where it was measured, and far above it radiation and rising air carry the rest.

Left out: a sky colder than the air and a roof warmer than it (both within Faiman's fit), a back
that lies on insulation, the glass's own resistance.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from pvsim.circuit.floats import Floats

U0_W_m2_K = 25.0
U1_W_s_m3_K = 6.84
ABSORBED_SHARE = 0.9
EFFICIENCY_AT_WORK = 0.13

FRONT_EMISSIVITY = 0.9  # glass; the book's table has 0.90 to 0.95 (from memory)
BACK_EMISSIVITY = 0.9  # plastic sheets and glass; common practice, no source
STEFAN_BOLTZMANN_W_m2_K4 = 5.670374e-8
GRAVITY_m_s2 = 9.81
LENGTH_m = 1.0  # of the way along the module; natural convection hardly asks for it here
USUAL_AIR_K = 293.15  # where the air's coefficient is fitted to Faiman's line
USUAL_SUN_W_m2 = 1000.0

# Air at 1 atm: K; m2/s; W/(m K); m2/s (Incropera and DeWitt, table A.4, from memory).
_AIR_K = np.array([200.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 550.0])
_VISCOSITY = np.array([7.59e-6, 11.44e-6, 15.89e-6, 20.92e-6, 26.41e-6, 32.39e-6, 38.79e-6, 45.57e-6])
_CONDUCTIVITY = np.array([18.1e-3, 22.3e-3, 26.3e-3, 30.0e-3, 33.8e-3, 37.3e-3, 40.7e-3, 43.9e-3])
_DIFFUSIVITY = np.array([10.3e-6, 15.9e-6, 22.5e-6, 29.9e-6, 38.3e-6, 47.2e-6, 56.7e-6, 66.7e-6])


def heat_loss(T: Floats, air_K: float, wind_m_s: float) -> Floats:
    """What a module loses through both sides.

    Parameters
    ----------
    T : (n,)
        Temperature of the cells, in K.
    air_K, wind_m_s : float

    Returns
    -------
    (n,)
        In W/m2 of one side's area; strictly rising with T, zero at the air's temperature.
    """
    moved = 2.0 * fit_to_usual_work(wind_m_s) * air_coefficient(T, air_K, wind_m_s) * (T - air_K)
    loss: Floats = radiated(T, air_K) + moved
    return loss


def radiated(T: Floats, air_K: float) -> Floats:
    """What both sides radiate to surroundings as warm as the air, in W/m2; (n,)."""
    out: Floats = (FRONT_EMISSIVITY + BACK_EMISSIVITY) * STEFAN_BOLTZMANN_W_m2_K4 * (T**4 - air_K**4)
    return out


def air_coefficient(T: Floats, air_K: float, wind_m_s: float) -> Floats:
    """Heat transfer to the air at one side, by the correlations alone, in W/(m2 K); (n,)."""
    film = 0.5 * (T + air_K)
    viscosity = np.interp(film, _AIR_K, _VISCOSITY)
    diffusivity = np.interp(film, _AIR_K, _DIFFUSIVITY)
    Pr = viscosity / diffusivity
    Ra = GRAVITY_m_s2 / film * np.abs(T - air_K) * LENGTH_m**3 / (viscosity * diffusivity)
    natural = (0.825 + 0.387 * Ra ** (1 / 6) / (1.0 + (0.492 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2
    forced = 0.037 * (wind_m_s * LENGTH_m / viscosity) ** 0.8 * Pr ** (1 / 3)
    h: Floats = np.cbrt(natural**3 + forced**3) * np.interp(film, _AIR_K, _CONDUCTIVITY) / LENGTH_m
    return h


@lru_cache(maxsize=256)
def fit_to_usual_work(wind_m_s: float) -> float:
    """What the air's coefficient is multiplied by to give Faiman's temperature at usual work."""
    rise = USUAL_SUN_W_m2 / (U0_W_m2_K + U1_W_s_m3_K * wind_m_s)
    T = np.array([USUAL_AIR_K + rise])
    heat = (ABSORBED_SHARE - EFFICIENCY_AT_WORK) * USUAL_SUN_W_m2
    by_air = 2.0 * air_coefficient(T, USUAL_AIR_K, wind_m_s) * rise
    return float(((heat - radiated(T, USUAL_AIR_K)) / by_air)[0])
