"""Solving a circuit: its characteristic with every key point, and its operating points."""

from __future__ import annotations

import numpy as np

from pvsim.circuit.cell import Cell
from pvsim.circuit.checks import check_curve, one_condition
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.circuit.latest import Latest
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import ELEMENTS, Element, Parallel, Resistor, Series, Turned
from pvsim.circuit.peak import brackets, cubic_peaks, greatest, power_peaks
from pvsim.circuit.register import Plan, current_register
from pvsim.circuit.solution import Characteristic, OperatingPoint, PowerPoint
from pvsim.circuit.states import States, Trail
from pvsim.circuit.table import Table
from pvsim.circuit.tree import TreeSolver
from pvsim.errors import CircuitError
from pvsim.numbers import short_number
from pvsim.words import _

_MARGIN = 0.15  # of Isc shown beyond either axis
_DARK_CURRENT_A = 0.1  # scale of the axes where no light falls
_MOST_TIMES_REACH = 4.0
_BESIDE = (-2e-3, -5e-5, 5e-5, 2e-3)  # of a maximum's voltage: points that hold it between them

_solvers: Latest[TreeSolver] = Latest(24)
_characteristics: Latest[Characteristic] = Latest(256)
_trails: Latest[Trail] = Latest(4)  # large: only the last few


def leaves(circuit: Element | Mesh) -> tuple[Cell | Diode | Resistor, ...]:
    """The cells, diodes and resistors of a circuit, depth first, children and branches in order.

    Returns
    -------
    tuple
        A shared child stands once for each place it has.
    """
    if isinstance(circuit, (Series, Parallel, Mesh)):
        memo: dict[int, tuple[Cell | Diode | Resistor, ...]] = {}
        found: list[Cell | Diode | Resistor] = []
        children = (
            [branch.element for branch in circuit.branches] if isinstance(circuit, Mesh) else circuit.children
        )
        for child in children:
            if id(child) not in memo:
                memo[id(child)] = leaves(child)
            found.extend(memo[id(child)])
        return tuple(found)
    if isinstance(circuit, Turned):
        return leaves(circuit.child)
    return (circuit,)


def solve(
    circuit: Element | Mesh, *, points: int = 400, window: tuple[float, float] | None = None
) -> Characteristic:
    """The I-V characteristic of a circuit, from the reverse quadrant to beyond Voc.

    Parameters
    ----------
    circuit : Cell, Diode, Resistor, Series, Parallel, Turned or Mesh
        A series-parallel network of any depth, or a mesh of such networks.
    points : int
        How many points the curve has.
    window : (least, most) or None
        Voltages between which the curve is given, in V; None chooses them so that the
        current reaches 15 % beyond Isc and below zero.

    Returns
    -------
    Characteristic
        Every point, and every key point, to solver tolerance.

    Raises
    ------
    CircuitError
        If points or window cannot be.
    ConvergenceError
        If a point does not settle.
    """
    check_curve(points, window)
    solver, key = _solver(circuit)
    full_key = (*key, points, window)
    known = _characteristics.get(full_key)
    if known is not None:
        return known
    made = _characteristic(circuit, solver, key, points, window)
    _characteristics.keep(full_key, made)
    return made


def operate(
    circuit: Element | Mesh,
    *,
    voltage_V: float | None = None,
    current_A: float | None = None,
    load_ohm: float | None = None,
    at_mpp: bool = False,
    points: int = 400,
) -> OperatingPoint:
    """The whole circuit at one operating point.

    Parameters
    ----------
    circuit : Element or Mesh
        A series-parallel network, or a mesh of such networks.
    voltage_V : float
        Terminal voltage: a fixed-voltage load.
    current_A : float
        Terminal current.
    load_ohm : float
        A load resistance across the terminals.
    at_mpp : bool
        The global maximum power point. Exactly one of the four is given.
    points : int
        Of the characteristic on which the MPP is looked for, beside those that its table calls for: the
        same as of one that is wanted anyway, so that it is solved once.

    Returns
    -------
    OperatingPoint
        Voltage, current and power of every cell, diode and resistor.

    Raises
    ------
    CircuitError
        If not exactly one operating condition is given, or it cannot be.
    ConvergenceError
        If the point does not settle.
    """
    one_condition(voltage_V=voltage_V, current_A=current_A, load_ohm=load_ohm, at_mpp=at_mpp)
    solver, key = _solver(circuit)
    table = solver.table()
    one = np.ones(1)
    if at_mpp:
        voltage_V = solve(circuit, points=points).mpp.voltage_V
    if voltage_V is not None:
        V = np.array([float(voltage_V)])
        I, line = table.current(V), (one, 0.0 * one, V)
    elif current_A is not None:
        I = np.array([float(current_A)])
        V, line = table.voltage(I), (0.0 * one, one, I)
    else:
        assert load_ohm is not None
        V = _load_voltage(table, float(load_ohm))
        I, line = table.current(V), (one, -float(load_ohm) * one, 0.0 * one)
    most_A = _MOST_TIMES_REACH * solver.plan.table_reach_A
    if abs(I[0]) > most_A:
        raise CircuitError(
            _("at {voltage} V the circuit would carry about {current} A").format(
                voltage=short_number(V[0], 4), current=short_number(I[0], 3)
            ),
            expected=_("at most {most} A, far more than its light can drive").format(
                most=short_number(most_A)
            ),
            mend=_("Stay near 0 V to its open-circuit voltage, {voltage} V").format(
                voltage=short_number(table.voltage(0.0 * one)[0], 4)
            ),
        )
    trail = _trails.get(key)
    known = trail is not None and trail.along_V[0] <= V[0] <= trail.along_V[-1]
    start = trail.between(V) if trail and known else solver.start(V, I)
    states = solver.solve(*line, start, slopes=False)
    return _operating_point(solver, states)


def voltage_near(circuit: Element | Mesh, current_A: Floats) -> Floats:
    """About where a circuit carries these currents: for the ends of what is drawn, without solving a point.

    Parameters
    ----------
    circuit : Element or Mesh
    current_A : (n,)

    Returns
    -------
    (n,)
        Voltages in V, as the circuit's table has them; beyond its ends straight on.
    """
    solver, _key = _solver(circuit)
    return solver.table().voltage(np.asarray(current_A, dtype=float))


def _solver(circuit: Element | Mesh) -> tuple[TreeSolver, tuple[int, int]]:
    if not isinstance(circuit, (*ELEMENTS, Mesh)):
        raise CircuitError(
            f"{type(circuit).__name__} is not a circuit",
            expected="a Cell, Diode, Resistor, Series, Parallel, Turned or Mesh",
            mend="Put several elements into a Series or a Parallel",
        )
    register, lock = current_register()
    with lock:
        key = (register.serial, register.number(circuit))
        solver = _solvers.get(key)
        if solver is None:
            solver = TreeSolver(Plan(register, key[1]))
            _solvers.keep(key, solver)
    return solver, key


def _load_voltage(table: Table, load_ohm: float) -> Floats:
    # Where V - R I changes sign among the knots; exact enough to start from.
    off = table.V - load_ohm * table.I
    k = int(np.argmax(off <= 0.0)) or 1
    t = off[k - 1] / (off[k - 1] - off[k])
    return np.array([table.V[k - 1] + t * (table.V[k] - table.V[k - 1])])


def _operating_point(solver: TreeSolver, states: States) -> OperatingPoint:
    order = solver.plan.order()
    I, junction = states.leaf_current_A[:, 0], states.junction_V[:, 0]
    V = solver.sign[:, 0] * junction - I * solver.ohms[:, 0]
    at_V, at_I = float(states.voltage_V[0]), float(states.current_A[0])
    return OperatingPoint(
        voltage_V=at_V,
        current_A=at_I,
        power_W=at_V * at_I,
        leaf_voltage_V=V[order],
        leaf_current_A=I[order],
        leaf_power_W=(V * I)[order],
        leaf_junction_V=junction[order],
        residual_A=states.residual,
        iterations=states.iterations,
    )


def _characteristic(
    circuit: Element | Mesh,
    solver: TreeSolver,
    key: tuple[int, int],
    points: int,
    window: tuple[float, float] | None,
) -> Characteristic:
    table = solver.table()
    voc_V = float(table.voltage(np.zeros(1))[0])
    isc_A = float(table.current(np.zeros(1))[0])
    curve_V = _spread(table, points, window or _window(table, isc_A, voc_V), isc_A, voc_V)
    # Beside the curve: the two axes, and both sides of every power maximum the table shows.
    around = _around_maxima(table)
    V = np.concatenate((curve_V, around, [0.0, voc_V]))
    a, b, c = np.ones(len(V)), np.zeros(len(V)), V.copy()
    a[-1], b[-1], c[-1] = 0.0, 1.0, 0.0
    I = table.current(V)
    I[-1] = 0.0
    states = solver.solve(a, b, c, solver.start(V, I), currents=False, drawn=points)
    trail = Trail(states)
    _trails.keep(key, trail)
    V, I, slope = states.voltage_V, states.current_A, -1.0 / states.slope_ohm
    mpps, more = _maxima(solver, states, trail)
    best = greatest(mpps)
    isc_A, voc_V = float(I[-2]), float(V[-1])
    lit = isc_A > 0.0 and voc_V > 0.0 and isc_A * voc_V > 0.0 and bool(mpps)
    curve = slice(0, points)
    return Characteristic(
        circuit=circuit,
        voltage_V=V[curve].copy(),
        current_A=I[curve].copy(),
        power_W=V[curve] * I[curve],
        isc_A=isc_A,
        voc_V=voc_V,
        mpps=mpps,
        mpp=best,
        fill_factor=best.power_W / (isc_A * voc_V) if lit else 0.0,
        slope_at_isc_A_per_V=float(slope[-2]),
        slope_at_voc_A_per_V=float(slope[-1]),
        residual_A=max(states.residual, *(state.residual for state in more), 0.0),
        iterations=states.iterations + sum(state.iterations for state in more),
    )


def _window(table: Table, isc_A: float, voc_V: float) -> tuple[float, float]:
    """The voltages between which a curve is shown when nobody says it."""
    I_scale, V_scale = _scales(isc_A, voc_V)
    forward_V, reverse_V = max(3.0 * V_scale, 1.0), max(0.5 * V_scale, 40.0)
    if isc_A < 0.0:  # a source the wrong way round shows the same stretch, turned
        least, most = table.voltage(I_scale * np.array([_MARGIN, -1.0 - _MARGIN])).tolist()
        least, most = max(least, -forward_V), min(most, reverse_V)
    else:
        least, most = table.voltage(I_scale * np.array([1.0 + _MARGIN, -_MARGIN])).tolist()
        least, most = max(least, -reverse_V), min(most, forward_V)
    return (least, most) if least < most else (-V_scale, V_scale)


def _scales(isc_A: float, voc_V: float) -> tuple[float, float]:
    return max(abs(isc_A), _DARK_CURRENT_A), max(abs(voc_V), 0.05)


def _spread(
    table: Table, points: int, window: tuple[float, float], isc_A: float, voc_V: float
) -> Floats:
    """Voltages that lie evenly along the curve as it is drawn."""
    (least, most), (I_scale, V_scale) = window, _scales(isc_A, voc_V)
    # The ends and the axis between the knots: from one to the next a curve is drawn nearly straight.
    marks = np.array([least, min(max(0.0, least), most), most])
    V, I, _dV = table.falling
    first, last = np.searchsorted(V, (least, most), side="right")
    V, I = np.concatenate((marks, V[first:last])), np.concatenate((table.current(marks), I[first:last]))
    order = V.argsort(kind="stable")
    V, I = V[order], I[order]
    # Drawn lengths: the reverse side is wide and counts less.
    behind = V[:-1] >= 0.0 if isc_A < 0.0 else V[1:] <= 0.0
    wide = max(V_scale, most if isc_A < 0.0 else -least)
    dV = (V[1:] - V[:-1]) / np.where(behind, wide, V_scale)
    dI = np.minimum((I[:-1] - I[1:]) / I_scale, 1.5)
    s = np.zeros(len(V))
    np.sqrt(dV * dV + dI * dI).cumsum(out=s[1:])
    spread: Floats = np.interp(np.arange(points) * (s[-1] / (points - 1)), s, V)
    spread[0], spread[-1] = least, most
    return spread


def _around_maxima(table: Table) -> Floats:
    """Voltages close by on both sides of every power maximum the table shows."""
    low, high = brackets(table.falling)
    if not low.size:
        return np.empty(0)
    V = cubic_peaks(low, high)
    return np.concatenate([V * (1.0 + off) for off in _BESIDE])


def _maxima(solver: TreeSolver, states: States, trail: Trail) -> tuple[tuple[PowerPoint, ...], list[States]]:
    """Every local maximum of power, between the points solved already."""
    more: list[States] = []

    def at(V: Floats) -> tuple[Floats, Floats]:
        zero = np.zeros(len(V))
        more.append(solver.solve(zero + 1.0, zero, V, trail.between(V)))
        return more[-1].current_A, -1.0 / more[-1].slope_ohm

    peaks = power_peaks(states.voltage_V, states.current_A, -1.0 / states.slope_ohm, at)
    return peaks, more
