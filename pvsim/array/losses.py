"""Where the nameplate power goes, in watts, from the cells' sum to what is delivered."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np

from pvsim.array.cell_power import cell_mpp_W
from pvsim.array.cell_scatter import CellScatter, scatter_of
from pvsim.array.damage import Damage, damage_of
from pvsim.array.elements import (
    ALIKE,
    SOUND,
    CellKey,
    cell_of,
    factors_of,
    substring_cells_element,
    substring_element,
)
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex
from pvsim.array.operating_point import Point, operating_point
from pvsim.array.operation import Operation
from pvsim.array.route import lead_resistances_ohm
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import CONDUCTING_A, CONDUCTING_SHARE, substring_states
from pvsim.array.wiring import Wirer
from pvsim.circuit import solve
from pvsim.circuit.cell import REFERENCE_TEMPERATURE_K, REFERENCE_IRRADIANCE_W_m2
from pvsim.circuit.floats import Floats
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import Element

MPP = Operation("mpp")
_CELL_POWERS_KEPT = 50_000


@dataclass(frozen=True, slots=True, kw_only=True)
class LossAccount:
    """Where the nameplate power goes; every step in W, and the steps add up exactly.

    Each term is the difference of two sums of power, the second with one thing more taken
    into account; a negative one is a gain (a cold day, bright light).

    Parameters
    ----------
    nameplate_W : float
        Every cell alone at its own maximum power point, sound, at 1000 W/m2 and 25 degrees C.
    scatter_W : float
        Less, as each cell scatters about its type: by its own photocurrent, shunt and breakdown.
    irradiance_W : float
        Less, as each cell has its own light (front, and the rear's share).
    temperature_W : float
        Less, as each cell has its own temperature.
    damage_W : float
        Less, as each cell has its own damage, still alone at its own maximum.
    within_substrings_W : float
        Less, as the cells of each substring are wired together, the substring without its
        diode at its own maximum: mismatch within substrings.
    bypassed_W : float
        What substrings whose bypass diode carries current could give but do not, and what the
        diode takes, each string alone at its own maximum.
    between_substrings_W : float
        What the other substrings could give but do not, in the same state: they cannot all be
        at their own maximum with one current. What sound diodes leak is counted here too.
    between_strings_W : float
        Less, as the strings of a tracker share one voltage: mismatch between strings.
    cable_W : float
        Eaten by connectors, cables, fuses, blocking diodes, earth faults and wires between
        strings.
    operation_W : float
        Less, as the trackers are not held at their maximum.
    delivered_W : float
        What the trackers get.

    Notes
    -----
    Strings that are cross-tied, or joined by faults, cannot be taken alone: there the state of
    the whole array counts, and what the joint costs stands in between_substrings_W.
    """

    nameplate_W: float
    scatter_W: float
    irradiance_W: float
    temperature_W: float
    damage_W: float
    within_substrings_W: float
    bypassed_W: float
    between_substrings_W: float
    between_strings_W: float
    cable_W: float
    operation_W: float
    delivered_W: float


LOSS_TERMS = tuple(name for name in LossAccount.__slots__ if name not in ("nameplate_W", "delivered_W"))


_accounts: WeakKeyDictionary[ArraySolution, LossAccount] = WeakKeyDictionary()


def loss_account(solution: ArraySolution) -> LossAccount:
    """The loss account of a solved array, at the maximum power point of its trackers.

    Kept as long as the solution.
    """
    if solution not in _accounts:
        _accounts[solution] = _account(solution)
    return _accounts[solution]


def _account(solution: ArraySolution) -> LossAccount:
    built = solution.built
    index = built.index
    damage = damage_of(solution.scenario.faults, index)
    scattered = scatter_of(solution.scenario.scatter, index)
    nameplate, real, lit, warm, damaged = _cell_sums(
        _cell_counts(index, built.irradiance_W_m2, built.temperature_K, damage, scattered)
    )
    own = _substring_maxima(index, built.modules)
    alone = _strings_alone(solution)
    substrings, through_diode = alone.substring_W, alone.bypassed
    bypassed = float((own - substrings)[through_diode].sum())
    within = damaged - float(own.sum())
    between = float((own - substrings)[~through_diode].sum())
    best = alone.tracker_W
    wired = float(substrings.sum()) - alone.terminals_W  # eaten by each string's own leads
    main = alone.combiner_W - best
    return LossAccount(
        nameplate_W=nameplate,
        scatter_W=nameplate - real,
        irradiance_W=real - lit,
        temperature_W=lit - warm,
        damage_W=warm - damaged,
        within_substrings_W=within,
        bypassed_W=bypassed,
        between_substrings_W=between,
        between_strings_W=alone.terminals_W - alone.combiner_W,
        cable_W=wired + main,
        operation_W=best - solution.power_W,
        delivered_W=solution.power_W,
    )


_cell_powers: dict[CellKey, float] = {}


def _cell_sums(counts: Counter[CellKey]) -> tuple[float, float, float, float, float]:
    """Summed power of the cells alone: alike at reference, scattered, in their light, heat, and damage."""
    G, T = REFERENCE_IRRADIANCE_W_m2, REFERENCE_TEMPERATURE_K
    steps: dict[CellKey, tuple[CellKey, ...]] = {
        key: (
            (kind, G, T, SOUND, ALIKE),
            (kind, G, T, SOUND, own),
            (kind, g, T, SOUND, own),
            (kind, g, t, SOUND, own),
            key,
        )
        for key in counts
        for kind, g, t, _wrong, own in [key]
    }
    asked = dict.fromkeys(k for steps_of in steps.values() for k in steps_of)
    missing = [key for key in asked if key not in _cell_powers]
    if missing:
        if len(_cell_powers) + len(missing) > _CELL_POWERS_KEPT:
            _cell_powers.clear()
            missing = list(asked)
        powers = cell_mpp_W([cell_of(key) for key in missing])
        _cell_powers.update(zip(missing, powers.tolist(), strict=True))
    sums = [0.0] * 5
    for key, steps_of in steps.items():
        for step, one in enumerate(steps_of):
            sums[step] += counts[key] * _cell_powers[one]
    return sums[0], sums[1], sums[2], sums[3], sums[4]


def _cell_counts(
    index: ArrayIndex, G: Floats, T: Floats, damage: Damage, scattered: CellScatter | None
) -> Counter[CellKey]:
    """How many cells there are of each state."""
    starts = index.cell_start[:-1]
    even = (np.minimum.reduceat(G, starts) == np.maximum.reduceat(G, starts)) & (
        np.minimum.reduceat(T, starts) == np.maximum.reduceat(T, starts)
    )
    counts: Counter[CellKey] = Counter()
    for m, alike in enumerate(even.tolist()):
        kind = index.kinds[index.module_kind[m]]
        cells = damage.cells.get(m, {})
        at = int(starts[m])
        if alike and scattered is None:
            g, t = float(G[at]), float(T[at])
            counts[kind, g, t, SOUND, ALIKE] += kind.cells - len(cells)
            for wrong in cells.values():
                counts[kind, g, t, wrong, ALIKE] += 1
        else:
            here = slice(at, at + kind.cells)
            own = [ALIKE] * kind.cells if scattered is None else factors_of(scattered, here)
            for number, (g, t) in enumerate(zip(G[here].tolist(), T[here].tolist(), strict=True)):
                counts[kind, g, t, cells.get(number, SOUND), own[number]] += 1
    return counts


_maxima: IdentityMemo[float] = IdentityMemo(6_000)


def _substring_maxima(index: ArrayIndex, modules: tuple[Element, ...]) -> Floats:
    """Maximum power of the cells of every substring, without its diode; (substrings,)."""
    out = np.empty(int(index.substring_start[-1]))
    known: dict[int, list[float]] = {}
    starts = index.substring_start.tolist()
    for m, element in enumerate(modules):
        powers = known.get(id(element))
        if powers is None:
            kind = index.kinds[index.module_kind[m]]
            powers = known[id(element)] = [
                _maximum(substring_cells_element(part, substring_element(kind, element, number)))
                for number, part in enumerate(kind.kind.substrings)
            ]
        out[starts[m] : starts[m + 1]] = powers
    return out


def _maximum(cells: Element) -> float:
    return _maxima.get((cells,), lambda: solve(cells, points=8).mpp.power_W)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Alone:
    """Strings alone at their maximum, and the trackers at theirs.

    Parameters
    ----------
    substring_W, bypassed : (substrings,)
        Power at the substring's leads, and whether its diode carries current, strings alone.
    terminals_W : float
        Sum of the strings' powers at their terminals, strings alone.
    combiner_W : float
        The same with each tracker at its maximum.
    tracker_W : float
        What the trackers get, each at its maximum.
    """

    substring_W: Floats
    bypassed: np.ndarray
    terminals_W: float
    combiner_W: float
    tracker_W: float


def _strings_alone(solution: ArraySolution) -> _Alone:
    built = solution.built
    index = built.index
    cell_V, cell_I = np.empty(len(built.cell_leaf)), np.empty(len(built.cell_leaf))
    diode_I = np.empty(len(built.diode_leaf))
    terminals = combiner = best = 0.0
    first_leaf = 0
    leads_ohm = lead_resistances_ohm(solution.scenario)
    wirer = Wirer(index, list(built.modules), damage_of(solution.scenario.faults, index), leads_ohm)
    for tracker, solved in zip(built.trackers, solution.trackers, strict=True):
        # A tracker that holds its voltage while cells warm up may be a little off its maximum.
        most = solved.characteristic.mpp.power_W
        at_mpp = solution.scenario.operation == MPP and solved.point.power_W >= most - 1e-9 * abs(most)
        point = solved.point if at_mpp else operating_point(tracker.circuit, MPP)
        best += point.power_W
        lone = len(tracker.strings) == 1 or isinstance(tracker.circuit, Mesh)
        if lone or solution.scenario.array.wiring == "cross-tied":
            for s in tracker.strings:
                _note(solution, s - 1, point, first_leaf, cell_V, cell_I, diode_I)
            terminals += point.power_W
            combiner += point.power_W
        else:
            known: dict[int, Point] = {}
            for s in tracker.strings:
                string = wirer.string(s - 1)
                mine = known.get(id(string))
                if mine is None:
                    mine = known[id(string)] = operating_point(string, MPP)
                leaf = int(built.cell_leaf[index.cell_start[index.string_start[s - 1]]])
                _note(solution, s - 1, mine, leaf, cell_V, cell_I, diode_I)
                terminals += mine.power_W
            combiner += point.power_W + _eaten_by_cables(solution, first_leaf, point)
        first_leaf += len(point.leaf_power_W)
    substrings = substring_states(index, cell_V, cell_I, diode_I)
    carried = np.zeros(len(substrings.current_A))
    for k, kind in enumerate(index.kinds):
        mine_too = np.flatnonzero(index.module_kind == k)
        diode = index.diode_start[mine_too][:, None] + np.arange(len(kind.diode_substring))
        carried[index.substring_start[mine_too][:, None] + kind.diode_substring] = np.abs(diode_I[diode])
    return _Alone(
        substring_W=substrings.power_W,
        bypassed=(carried > CONDUCTING_A) & (carried > CONDUCTING_SHARE * np.abs(substrings.current_A)),
        terminals_W=terminals,
        combiner_W=combiner,
        tracker_W=best,
    )


def _eaten_by_cables(solution: ArraySolution, first: int, point: Point) -> float:
    last = first + len(point.leaf_power_W)
    cables = [leaf - first for leaf in solution.built.cable_leaf if first <= leaf < last]
    return -float(point.leaf_power_W[cables].sum())


def _note(
    solution: ArraySolution,
    s: int,
    point: Point,
    first_leaf: int,
    cell_V: Floats,
    cell_I: Floats,
    diode_I: Floats,
) -> None:
    """Write a string's cells and diodes from a point whose leaves start at `first_leaf`."""
    built, index = solution.built, solution.built.index
    start, stop = int(index.string_start[s]), int(index.string_start[s + 1])
    cells = slice(int(index.cell_start[start]), int(index.cell_start[stop]))
    diodes = slice(int(index.diode_start[start]), int(index.diode_start[stop]))
    leaf = built.cell_leaf[cells] - first_leaf
    cell_V[cells], cell_I[cells] = point.leaf_voltage_V[leaf], point.leaf_current_A[leaf]
    diode_I[diodes] = point.leaf_current_A[built.diode_leaf[diodes] - first_leaf]
