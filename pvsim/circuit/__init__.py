"""Circuits of cells, diodes and resistors, and their exact solution.

Sign convention, here and everywhere: generator. V > 0 and I > 0 deliver power; a cell
that eats power has V < 0 at I > 0. A bypass diode conducts at V < 0 with I > 0.
"""

from __future__ import annotations

from pvsim.circuit.cell import Cell, CellCondition, CellType
from pvsim.circuit.diode import Diode, DiodeCondition
from pvsim.circuit.leaf import diode_from_forward_drop
from pvsim.circuit.limits import OPEN_RESISTANCE_ohm, SHORT_RESISTANCE_ohm
from pvsim.circuit.network import Element, Parallel, Resistor, Series, Turned
from pvsim.circuit.solution import Characteristic, OperatingPoint, PowerPoint
from pvsim.circuit.solver import leaves, operate, solve, voltage_near

__all__ = [
    "Cell",
    "CellCondition",
    "CellType",
    "Characteristic",
    "Diode",
    "DiodeCondition",
    "Element",
    "OPEN_RESISTANCE_ohm",
    "OperatingPoint",
    "Parallel",
    "PowerPoint",
    "Resistor",
    "SHORT_RESISTANCE_ohm",
    "Series",
    "Turned",
    "diode_from_forward_drop",
    "leaves",
    "operate",
    "solve",
    "voltage_near",
]
