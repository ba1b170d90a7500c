"""Cables of an array at their true lengths: where the junction boxes lie, and what a wiring costs in copper.

Lengths are measured on the drawing: within a surface in its own plane, between surfaces as they lie
side by side. An array without `Cables` has the resistances that its strings name.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.checks import finite, refuse, truth
from pvsim.cabling.conductor import CLASS_5_OHM_PER_KM, COLDEST_C, HOTTEST_C, Conductor
from pvsim.words import _

SECTIONS_mm2 = tuple(sorted(CLASS_5_OHM_PER_KM))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cables:
    """What cable the strings are wired with, and where they meet.

    Parameters
    ----------
    box_x_m, box_y_m : float
        The box where the strings meet, in roof coordinates.
    section_mm2 : float
        Copper cross-section, 2.5, 4, 6 or 10.
    tinned : bool
        As the conductors of PV cable are.
    temperature_C : float
        Of the copper.
    """

    box_x_m: float = -0.6
    box_y_m: float = 0.0
    section_mm2: float = 4.0
    tinned: bool = True
    temperature_C: float = 40.0

    def __post_init__(self) -> None:
        finite(self, "box_x_m", least=-1e3, most=1e3)
        finite(self, "box_y_m", least=-1e3, most=1e3)
        finite(self, "section_mm2", least=0.0, most=1e3)
        if self.section_mm2 not in SECTIONS_mm2:
            refuse(
                self,
                "section_mm2",
                self.section_mm2,
                _("one of {names}").format(names=", ".join(f"{one:g}" for one in SECTIONS_mm2)),
            )
        truth(self, "tinned")
        finite(self, "temperature_C", least=COLDEST_C, most=HOTTEST_C)


def conductor_of(cables: Cables) -> Conductor:
    """The conductor of these cables."""
    return Conductor(section_mm2=cables.section_mm2, tinned=cables.tinned)


def turned_point(
    point_m: tuple[float, float], size_m: tuple[float, float], turn_deg: int
) -> tuple[float, float]:
    """Where a point of the portrait drawing lies in a module that is turned clockwise.

    Parameters
    ----------
    point_m, size_m : (x, y) and (width, height)
        In portrait, from the upper left corner.
    turn_deg : 0, 90, 180 or 270

    Returns
    -------
    (x, y)
        From the lying module's upper left corner, m.
    """
    (x, y), (width, height) = point_m, size_m
    return {
        0: (x, y),
        90: (height - y, x),
        180: (width - x, height - y),
        270: (y, width - x),
    }[turn_deg]


def as_points(values: list[tuple[float, float]]) -> np.ndarray:
    """Points as an array of (n, 2)."""
    return np.array(values, dtype=float).reshape(-1, 2)
