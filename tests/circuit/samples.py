"""Circuits for tests: some fixed parts, and random nested ones with random conditions."""

from __future__ import annotations

from math import inf
from random import Random

from hypothesis import strategies as st

from pvsim.circuit import (
    Cell,
    CellType,
    Diode,
    Element,
    Parallel,
    Resistor,
    Series,
    Turned,
    diode_from_forward_drop,
)

# Invented cells in the ranges of real ones; none is a product.
PLAIN = CellType(
    photocurrent_A=9.5,
    saturation_current_A=1e-9,
    ideality=1.1,
    series_resistance_ohm=0.005,
    shunt_resistance_ohm=20.0,
    breakdown_fraction=0.1,
    breakdown_voltage_V=-15.0,
    breakdown_exponent=3.7,
)
LOW_BREAKDOWN = CellType(
    photocurrent_A=6.2,
    saturation_current_A=2e-12,
    ideality=1.0,
    series_resistance_ohm=0.003,
    shunt_resistance_ohm=12.0,
    breakdown_fraction=0.3,
    breakdown_voltage_V=-4.5,
    breakdown_exponent=2.5,
)
NO_BREAKDOWN = CellType(
    photocurrent_A=3.4,
    saturation_current_A=6e-10,
    ideality=1.0,
    series_resistance_ohm=0.0,
    shunt_resistance_ohm=6.6,
)
TWO_DIODES = CellType(
    photocurrent_A=5.0,
    saturation_current_A=1e-11,
    ideality=1.0,
    series_resistance_ohm=0.006,
    shunt_resistance_ohm=40.0,
    breakdown_fraction=0.002,
    breakdown_voltage_V=-20.0,
    breakdown_exponent=3.0,
    second_saturation_current_A=1e-6,
    shunt_follows_irradiance=True,
)
CELL_TYPES = (PLAIN, LOW_BREAKDOWN, NO_BREAKDOWN, TWO_DIODES)

BYPASS = diode_from_forward_drop(0.5, 10.0, series_resistance_ohm=0.004)


def cell(rng: Random) -> Cell:
    """A cell with any light, heat and condition."""
    return Cell(
        type=rng.choice(CELL_TYPES),
        irradiance_W_m2=rng.choice([1000.0, 1000.0, 1000.0, 0.0, rng.uniform(0.0, 1200.0)]),
        temperature_K=rng.choice([298.15, rng.uniform(250.0, 370.0)]),
        condition=rng.choices(["good", "open", "short"], [20, 1, 1])[0],
        active_fraction=rng.choice([1.0, 1.0, 1.0, rng.uniform(0.05, 1.0)]),
        parallel_resistance_ohm=rng.choice([inf, inf, inf, 10.0 ** rng.uniform(-2.0, 3.0)]),
        extra_series_resistance_ohm=rng.choice([0.0, 0.0, 0.0, 10.0 ** rng.uniform(-3.0, 1.0)]),
    )


def diode(rng: Random) -> Diode:
    """A diode with any drop, heat and condition."""
    return Diode(
        saturation_current_A=10.0 ** rng.uniform(-9.0, -5.0),
        ideality=rng.uniform(1.0, 1.6),
        series_resistance_ohm=rng.choice([0.0, rng.uniform(0.0, 0.02)]),
        leakage_resistance_ohm=10.0 ** rng.uniform(3.0, 6.0),
        temperature_K=rng.choice([298.15, rng.uniform(270.0, 380.0)]),
        condition=rng.choices(["good", "open", "short", "reversed", "resistive"], [8, 1, 1, 1, 1])[0],
        contact_resistance_ohm=10.0 ** rng.uniform(-2.0, 1.0),
    )


def resistor(rng: Random) -> Resistor:
    """A cable, a bridge, a break or nothing at all."""
    return Resistor(resistance_ohm=rng.choice([0.0, 1e-6, 1e12, 10.0 ** rng.uniform(-3.0, 3.0)]))


def circuit(rng: Random, depth: int = 3) -> Element:
    """A circuit nested up to `depth`, of any parts in any order."""
    kind = rng.choices(["leaf", "series", "parallel", "substring", "string", "turned"], [2, 3, 3, 3, 2, 1])[0]
    if depth == 0 or kind == "leaf":
        return rng.choices([cell, diode, resistor], [6, 1, 1])[0](rng)
    if kind == "series":
        return Series(tuple(circuit(rng, depth - 1) for _ in range(rng.randint(1, 4))))
    if kind == "parallel":
        return Parallel(tuple(circuit(rng, depth - 1) for _ in range(rng.randint(1, 4))))
    if kind == "substring":
        like = cell(rng)
        cells = [like if rng.random() < 0.7 else cell(rng) for _ in range(rng.randint(1, 12))]
        return Parallel((Series(tuple(cells)), BYPASS if rng.random() < 0.6 else diode(rng)))
    if kind == "string":
        return Series((circuit(rng, depth - 1), circuit(rng, depth - 1), diode(rng), resistor(rng)))
    return Turned(circuit(rng, depth - 1))


def circuits() -> st.SearchStrategy[Element]:
    """Random circuits that hypothesis can shrink."""
    return st.randoms(use_true_random=False).map(circuit)
