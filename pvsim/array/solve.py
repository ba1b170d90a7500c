"""Solve an array: its characteristics, and every part at its operating point."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pvsim.array.build import Built, circuits, part_circuit
from pvsim.array.heat import power_per_area, steady_range, steady_temperature, warmer
from pvsim.array.heat_feedback import work_and_heat
from pvsim.array.index import ArrayIndex
from pvsim.array.operating_point import characteristic, operating_point
from pvsim.array.operation import Operation
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution, CellStates, DiodeStates, PartStates, TrackerSolution
from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic

LONGEST_S = 120.0  # 400,000 unlike cells take a minute
CONDUCTING_A = 0.01  # a bypass diode conducts above this forward current ...
CONDUCTING_SHARE = 0.01  # ... and above this share of its module's current


def solve_array(scenario: Scenario, *, points: int = 400) -> ArraySolution:
    """What the array does: each tracker's characteristic, and every part at its operating point.

    Parameters
    ----------
    points : int
        Of each characteristic.

    Returns
    -------
    ArraySolution

    Raises
    ------
    ConvergenceError
        If the circuit or the heat balance does not settle, or not within LONGEST_S; whoever can
        wait less holds a budget (`pvsim.circuit.budget`).
    """
    with budget.within(LONGEST_S):
        return _solve(scenario, points)


def _solve(scenario: Scenario, points: int) -> ArraySolution:
    built, found, rounds = work_and_heat(scenario, points=points)
    trackers = tuple(
        TrackerSolution(
            strings=tracker.strings,
            characteristic=characteristic(tracker.circuit, points=points),
            point=point,
        )
        for tracker, point in zip(built.trackers, found, strict=True)
    )
    return _collect(scenario, built, trackers, rounds)


def solve_in_light(
    scenario: Scenario, irradiance_W_m2: Floats, *, voltage_V: Sequence[float] = (), points: int = 400
) -> ArraySolution:
    """What the array does when its cells get light that the scenario itself does not tell.

    Parameters
    ----------
    scenario : Scenario
        Whatever heat it asks for, cells are as warm as this light and the weather make them.
    irradiance_W_m2 : (cells,)
        What each cell turns into current.
    voltage_V : sequence of float
        Where each tracker holds its strings, if that is known; else the scenario's operation says it.
    points : int
        Of each characteristic.

    Raises
    ------
    ConvergenceError
        As `solve_array`.
    """
    with budget.within(LONGEST_S):
        built = circuits(scenario, irradiance_W_m2=irradiance_W_m2)
        held = [Operation("voltage", one) for one in voltage_V] or [scenario.operation] * len(built.trackers)
        trackers = tuple(
            TrackerSolution(
                strings=tracker.strings,
                characteristic=characteristic(tracker.circuit, points=points),
                point=operating_point(tracker.circuit, operation, points=points),
            )
            for tracker, operation in zip(built.trackers, held, strict=True)
        )
        return _collect(scenario, built, trackers, 1)


def level_curve(scenario: Scenario, place: Place, *, points: int = 400) -> Characteristic:
    """The characteristic of one part of the array on its own, of any level.

    Parameters
    ----------
    place : Place
        A cell, bypass diode, substring, module, string or the whole array; see `part_circuit`
        for what belongs to each.

    Notes
    -----
    With heat feedback the temperatures are those of the array at work.
    """
    built = work_and_heat(scenario)[0] if scenario.weather.heat == "feedback" else circuits(scenario)
    return characteristic(part_circuit(scenario, place, built), points=points)


def part_curve(solution: ArraySolution, place: Place, *, points: int = 400) -> Characteristic:
    """As `level_curve`, from a solution at hand, without building its circuits again."""
    return characteristic(part_circuit(solution.scenario, place, solution.built), points=points)


def _collect(
    scenario: Scenario, built: Built, trackers: tuple[TrackerSolution, ...], rounds: int
) -> ArraySolution:
    points = [tracker.point for tracker in trackers]
    V = np.concatenate([point.leaf_voltage_V for point in points])
    I = np.concatenate([point.leaf_current_A for point in points])
    P = np.concatenate([point.leaf_power_W for point in points])
    Vd = np.concatenate([point.leaf_junction_V for point in points])
    index, at = built.index, built.cell_leaf
    p = power_per_area(index, P[at], built.active_fraction)
    least, most = steady_range(scenario.weather, built.irradiance_W_m2, p)
    cells = CellStates(
        irradiance_W_m2=built.irradiance_W_m2,
        temperature_K=built.temperature_K,
        voltage_V=V[at],
        current_A=I[at],
        power_W=P[at],
        junction_V=Vd[at],
        steady_temperature_K=warmer(
            scenario, steady_temperature(scenario.weather, built.irradiance_W_m2, p)
        ),
        steady_least_K=warmer(scenario, least),
        steady_most_K=warmer(scenario, most),
    )
    substrings = substring_states(index, cells.voltage_V, cells.current_A, I[built.diode_leaf])
    modules = _modules(index, substrings)
    diode_I = I[built.diode_leaf]
    diodes = DiodeStates(
        voltage_V=V[built.diode_leaf],
        current_A=diode_I,
        power_W=P[built.diode_leaf],
        conducting=_conducting(index, diode_I, modules),
    )
    return ArraySolution(
        scenario=scenario,
        built=built,
        trackers=trackers,
        power_W=float(sum(point.power_W for point in points)),
        cells=cells,
        diodes=diodes,
        substrings=substrings,
        modules=modules,
        strings=_strings(built, modules, V),
        residual=max(_residual(tracker) for tracker in trackers),
        heat_rounds=rounds,
    )


def _residual(tracker: TrackerSolution) -> float:
    return max(tracker.point.residual_A, tracker.characteristic.residual_A)


def substring_states(index: ArrayIndex, cell_V: Floats, cell_I: Floats, diode_I: Floats) -> PartStates:
    """Substrings from their cells and diodes: voltage along the first chain, all currents together.

    Parameters
    ----------
    cell_V, cell_I : (cells,)
    diode_I : (diodes,)
    """
    count = int(index.substring_start[-1])
    V, I = np.zeros(count), np.zeros(count)
    for k, kind in enumerate(index.kinds):
        mine = np.flatnonzero(index.module_kind == k)
        cell0 = index.cell_start[mine]
        part0 = index.substring_start[mine]
        for number, substring in enumerate(kind.kind.substrings):
            start = cell0 + kind.substring_start[number]
            chain = start[:, None] + np.arange(len(substring.chains[0]))
            V[part0 + number] = cell_V[chain].sum(axis=1)
            heads = np.cumsum([0] + [len(one) for one in substring.chains[:-1]])
            I[part0 + number] = cell_I[start[:, None] + heads].sum(axis=1)
        diode = index.diode_start[mine][:, None] + np.arange(len(kind.diode_substring))
        I[part0[:, None] + kind.diode_substring] += diode_I[diode]
    return PartStates(voltage_V=V, current_A=I, power_W=V * I)


def _modules(index: ArrayIndex, substrings: PartStates) -> PartStates:
    first = index.substring_start[:-1]
    V = np.add.reduceat(substrings.voltage_V, first)
    I = substrings.current_A[first]
    return PartStates(voltage_V=V, current_A=I, power_W=V * I)


def _conducting(index: ArrayIndex, diode_I: Floats, modules: PartStates) -> NDArray[np.bool_]:
    through = np.repeat(np.abs(modules.current_A), np.diff(index.diode_start))
    return (diode_I > CONDUCTING_A) & (diode_I > CONDUCTING_SHARE * through)


def _strings(built: Built, modules: PartStates, leaf_V: Floats) -> PartStates:
    """Modules as they are plugged in, connectors and leads; the current at the positive end."""
    index = built.index
    sign = np.where(built.reversed_modules, -1.0, 1.0)
    V = np.add.reduceat(sign * modules.voltage_V, index.string_start[:-1])
    last = index.string_start[1:] - 1
    I = sign[last] * modules.current_A[last]
    for module, leaf in built.connector_leaf.items():
        V[index.module_string[module]] += leaf_V[leaf]
    for s, (leaf, count) in enumerate(
        zip(built.leads_leaf.tolist(), built.leads_count.tolist(), strict=True)
    ):
        V[s] += leaf_V[leaf : leaf + count].sum()
    return PartStates(voltage_V=V, current_A=I, power_W=V * I)
