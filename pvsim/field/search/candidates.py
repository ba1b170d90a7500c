"""What a hidden fault may be, as far as anybody can see, and what meters would read of each.

Reckoned on the array that is seen: cells all alike. How far real ones lie apart from that is put into the
uncertainty of a reading, by figures that are judgements, held to drawn cases in the tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from pvsim.array.change import add_fault
from pvsim.array.fault import Fault
from pvsim.array.module import substring_cells
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import part_curve, solve_array
from pvsim.circuit.floats import Floats
from pvsim.field.kit import CLAMP_METER, TRACER_CURRENT, VOLTMETER
from pvsim.field.meter import budget_of
from pvsim.field.probe import Probe, true_value
from pvsim.field.search.act import Act
from pvsim.field.search.case import SearchCase, kinds_at, the_visible
from pvsim.field.search.family import HIDDEN_KINDS
from pvsim.field.search.plant import Plant, as_it_stands, run_voltage_V

__all__ = ["Candidate", "Foresight", "candidates_of"]

_POINTS = 20
# Standard deviations by the usual scatter, as shares: of a module's voltage at work and open, of currents.
_AT_WORK, _OPEN, _CURRENT = 0.03, 0.006, 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One thing that the fault may be.

    Parameters
    ----------
    kind : str
    place : Place
        As finely as an answer is asked for.
    fault : Fault
        One such fault, of one size.
    """

    kind: str
    place: Place
    fault: Fault


def candidates_of(case: SearchCase) -> tuple[Candidate, ...]:
    """Every kind that level and family allow, at every place; of three sizes where it has one."""
    seen = the_visible(case)
    found = []
    for kind in kinds_at(case.level, case.family):
        hidden = HIDDEN_KINDS[kind]
        sizes: tuple[float | None, ...] = (None,)
        if hidden.least is not None and hidden.most is not None:
            sizes = (hidden.least, 0.5 * (hidden.least + hidden.most), hidden.most)
        for place in _places(seen, hidden.judged):
            at = place
            if hidden.where == "diode":
                at = Place(place.string, place.module, diode=place.substring)
            elif hidden.where == "cell":
                made = module_type(seen, seen.array.strings[0].modules[0].type)
                cell = substring_cells(made, place.substring or 1)[0]
                at = Place(place.string, place.module, cell=cell)
            found += [Candidate(kind=kind, place=place, fault=Fault(kind, at, size)) for size in sizes]
    return tuple(found)


def _places(seen: Scenario, level: str) -> list[Place]:
    out = []
    for number, string in enumerate(seen.array.strings, start=1):
        if level == "string":
            out.append(Place(number))
            continue
        for position, module in enumerate(string.modules, start=1):
            parts = len(module_type(seen, module.type).substrings)
            if level == "module":
                out.append(Place(number, position))
            else:
                out += [Place(number, position, substring=part) for part in range(1, parts + 1)]
    return out


class Foresight:
    """What each candidate would have a reading be; kept, since each costs a solved circuit.

    Parameters
    ----------
    case : SearchCase
        Of which only level, family and what is seen are looked at.
    """

    def __init__(self, case: SearchCase) -> None:
        self.candidates = candidates_of(case)
        self._seen = the_visible(case)
        self._short: dict[tuple[Fault, Place], float] = {}
        self._first: dict[tuple[Fault, Plant], tuple[Floats, Floats]] = {}
        self._kept: dict[tuple[int, Plant], dict[Act, tuple[float, float]]] = {}

    def reading(self, number: int, plant: Plant, act: Act) -> tuple[float, float]:
        """What candidate `number` would have an act read, and the standard uncertainty of that."""
        same = Plant(
            running=plant.running, switch_closed=plant.switch_closed, cloth=plant.cloth, leak=plant.leak
        )
        kept = self._kept.setdefault((number, same), {})
        if act not in kept:
            self._solve(number, same, act, kept)
        return kept[act]

    def readings(self, numbers: list[int], plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """As `reading`, of several candidates; (candidates,) each."""
        both = np.array([self.reading(number, plant, act) for number in numbers])
        return both[:, 0], both[:, 1]

    def _solve(self, number: int, plant: Plant, wanted: Act, kept: dict[Act, tuple[float, float]]) -> None:
        fault = self.candidates[number].fault
        if wanted.kind == "trace":
            value = self._short_current_A(fault, plant, wanted.place)
            kept[wanted] = value, hypot(budget_of(TRACER_CURRENT, value).combined, _CURRENT * value)
            return
        share = _AT_WORK if plant.running else _OPEN
        V, I = self._states(fault, plant)
        strings, modules = V.shape
        for s in range(strings):
            for first in range(modules):
                for last in range(first, modules):
                    run = V[s, first : last + 1]
                    value = float(run.sum())
                    sure = hypot(budget_of(VOLTMETER, value).combined, share * float(np.linalg.norm(run)))
                    kept[Act(kind="read-run", place=Place(s + 1, first + 1), last=last + 1)] = value, sure
            value = float(I[s])
            sure = hypot(budget_of(CLAMP_METER, value).combined, _CURRENT * value, 0.02)
            kept[Act(kind="read", what="current", place=Place(s + 1))] = value, sure

    def _solution(self, fault: Fault, plant: Plant) -> ArraySolution:
        return solve_array(as_it_stands(add_fault(self._seen, fault), plant), points=_POINTS)

    def _short_current_A(self, fault: Fault, plant: Plant, at: Place) -> float:
        """Of a module by itself: one solved for all that are sound, one for the faulty one."""
        first = _moved(fault, 1, 1)
        there = (at.string, at.module) == (fault.place.string, fault.place.module)
        place = Place(1, 1 if there else 2)
        if (first, place) not in self._short:
            solution = self._solution(first, replace(plant, cloth=None, leak=0.0))
            self._short[first, place] = part_curve(solution, place, points=_POINTS).isc_A
        return self._short[first, place]

    def _states(self, fault: Fault, plant: Plant) -> tuple[Floats, Floats]:
        """Voltage of each module with its connector, (strings, modules), and current of each string.

        All places are alike, strings side by side and modules in a row: fault and cloth are moved to the
        first ones, solved once there, and all is put back.
        """
        place, cloth = fault.place, plant.cloth
        lengths = [len(one.modules) for one in self._seen.array.strings]
        strings = _first_of([place.string, cloth.string if cloth else None], len(lengths))
        modules = [
            _first_of([one.module for one in (place, cloth) if one and one.string == s + 1], lengths[0])
            for s in strings
        ]
        first = _moved(fault, 1, 1)
        if cloth is not None:
            row = strings.index((cloth.string or 1) - 1)
            column = modules[row].index((cloth.module or 1) - 1)
            plant = replace(plant, cloth=replace(cloth, string=row + 1, module=column + 1))
        if (first, plant) not in self._first:
            self._first[first, plant] = self._measured(self._solution(first, plant))
        V_first, I_first = self._first[first, plant]
        V, I = np.empty_like(V_first), np.empty_like(I_first)
        for row, s in enumerate(strings):
            V[s, modules[row]], I[s] = V_first[row], I_first[row]
        return V, I

    def _measured(self, solution: ArraySolution) -> tuple[Floats, Floats]:
        strings = range(1, len(self._seen.array.strings) + 1)
        modules = range(1, len(self._seen.array.strings[0].modules) + 1)
        V = np.array([[run_voltage_V(solution, s, m, m) for m in modules] for s in strings])
        I = np.array([true_value(solution, Probe(what="current", place=Place(s))) for s in strings])
        return V, I


def _moved(fault: Fault, string: int, module: int) -> Fault:
    place = fault.place
    at = replace(place, string=string, module=None if place.module is None else module)
    return replace(fault, place=at)


def _first_of(numbers: Sequence[int | None], count: int) -> list[int]:
    """0 to `count` - 1, those of the numbers, which are from 1, first."""
    order = [number - 1 for number in numbers if number is not None]
    return list(dict.fromkeys([*order, *range(count)]))
