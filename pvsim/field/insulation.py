"""Insulation: what lies between an array and earth, and the voltage that it is tested with.

The poles of what is tested are joined, an earthed pole's bond is taken off, and the tester drives its voltage
between them and earth: the array's own voltage and the copper between its modules count for nothing beside
megohms. Earth faults and the insulation of sound modules lie in parallel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.index import ArrayIndex, array_index, module_range
from pvsim.array.module import module_size
from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.safety.standard_light import string_curves

__all__ = ["InsulationTest", "SOUND_Mohm_m2", "earth_resistance_Mohm", "insulation_test"]

# Of sound modules, dry, area and resistance multiplied; a judgement, no source. IEC 61215-2 MQT 03 asks 40 of
# a new one (from memory).
SOUND_Mohm_m2 = 1000.0
SYSTEM_FACTOR = 1.25  # on the open-circuit voltage at standard conditions; IEC 62446-1, second-hand
# Up to so many V of that, the test voltage in V, and the least insulation in Mohm: IEC 62446-1; voltages
# second-hand, resistances from memory.
STEPS = ((120.0, 250.0, 0.5), (500.0, 500.0, 1.0), (float("inf"), 1000.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class InsulationTest:
    """What an insulation is tested with, and has to reach.

    Parameters
    ----------
    system_V : float
        SYSTEM_FACTOR times the open-circuit voltage at 1000 W/m2 and 25 degrees C.
    test_V : float
    least_Mohm : float
    """

    system_V: float
    test_V: float
    least_Mohm: float


def insulation_test(scenario: Scenario, place: Place = WHOLE_ARRAY) -> InsulationTest:
    """What the insulation of a string, or of the array by its longest string, is tested with.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place.
    """
    curves = string_curves(scenario, 25.0)
    mine = _strings(array_index(scenario), place)
    system_V = SYSTEM_FACTOR * max(curves[s].voc_V for s in mine)
    return next(
        InsulationTest(system_V=system_V, test_V=test_V, least_Mohm=least)
        for up_to, test_V, least in STEPS
        if system_V <= up_to
    )


def earth_resistance_Mohm(solution: ArraySolution, place: Place = WHOLE_ARRAY) -> float:
    """Resistance to earth of the array, or of a string that is separated from it, in Mohm.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place.
    """
    index = solution.index
    first, last = module_range(index, place)
    areas = np.array([np.prod(module_size(kind.kind)) for kind in index.kinds])
    through_S = float(areas[index.module_kind[first:last]].sum()) / SOUND_Mohm_m2 / 1e6
    for fault in solution.scenario.faults:
        string, module = fault.place.string or 1, fault.place.module or 1
        built = module <= len(index.strings[string - 1].modules)
        if fault.kind == "earth-fault" and built and place.string in (None, string):
            through_S += 1.0 / (fault.size or 1e-3)
    return 1.0 / through_S / 1e6


def _strings(index: ArrayIndex, place: Place) -> range:
    module_range(index, place)  # refuses what is not built
    return range(len(index.strings)) if place.string is None else range(place.string - 1, place.string)
