"""Readings of a solved array: what each part does at work, alone, and as against before.

All of them are pure functions of an `ArraySolution` and a `Place`, and give frozen values. A part that the
array, as built, does not have is refused with a ScenarioError.

    terminals       voltage, current and power of a part while the array runs
    diodes          which bypass diodes conduct, or let current back
    eating          which cells eat power
    own_curve       the characteristic of a part taken out and measured alone, and the most it could give
    curve, axes     the same as far as it is shown
    key_figures     Isc, Voc, MPP and fill factor, now and before
    difference      now minus before along a curve
    unbroken        the same parts with nothing wrong
    construction    the steps that build a part's curve; `stack`: what they add up to
    outward         where the array is when a part is at some point of its curve
    levels          one change at five levels, from the cell to the array
    cables          metres, drop, loss, loop and joints of the cables of a mounted array
"""

from __future__ import annotations

from pvsim.reading.axes import Axes, axes_around, axes_of, holding, leaves_axes, reach
from pvsim.reading.cables import StringCables, all_cables, string_cables
from pvsim.reading.construction import Group, Stage, stages, stages_of, unbroken_whole
from pvsim.reading.curve import circuit_of, curve_if_there, curve_within, tracker_curve
from pvsim.reading.difference import Difference, difference_of, magnified, on_curve, widest_gap
from pvsim.reading.diodes import conducting_diodes
from pvsim.reading.eating import EATING_W, eating_cells
from pvsim.reading.key_figures import KeyFigure, key_figure, key_figures
from pvsim.reading.levels import RUNGS, Rung, rungs
from pvsim.reading.outward import array_at
from pvsim.reading.own_curve import greatest_power, own_curve
from pvsim.reading.stack import Row, Stack, cell_currents, stack_at
from pvsim.reading.terminals import point_of, power_of, tracker_point
from pvsim.reading.unbroken import (
    breakdown_voltage,
    held_scale,
    unbroken_curve,
    unbroken_if_there,
    unbroken_scenario,
    unbroken_strings,
)

__all__ = [
    "EATING_W",
    "RUNGS",
    "Axes",
    "Difference",
    "Group",
    "KeyFigure",
    "Row",
    "Rung",
    "Stack",
    "Stage",
    "StringCables",
    "all_cables",
    "array_at",
    "axes_around",
    "axes_of",
    "breakdown_voltage",
    "cell_currents",
    "circuit_of",
    "conducting_diodes",
    "curve_if_there",
    "curve_within",
    "difference_of",
    "eating_cells",
    "greatest_power",
    "held_scale",
    "holding",
    "key_figure",
    "key_figures",
    "leaves_axes",
    "magnified",
    "on_curve",
    "own_curve",
    "point_of",
    "power_of",
    "reach",
    "rungs",
    "stack_at",
    "stages",
    "stages_of",
    "string_cables",
    "tracker_curve",
    "tracker_point",
    "unbroken_curve",
    "unbroken_if_there",
    "unbroken_scenario",
    "unbroken_strings",
    "unbroken_whole",
    "widest_gap",
]
