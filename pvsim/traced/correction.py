"""Correction parameters of IEC 60891 as they follow from the model of a part."""

from __future__ import annotations

from math import log

import numpy as np

from pvsim.array.change import set_light, set_weather
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import level_curve
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.traced.translate import FirstCorrection, SecondCorrection

__all__ = ["curve_at", "first_correction", "second_correction"]

STC_W_m2, STC_C = 1000.0, 25.0
_DIMMER, _WARMER = 0.8, 55.0  # what else the parameters are found from
_DIM = 0.5  # the same for procedure 2, which reaches further
_FROM = 0.7  # of Voc: below it voltages say little of resistances
_POINTS = 200


def curve_at(
    scenario: Scenario, place: Place, irradiance_W_m2: float, temperature_C: float
) -> Characteristic:
    """What the model of a part does at a light and one temperature of all cells.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    there = set_light(scenario, irradiance_W_m2=irradiance_W_m2)
    there = set_weather(there, heat="fixed", cell_temperature_C=temperature_C)
    return level_curve(there, place, points=_POINTS)


def first_correction(scenario: Scenario, place: Place) -> FirstCorrection:
    """Parameters of procedure 1 for a part: over 25 to 55 degrees C, and 1000 to 800 W/m2."""
    standard = curve_at(scenario, place, STC_W_m2, STC_C)
    dim = curve_at(scenario, place, _DIMMER * STC_W_m2, STC_C)
    warm = curve_at(scenario, place, STC_W_m2, _WARMER)
    dT = _WARMER - STC_C
    alpha = (warm.isc_A - standard.isc_A) / dT
    beta = (warm.voc_V - standard.voc_V) / dT
    V1, I1 = _upper(standard)
    I2 = I1 + standard.isc_A * (_DIMMER - 1.0)
    _I, gap = _gap(dim, V1, I1, I2)
    change = standard.isc_A * (_DIMMER - 1.0)
    resistance = max(0.0, -float(np.mean(gap)) / change)
    I2 = I1 + alpha * dT
    I2, gap = _gap(warm, V1, I1, I2)
    left = gap + resistance * alpha * dT - beta * dT
    kappa = -float(I2 @ left / (I2 @ I2)) / dT
    return FirstCorrection(
        alpha_A_per_K=alpha, beta_V_per_K=beta, series_resistance_ohm=resistance, kappa_ohm_per_K=kappa
    )


def second_correction(scenario: Scenario, place: Place) -> SecondCorrection:
    """Parameters of procedure 2 for a part: over 25 to 55 degrees C, and 1000 to 500 W/m2."""
    standard = curve_at(scenario, place, STC_W_m2, STC_C)
    dim = curve_at(scenario, place, _DIM * STC_W_m2, STC_C)
    warm = curve_at(scenario, place, STC_W_m2, _WARMER)
    dT = _WARMER - STC_C
    alpha = (warm.isc_A / standard.isc_A - 1.0) / dT
    beta = (warm.voc_V / standard.voc_V - 1.0) / dT
    factor = (dim.voc_V / standard.voc_V - 1.0) / log(_DIM)
    V1, I1 = _upper(standard)
    I2, gap = _gap(dim, V1, I1, I1 * _DIM)
    change = I2 * (1.0 - 1.0 / _DIM)
    left = gap - standard.voc_V * factor * log(_DIM)
    resistance = max(0.0, -float(change @ left / (change @ change)))
    stretch = 1.0 + alpha * dT
    I2, gap = _gap(warm, V1, I1, I1 * stretch)
    left = gap + resistance * I2 * (1.0 - 1.0 / stretch) - standard.voc_V * beta * dT
    kappa = -float(I2 @ left / (I2 @ I2)) / dT
    return SecondCorrection(
        alpha_per_K=alpha,
        beta_per_K=beta,
        light_factor=factor,
        series_resistance_ohm=resistance,
        kappa_ohm_per_K=kappa,
    )


def _upper(curve: Characteristic) -> tuple[Floats, Floats]:
    """The part of a curve from well before its knee to open circuit."""
    V, I = curve.voltage_V, curve.current_A
    upper = (V >= _FROM * curve.voc_V) & (I >= 0.0)
    return V[upper], I[upper]


def _gap(curve: Characteristic, V1: Floats, I1: Floats, I2: Floats) -> tuple[Floats, Floats]:
    """At currents of another curve: these, and how far its voltages lie above V1."""
    there = (I2 >= 0.0) & (I2 <= 0.97 * curve.isc_A)
    I2 = I2[there]
    V2 = np.interp(-I2, -curve.current_A, curve.voltage_V)  # np.interp wants what rises
    return I2, V2 - V1[there]
