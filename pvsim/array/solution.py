"""What solving an array gives back: every cell, diode, module and string at work."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.array.build import Built
from pvsim.array.index import ArrayIndex, cell_slice, diode_place, module_place, string_place
from pvsim.array.operating_point import Point
from pvsim.array.place import Place, level_of
from pvsim.array.scenario import Scenario
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.errors import ScenarioError
from pvsim.prompt import drawn, summary
from pvsim.words import _

BACKWARD_A = 0.01  # a good diode that blocks leaks a hundredth of this


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellStates:
    """Every cell at work, in the order string, module, cell; (cells,) each.

    Parameters
    ----------
    irradiance_W_m2, temperature_K
        What the circuit was solved with.
    voltage_V, current_A, power_W
        Generator convention: a cell that eats power has a negative power.
    junction_V
        Vd = V + I Rs.
    steady_temperature_K
        How warm the cell gets by light, wind and its power (see pvsim.array.heat), whatever
        temperature the circuit was solved with.
    steady_least_K, steady_most_K
        The range around it that correlations and mountings leave open.
    """

    irradiance_W_m2: Floats
    temperature_K: Floats
    voltage_V: Floats
    current_A: Floats
    power_W: Floats
    junction_V: Floats
    steady_temperature_K: Floats
    steady_least_K: Floats
    steady_most_K: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DiodeStates:
    """Every bypass diode at work, in the order string, module, substring; (diodes,) each.

    Parameters
    ----------
    voltage_V, current_A, power_W
        Generator convention: a conducting diode has V < 0, I > 0 and a negative power.
    conducting
        Whether the current along the generator current is more than 10 mA and more than 1 % of
        the current through its module.
    """

    voltage_V: Floats
    current_A: Floats
    power_W: Floats
    conducting: NDArray[np.bool_]

    __repr__ = summary

    @property
    def backward(self) -> NDArray[np.bool_]:
        """Whether the diode lets its substring's own current run back, as short and reversed ones do."""
        return np.asarray(self.current_A < -BACKWARD_A)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PartStates:
    """Substrings, modules or strings at work; (parts,) each.

    Substrings and modules as measured at their own leads, so a reversed module has a negative
    current in a working string. Strings with their leads, current at the positive end.
    """

    voltage_V: Floats
    current_A: Floats
    power_W: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TrackerSolution:
    """One tracker's strings: their characteristic together, and where they work on it.

    Parameters
    ----------
    strings : tuple of int
        Numbers, from 1.
    """

    strings: tuple[int, ...]
    characteristic: Characteristic
    point: Point

    __repr__ = summary


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class ArraySolution:
    """What an array does at its operating point.

    Parameters
    ----------
    scenario : Scenario
        What was solved.
    built : Built
        Its circuits.
    trackers : tuple of TrackerSolution
        One, or one a string.
    power_W : float
        Delivered by all trackers together.
    cells, diodes, substrings, modules, strings
        All parts, in the order string, module, cell (diode, substring).
    residual : float
        The largest of the trackers' residuals.
    heat_rounds : int
        Solves until temperatures settled; 1 without feedback.
    """

    scenario: Scenario
    built: Built
    trackers: tuple[TrackerSolution, ...]
    power_W: float
    cells: CellStates
    diodes: DiodeStates
    substrings: PartStates
    modules: PartStates
    strings: PartStates
    residual: float
    heat_rounds: int = 1

    _repr_html_ = drawn

    def __repr__(self) -> str:
        # Hundreds of arrays in full would flood a prompt.
        cells, diodes = len(self.cells.power_W), int(self.diodes.conducting.sum())
        conduct = "1 bypass diode conducts" if diodes == 1 else f"{diodes} bypass diodes conduct"
        return (
            f"<ArraySolution of {self.scenario.title[:80]!r}: {self.power_W:.6g} W, {cells} cells, "
            f"{conduct}, residual {self.residual:.1e}>"
        )

    @property
    def index(self) -> ArrayIndex:
        """Where every part stands in the arrays."""
        return self.built.index

    def cell_index(self, place: Place) -> int:
        """Where a cell stands in `cells`."""
        if level_of(place) != "cell":
            raise ScenarioError(
                _("{place} is not a cell").format(place=repr(place)),
                expected=_("a place like 2/5/14"),
                mend=_("Name string, module and cell"),
            )
        return int(cell_slice(self.index, place).start)

    def cell_slice(self, place: Place) -> slice:
        """Where the cells of any place stand in `cells`."""
        return cell_slice(self.index, place)

    def diode_index(self, place: Place) -> int:
        """Where the bypass diode of a diode's or substring's place stands in `diodes`."""
        return diode_place(self.index, place)

    def substring_index(self, place: Place) -> int:
        """Where the substring of a substring's, diode's or cell's place stands in `substrings`."""
        first = module_place(self.index, place)
        kind = self.index.kinds[self.index.module_kind[first]]
        at = cell_slice(self.index, place).start - int(self.index.cell_start[first])
        within = int(np.searchsorted(kind.substring_start, at, side="right")) - 1
        return int(self.index.substring_start[first]) + within

    def module_index(self, place: Place) -> int:
        """Where the module of a place stands in `modules`."""
        return module_place(self.index, place)

    def string_index(self, place: Place) -> int:
        """Where the string of a place stands in `strings`."""
        return string_place(self.index, place)

    @property
    def characteristic(self) -> Characteristic:
        """The characteristic, where all strings are on one tracker."""
        if len(self.trackers) > 1:
            raise ScenarioError(
                _("the array has {count} trackers and no characteristic of its own").format(
                    count=len(self.trackers)
                ),
                expected=_("one tracker"),
                mend=_("Take each tracker's characteristic from solution.trackers"),
            )
        return self.trackers[0].characteristic
