"""What there is to be measured at every place if a candidate were true, with the plant as it stands.

Each circuit is solved once for all candidates that are alike in it (`pvsim.field.search.alike`). Kept are its
few numbers, and for each candidate which circuit is its own and where in it its places lie.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.fault import Fault
from pvsim.array.heat import ZERO_CELSIUS_K
from pvsim.array.module import ModuleType
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array
from pvsim.circuit.floats import Floats
from pvsim.field.search.alike import Moved, moved_to_first
from pvsim.field.search.candidates import Candidate
from pvsim.field.search.case import with_faults
from pvsim.field.search.picture import true_contrasts_K
from pvsim.field.search.plant import Plant, as_it_stands, built_length, run_voltage_V
from pvsim.prompt import summary

__all__ = ["POINTS", "Seen", "Stand", "Stands", "settled"]

POINTS = 20
_DECIMALS = 5
_FLOWING_A = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The array that is seen, whose strings are all alike.

    Parameters
    ----------
    scenario : Scenario
    strings, modules : int
        How many, and in each string.
    made : ModuleType
        Of every module.
    """

    scenario: Scenario
    strings: int
    modules: int
    made: ModuleType

    __repr__ = summary

    @classmethod
    def of(cls, scenario: Scenario) -> Seen:
        """Of a scenario as a search has it."""
        strings = scenario.array.strings
        made = module_type(scenario, strings[0].modules[0].type)
        return cls(scenario=scenario, strings=len(strings), modules=len(strings[0].modules), made=made)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """What there is to be measured in one circuit, or in several, one a row.

    Parameters
    ----------
    run_V, own_V, own_A, back_C : (..., strings, modules)
        Of modules with their connectors; at their own leads; how warm.
    contrast_K, junction_V : (..., strings, modules, substrings)
        Warmest cell less its module; mean of the cells that carry current, else infinite.
    string_V, string_A : (..., strings)
    array : (..., 3)
        Voltage, current and power at the inverter.
    """

    run_V: Floats
    own_V: Floats
    own_A: Floats
    back_C: Floats
    contrast_K: Floats
    junction_V: Floats
    string_V: Floats
    string_A: Floats
    array: Floats

    __repr__ = summary


_FIELDS = tuple(Stand.__dataclass_fields__)


class Stands:
    """Of all candidates, with the plant in one state.

    Parameters
    ----------
    seen : Seen
    candidates : tuple of Candidate
    plant : Plant
    solved : dict
        Circuits that were solved with any plant; added to.
    """

    def __init__(
        self,
        seen: Seen,
        candidates: tuple[Candidate, ...],
        plant: Plant,
        solved: dict[tuple[tuple[Fault, ...], Plant], Stand],
    ) -> None:
        self._seen, self._candidates, self._plant, self._solved = seen, candidates, plant, solved
        count, parts = len(candidates), len(seen.made.substrings)
        self._which = np.full(count, -1)
        self._row = np.zeros((count, seen.strings), dtype=np.int16)
        self._column = np.zeros((count, seen.strings, seen.modules), dtype=np.int16)
        self._part = np.zeros((count, seen.strings, seen.modules, parts), dtype=np.int16)
        self._numbers: dict[tuple[tuple[Fault, ...], Plant], int] = {}
        self._circuits: list[Stand] = []
        self._stacked: Stand | None = None

    def solve(self, numbers: np.ndarray) -> None:
        """Have the circuits of some candidates solved, as far as they are not yet."""
        for number in numbers[self._which[numbers] < 0].tolist():
            faults = self._candidates[number].faults
            moved = moved_to_first(
                faults, self._plant, self._seen.strings, self._seen.modules, self._seen.made
            )
            circuit = self._circuit(moved)
            self._place(number, moved)
            self._which[number] = circuit

    def array(self, numbers: np.ndarray, what: int) -> Floats:
        """Voltage, current or power at the inverter; (candidates,)."""
        found: Floats = self._stack().array[self._which[numbers], what]
        return found

    def string(self, name: str, numbers: np.ndarray, string: int) -> Floats:
        """A field of strings, of one of them from 0; (candidates,)."""
        found: Floats = getattr(self._stack(), name)[self._which[numbers], self._row[numbers, string]]
        return found

    def modules(self, name: str, numbers: np.ndarray, string: int, modules: slice) -> Floats:
        """A field of modules, or of their substrings; (candidates, modules) or (..., substrings)."""
        values = getattr(self._stack(), name)
        at = self._which[numbers][:, None], self._row[numbers, string][:, None]
        columns = self._column[numbers, string, modules]
        if values.ndim == 3:
            found: Floats = values[(*at, columns)]
            return found
        parts = self._part[numbers, string, modules]
        fine: Floats = values[at[0][..., None], at[1][..., None], columns[..., None], parts]
        return fine

    def _circuit(self, moved: Moved) -> int:
        key = moved.faults, moved.plant
        if key not in self._numbers:
            if key not in self._solved:
                scenario = as_it_stands(with_faults(self._seen.scenario, moved.faults), moved.plant)
                self._solved[key] = _stand(solve_array(scenario, points=POINTS), self._seen)
            self._circuits.append(self._solved[key])
            self._numbers[key] = len(self._circuits) - 1
            self._stacked = None
        return self._numbers[key]

    def _place(self, number: int, moved: Moved) -> None:
        """Note where in its circuit each string, module and substring of the array lies."""
        parts = np.arange(len(self._seen.made.substrings))
        self._part[number] = parts
        for row, string in enumerate(moved.strings):
            self._row[number, string] = row
            self._column[number, string, moved.modules[row]] = np.arange(self._seen.modules)
        for (row, column), order in moved.parts.items():
            module = moved.modules[row][column]
            self._part[number, moved.strings[row], module, order] = parts

    def _stack(self) -> Stand:
        if self._stacked is None:
            self._stacked = Stand(
                **{name: np.stack([getattr(one, name) for one in self._circuits]) for name in _FIELDS}
            )
        return self._stacked


def _stand(solution: ArraySolution, seen: Seen) -> Stand:
    strings, modules, parts = seen.strings, seen.modules, len(seen.made.substrings)
    run_V, own_V, own_A, back_C = (np.zeros((strings, modules)) for _ in range(4))
    contrast_K, junction_V = np.zeros((strings, modules, parts)), np.full((strings, modules, parts), np.inf)
    start = solution.index.cell_start
    warmth_C = solution.cells.temperature_K - ZERO_CELSIUS_K
    for s in range(strings):
        for m in range(min(modules, built_length(solution.scenario, s + 1))):
            at = Place(s + 1, m + 1)
            number = solution.module_index(at)
            run_V[s, m] = run_voltage_V(solution, s + 1, m + 1, m + 1)
            own_V[s, m] = solution.modules.voltage_V[number]
            own_A[s, m] = solution.modules.current_A[number]
            back_C[s, m] = warmth_C[solution.cell_slice(at)].mean()
            contrast_K[s, m] = [value for _place, value in true_contrasts_K(solution, at)]
            edges = start[number] + solution.index.kinds[solution.index.module_kind[number]].substring_start
            for part in range(parts):
                mine = slice(int(edges[part]), int(edges[part + 1]))
                if solution.cells.current_A[mine].min() > _FLOWING_A:
                    junction_V[s, m, part] = np.median(solution.cells.junction_V[mine])
    array = np.full(3, np.nan)
    if len(solution.trackers) == 1:
        point = solution.trackers[0].point
        array = np.array([point.voltage_V, point.current_A, point.power_W])
    return Stand(
        run_V=settled(run_V),
        own_V=settled(own_V),
        own_A=settled(own_A),
        back_C=settled(back_C),
        contrast_K=settled(contrast_K),
        junction_V=settled(junction_V),
        string_V=settled(np.array(solution.strings.voltage_V)),
        string_A=settled(np.array(solution.strings.current_A)),
        array=settled(array),
    )


def settled(values: Floats) -> Floats:
    """Without the last digits, which depend on what a solver began with: the same case is searched alike."""
    return np.round(values, _DECIMALS) + 0.0
