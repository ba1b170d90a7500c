"""Heat with feedback: solve and warm the cells in turn until their temperatures settle."""

from __future__ import annotations

import numpy as np

from pvsim.array.build import Built, circuits
from pvsim.array.heat import STEP_K, power_per_area, rounded, steady_temperature
from pvsim.array.module import Floats
from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario
from pvsim.array.work import Point, characteristic, operating_point
from pvsim.errors import ConvergenceError

SETTLED_K = 0.01
COARSE_K = 0.5
MOST_ROUNDS = 120
STAY_AFTER = 15  # rounds after which a tracker no longer leaps between maxima
HOLD_AFTER = 40  # rounds after which it holds its voltage


def work_and_heat(scenario: Scenario) -> tuple[Built, list[Point], int]:
    """The circuits of a scenario, each tracker's operating point, and the solves it took.

    With heat "feedback" the temperatures have settled: what light, wind and the power of
    each cell at the operating point make them is what the circuit was solved with.

    Raises
    ------
    ConvergenceError
        If the circuit or the heat balance does not settle.

    Notes
    -----
    Warming can make another maximum of power the greatest, and cooling bring the first one
    back. Then no state of the greatest maximum is steady; as a tracker in the field does, ours
    stays on the maximum it is on. Where that one comes and goes too, it holds its mean voltage.
    """
    built = circuits(scenario)
    points = _hold(built, scenario.operation)
    if scenario.weather.heat != "feedback":
        return built, points, 1
    voltages = np.zeros(len(points))
    bend = old = before = np.zeros(len(built.temperature_K))  # of the steady temperature by T
    for rounds in range(1, MOST_ROUNDS + 1):
        power = np.concatenate([point.leaf_power_W for point in points])[built.cell_leaf]
        p = power_per_area(built.index, power)
        steady = steady_temperature(scenario.weather, built.irradiance_W_m2, p)
        T, change = built.temperature_K, steady - built.temperature_K
        largest = float(np.abs(change).max())
        if largest < SETTLED_K:
            return built, points, rounds
        bend = (
            np.zeros(len(T))
            if rounds in (1, STAY_AFTER, HOLD_AFTER)
            else _bend(T - old, steady - before, bend)
        )
        old, before = T, steady
        # Far from settled, round coarsely: fewer temperatures to make junction tables for.
        step = COARSE_K if largest > 4.0 * COARSE_K and rounds < STAY_AFTER else STEP_K / 10.0
        T = rounded(T + change / (1.0 - bend), step)
        built = circuits(scenario, irradiance_W_m2=built.irradiance_W_m2, temperature_K=T)
        if scenario.operation.kind != "mpp" or rounds < STAY_AFTER:
            points = _hold(built, scenario.operation)
        elif rounds < HOLD_AFTER:
            points = _stay(built, points)
            voltages += np.array([point.voltage_V for point in points])
        else:
            mean = (voltages / (HOLD_AFTER - STAY_AFTER)).tolist()
            points = [
                operating_point(tracker.circuit, Operation("voltage", V))
                for tracker, V in zip(built.trackers, mean, strict=True)
            ]
    raise ConvergenceError(
        f"cell temperatures still change by {largest:.2g} K after {MOST_ROUNDS} rounds",
        expected=f"a change below {SETTLED_K} K",
        mend="Use heat 'steady', or look for a cell that eats very much power",
    )


def _bend(dT: Floats, d_steady: Floats, bend: Floats) -> Floats:
    """How steep each cell's steady temperature is by its own temperature, from the last two rounds.

    A secant step for each cell alone; what cells do to each other is left to the rounds.
    """
    moved = np.abs(dT) > SETTLED_K / 10.0
    slope = d_steady / np.where(moved, dT, 1.0)
    return np.where(moved, np.clip(slope, -30.0, 0.5), bend)


def _hold(built: Built, operation: Operation) -> list[Point]:
    return [operating_point(tracker.circuit, operation) for tracker in built.trackers]


def _stay(built: Built, points: list[Point]) -> list[Point]:
    """Each tracker at the maximum of power nearest to where it was."""
    out = []
    for tracker, point in zip(built.trackers, points, strict=True):
        peaks = np.array([peak.voltage_V for peak in characteristic(tracker.circuit).mpps] or [0.0])
        near = float(peaks[np.abs(peaks - point.voltage_V).argmin()])
        out.append(operating_point(tracker.circuit, Operation("voltage", near)))
    return out
