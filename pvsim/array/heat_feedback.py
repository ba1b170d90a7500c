"""Heat with feedback: solve and warm the cells in turn until their temperatures settle."""

from __future__ import annotations

import numpy as np

from pvsim.array.bracket import step_within, wide_open
from pvsim.array.build import Built, circuits
from pvsim.array.heat import power_per_area, rounded, start_temperature, steady_temperature, warmer
from pvsim.array.operating_point import Point, characteristic, operating_point
from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario
from pvsim.array.shading import cell_irradiance
from pvsim.circuit.floats import Floats
from pvsim.errors import ConvergenceError
from pvsim.words import _

SETTLED_K = 0.01
COARSE_K, FINE_K = 0.5, 1e-5  # temperatures are rounded to one or the other
MOST_ROUNDS = 120
STAY_AFTER = 15  # rounds after which a tracker no longer leaps between maxima
HOLD_AFTER = 40  # rounds after which it holds its voltage


def work_and_heat(scenario: Scenario, *, points: int = 400) -> tuple[Built, list[Point], int]:
    """The circuits of a scenario, each tracker's operating point, and the solves it took.

    With heat "feedback" the temperatures have settled: what light, wind and the power of
    each cell at the operating point make them is what the circuit was solved with.

    Parameters
    ----------
    points : int
        Of the characteristic that each tracker looks for its MPP on.

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
    if scenario.weather.heat != "feedback":
        built = circuits(scenario)
        return built, _hold(built, scenario.operation, points), 1
    G = cell_irradiance(scenario)
    built = circuits(
        scenario, irradiance_W_m2=G, temperature_K=rounded(start_temperature(scenario, G), COARSE_K)
    )
    found = _hold(built, scenario.operation, points)
    past = []
    bend = old = before = np.zeros(len(G))  # bend: of each steady temperature by the cell's own
    bracket = wide_open(len(G))
    for rounds in range(1, MOST_ROUNDS + 1):
        T = built.temperature_K
        power = np.concatenate([point.leaf_power_W for point in found])[built.cell_leaf]
        p = power_per_area(built.index, power, built.active_fraction)
        steady = warmer(scenario, steady_temperature(scenario.weather, G, p))
        change = steady - T
        largest = float(np.abs(change).max())
        if largest < SETTLED_K:
            return built, found, rounds
        fresh = rounds in (1, STAY_AFTER, HOLD_AFTER)
        bend = np.zeros(len(T)) if fresh else _bend(T - old, steady - before, bend)
        bracket = wide_open(len(T)) if fresh else bracket
        old, before = T, steady
        # Far from settled, round coarsely: fewer temperatures to make junction tables for.
        step = COARSE_K if largest > 4.0 * COARSE_K and rounds < STAY_AFTER else FINE_K
        calm = 1.0 if rounds < HOLD_AFTER else 10.0 / (10.0 + rounds - HOLD_AFTER)  # ends a secant's cycle
        move, bracket = step_within(bracket, T, change, T + calm * change / (1.0 - bend))
        T = np.where(np.abs(change) < 0.5 * SETTLED_K, T, rounded(move, step))
        built = circuits(scenario, irradiance_W_m2=G, temperature_K=T)
        if scenario.operation.kind != "mpp" or rounds < STAY_AFTER:
            found = _hold(built, scenario.operation, points)
        elif rounds < HOLD_AFTER:
            found = _stay(built, found, points)
            past.append([point.voltage_V for point in found])
        else:
            found = _keep(built, np.mean(past, axis=0).tolist())
    raise ConvergenceError(
        _("cell temperatures still change by {largest} K after {rounds} rounds").format(
            largest=f"{largest:.2g}", rounds=MOST_ROUNDS
        ),
        expected=_("a change below {least} K").format(least=SETTLED_K),
        mend=_("Use heat 'steady', or look for a cell that eats very much power"),
    )


def _bend(dT: Floats, d_steady: Floats, bend: Floats) -> Floats:
    """How steep each cell's steady temperature is by its own temperature, from the last two rounds.

    A secant step for each cell alone; what cells do to each other is left to the rounds.
    """
    moved = np.abs(dT) > 10.0 * FINE_K
    slope = d_steady / np.where(moved, dT, 1.0)
    return np.where(moved, np.clip(slope, -300.0, 0.5), bend)


def _hold(built: Built, operation: Operation, points: int) -> list[Point]:
    return [operating_point(tracker.circuit, operation, points=points) for tracker in built.trackers]


def _stay(built: Built, found: list[Point], points: int) -> list[Point]:
    """Each tracker at the maximum of power nearest to where it was."""
    nearest = []
    for tracker, point in zip(built.trackers, found, strict=True):
        mpps = characteristic(tracker.circuit, points=points).mpps
        peaks = np.array([peak.voltage_V for peak in mpps] or [0.0])
        nearest.append(float(peaks[np.abs(peaks - point.voltage_V).argmin()]))
    return _keep(built, nearest)


def _keep(built: Built, voltages_V: list[float]) -> list[Point]:
    """Each tracker at its own voltage."""
    return [
        operating_point(tracker.circuit, Operation("voltage", V))
        for tracker, V in zip(built.trackers, voltages_V, strict=True)
    ]
