"""Random arrays with random faults: circuits nobody would draw, all of which must solve."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np

from pvsim.circuit import (
    Cell,
    CellCondition,
    CellType,
    Diode,
    DiodeCondition,
    Element,
    OPEN_RESISTANCE_ohm,
    Parallel,
    Resistor,
    Series,
    SHORT_RESISTANCE_ohm,
    Turned,
    diode_from_forward_drop,
)

_CELL_CONDITIONS: tuple[CellCondition, ...] = ("good",) * 20 + ("open", "short")


def random_array(rng: np.random.Generator) -> Element:
    """Strings in parallel, of modules, of substrings, with anything wrong with them.

    Parameters
    ----------
    rng : numpy.random.Generator

    Returns
    -------
    Element
    """
    strings = Parallel(tuple(_string(rng) for _ in range(rng.integers(1, 4))))
    return Series((strings, Resistor(resistance_ohm=0.05))) if rng.random() < 0.5 else strings


def _string(rng: np.random.Generator) -> Element:
    type = _cell_type(rng)
    parts: list[Element] = [_module(rng, type) for _ in range(rng.integers(1, 4))]
    if rng.random() < 0.5:
        ohms = float(rng.choice([0.0, 0.01, 0.5, OPEN_RESISTANCE_ohm, SHORT_RESISTANCE_ohm]))
        parts.append(Resistor(resistance_ohm=ohms))
    if rng.random() < 0.3:
        parts.append(diode_from_forward_drop(0.7, 9.0))
    return Series(tuple(parts))


def _module(rng: np.random.Generator, type: CellType) -> Element:
    module = Series(tuple(_substring(rng, type, int(rng.integers(2, 12))) for _ in range(rng.integers(1, 4))))
    return Turned(module) if rng.random() < 0.05 else module


def _substring(rng: np.random.Generator, type: CellType, count: int) -> Element:
    sides: list[Element] = [_chain(rng, type, count) for _ in range(rng.integers(1, 3))]
    if rng.random() < 0.85:
        sides.append(_diode(rng))
    return Parallel(tuple(sides))


def _chain(rng: np.random.Generator, type: CellType, count: int) -> Element:
    usual = _cell(rng, type)
    return Series(tuple(usual if rng.random() < 0.6 else _cell(rng, type) for _ in range(count)))


def _diode(rng: np.random.Generator) -> Diode:
    diode = diode_from_forward_drop(float(rng.uniform(0.3, 0.7)), 9.0, series_resistance_ohm=0.002)
    conditions: tuple[DiodeCondition, ...] = ("good",) * 6 + ("open", "short", "reversed", "resistive")
    condition = conditions[rng.integers(len(conditions))]
    return replace(diode, condition=condition, contact_resistance_ohm=0.2)


def _cell(rng: np.random.Generator, type: CellType) -> Cell:
    return Cell(
        type=type,
        irradiance_W_m2=float(rng.choice([0.0, 10.0, 200.0, 500.0, 900.0, 1000.0, 1000.0, 1200.0])),
        temperature_K=float(rng.choice([233.15, 298.15, 298.15, 323.15, 363.15])),
        condition=_CELL_CONDITIONS[rng.integers(len(_CELL_CONDITIONS))],
        active_fraction=float(rng.choice([1.0, 1.0, 1.0, 1.0, 0.5, 0.05])),
        parallel_resistance_ohm=float(rng.choice([inf] * 8 + [0.1, 5.0])),
        extra_series_resistance_ohm=float(rng.choice([0.0] * 8 + [0.05, 1.0])),
    )


def _cell_type(rng: np.random.Generator) -> CellType:
    return CellType(
        photocurrent_A=float(rng.uniform(0.5, 13.0)),
        saturation_current_A=float(10.0 ** rng.uniform(-13.0, -7.0)),
        ideality=float(rng.uniform(1.0, 1.6)),
        series_resistance_ohm=float(rng.choice([0.0, 0.002, 0.005, 0.02])),
        shunt_resistance_ohm=float(10.0 ** rng.uniform(0.0, 4.0)),
        breakdown_fraction=float(rng.choice([0.0, 0.001, 0.02, 0.1])),
        breakdown_voltage_V=-float(rng.uniform(2.5, 30.0)),
        breakdown_exponent=float(rng.uniform(2.0, 5.0)),
        second_saturation_current_A=float(rng.choice([0.0, 1e-6])),
        shunt_follows_irradiance=bool(rng.random() < 0.1),
    )
