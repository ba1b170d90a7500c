"""Circuits whose numbers lie at the bounds of what a cell, a diode or a resistor can be, or between them."""

from __future__ import annotations

import math
from random import Random

from pvsim.circuit import Cell, CellType, Diode, Element, Parallel, Resistor, Series, Turned, limits
from pvsim.circuit.limits import Bounds

USUAL = {
    "photocurrent_A": 9.5,
    "saturation_current_A": 1e-9,
    "ideality": 1.0,
    "series_resistance_ohm": 0.005,
    "shunt_resistance_ohm": 10.0,
    "breakdown_fraction": 0.01,
}


def edge_circuit(chance: Random) -> Element:
    """One to sixty cells of one to three kinds, perhaps with a diode, a resistor and a part turned round."""
    cells = [_cell(chance) for _ in range(chance.choice((1, 2, 3)))] * chance.choice((1, 5, 20))
    circuit: Element = Series(tuple(cells))
    if chance.random() < 0.6:
        circuit = Parallel((circuit, _diode(chance)))
    if chance.random() < 0.3:
        wire = Resistor(resistance_ohm=_between(chance, *limits.RESISTOR["resistance_ohm"]))
        circuit = Series((circuit, wire, Turned(Series((_cell(chance),)))))
    return circuit


def _cell(chance: Random) -> Cell:
    values = USUAL | _some(chance, limits.CELL_TYPE, (0, 1, 1, 2, 3, 6))
    kind = CellType(**values, shunt_follows_irradiance=chance.random() < 0.2)
    more = _some(chance, limits.CELL, (0, 0, 1, 2))
    if chance.random() < 0.1:
        more["parallel_resistance_ohm"] = _between(chance, *limits.ADDED_SHUNT_ohm)
    return Cell(type=kind, condition=chance.choice((*("good",) * 8, "open", "short")), **more)


def _diode(chance: Random) -> Diode:
    values = {"saturation_current_A": 1e-5} | _some(chance, limits.DIODE, (0, 1, 2, 4))
    conditions = ("good", "good", "open", "short", "reversed", "resistive")
    return Diode(**values, condition=chance.choice(conditions))


def _some(chance: Random, bounds: Bounds, counts: tuple[int, ...]) -> dict[str, float]:
    names = chance.sample(sorted(bounds), chance.choice(counts))
    return {name: _between(chance, *bounds[name]) for name in names}


def _between(chance: Random, least: float, most: float) -> float:
    """One of the bounds as often as a value between them, of any size."""
    if chance.random() < 0.5:
        return chance.choice((least, most))
    if least < 0.0:
        return chance.uniform(least, most)
    return min(most, max(least, 10.0 ** chance.uniform(math.log10(least or 1e-12), math.log10(most))))
