"""The general solver: the characteristic and the operating points of a network of any wiring.

Every branch may be a single leaf. It shares the laws of the leaves with the tree solver and
nothing else, and so is the check of it inside the house.
"""

from __future__ import annotations

import numpy as np

from pvsim.circuit.balance import Solution, System, solve_drive
from pvsim.circuit.checks import check_curve, one_condition
from pvsim.circuit.drive import Drive
from pvsim.circuit.floats import Floats
from pvsim.circuit.mesh import Mesh, MeshPoint, incidence, nodes_of
from pvsim.circuit.parameter import BranchCurves
from pvsim.circuit.peak import greatest, power_peaks
from pvsim.circuit.solution import Characteristic

_COARSE = 64  # points that show where the curve bends
_MARGIN = 0.15  # of Isc shown beyond either axis
_DARK_CURRENT_A = 0.1  # scale of the axes where no light falls


def solve_mesh(mesh: Mesh, *, points: int = 400, window: tuple[float, float] | None = None) -> Characteristic:
    """The I-V characteristic of a mesh, from the reverse quadrant to beyond Voc.

    Parameters
    ----------
    mesh : Mesh
        A network of any wiring.
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
    system = System(BranchCurves(mesh), *incidence(mesh))
    isc = _at_voltage(system, np.zeros(1))
    voc = _at_current(system, np.zeros(1))
    isc_A, voc_V = float(_current(isc)[0]), float(_voltage(system, voc)[0])
    least, most = window or _window(system, isc_A, voc_V)
    coarse = _at_voltage(system, np.linspace(least, most, _COARSE))
    curve = _at_voltage(system, _spread(_voltage(system, coarse), _current(coarse), points, isc_A, voc_V))
    solved = [isc, voc, coarse, curve]
    V = np.concatenate([_voltage(system, one) for one in solved])
    I = np.concatenate([_current(one) for one in solved])
    slope = np.concatenate([one.slope_A_per_V for one in solved])

    def at_peaks(V: Floats) -> tuple[Floats, Floats]:
        solved.append(_at_voltage(system, V, None if solved[-1] is curve else solved[-1].x))
        return _current(solved[-1]), solved[-1].slope_A_per_V

    mpps = power_peaks(V, I, slope, at_peaks)
    best = greatest(mpps)
    lit = isc_A > 0.0 and voc_V > 0.0 and bool(mpps)
    V, I = _voltage(system, curve), _current(curve)
    return Characteristic(
        circuit=mesh,
        voltage_V=V,
        current_A=I,
        power_W=V * I,
        isc_A=isc_A,
        voc_V=voc_V,
        mpps=mpps,
        mpp=best,
        fill_factor=best.power_W / (isc_A * voc_V) if lit else 0.0,
        slope_at_isc_A_per_V=float(isc.slope_A_per_V[0]),
        slope_at_voc_A_per_V=float(voc.slope_A_per_V[0]),
        residual_A=max(float(one.residual.max()) for one in solved),
        iterations=sum(one.iterations for one in solved),
    )


def operate_mesh(
    mesh: Mesh,
    *,
    voltage_V: float | None = None,
    current_A: float | None = None,
    load_ohm: float | None = None,
    at_mpp: bool = False,
) -> MeshPoint:
    """A mesh at one operating point.

    Parameters
    ----------
    mesh : Mesh
        A network of any wiring.
    voltage_V : float
        Terminal voltage: a fixed-voltage load.
    current_A : float
        Terminal current.
    load_ohm : float
        A load resistance across the terminals.
    at_mpp : bool
        The global maximum power point. Exactly one of the four is given.

    Returns
    -------
    MeshPoint
        Voltage and current of every node, branch, cell, diode and resistor.

    Raises
    ------
    CircuitError
        If not exactly one operating condition is given, or it cannot be.
    ConvergenceError
        If the point does not settle.
    """
    one_condition(voltage_V=voltage_V, current_A=current_A, load_ohm=load_ohm, at_mpp=at_mpp)
    if at_mpp:
        voltage_V = solve_mesh(mesh, points=_COARSE).mpp.voltage_V
    curves = BranchCurves(mesh)
    system = System(curves, *incidence(mesh))
    if voltage_V is not None:
        solution = _at_voltage(system, np.array([float(voltage_V)]))
    elif current_A is not None:
        solution = _at_current(system, np.array([float(current_A)]))
    else:
        assert load_ohm is not None
        solution = solve_drive(system, Drive(np.ones(1), np.full(1, -load_ohm), np.zeros(1)))
    V, I = float(_voltage(system, solution)[0]), float(_current(solution)[0])
    leaf_V, leaf_I, leaf_junction_V = curves.leaves_at(solution.x[: system.B, 0])
    return MeshPoint(
        voltage_V=V,
        current_A=I,
        power_W=V * I,
        nodes=nodes_of(mesh),
        node_voltage_V=np.concatenate(([0.0], solution.x[system.B : -1, 0])),
        branch_voltage_V=solution.at.voltage_V[:, 0],
        branch_current_A=solution.at.current_A[:, 0],
        leaf_voltage_V=leaf_V,
        leaf_current_A=leaf_I,
        leaf_power_W=leaf_V * leaf_I,
        leaf_junction_V=leaf_junction_V,
        residual=float(solution.residual[0]),
        iterations=solution.iterations,
    )


def _at_voltage(system: System, V: Floats, start: Floats | None = None) -> Solution:
    return solve_drive(system, Drive(np.ones(len(V)), np.zeros(len(V)), V), start)


def _at_current(system: System, I: Floats) -> Solution:
    return solve_drive(system, Drive(np.zeros(len(I)), np.ones(len(I)), I))


def _voltage(system: System, solution: Solution) -> Floats:
    V: Floats = solution.x[system.B]
    return V


def _current(solution: Solution) -> Floats:
    I: Floats = solution.x[-1]
    return I


def _window(system: System, isc_A: float, voc_V: float) -> tuple[float, float]:
    """Voltages at which the current is 15 % beyond either axis, within reason."""
    I_scale, V_scale = max(abs(isc_A), _DARK_CURRENT_A), max(abs(voc_V), 0.05)
    ends = _at_current(system, np.array([-_MARGIN * I_scale, (1.0 + _MARGIN) * I_scale]))
    most, least = (float(V) for V in _voltage(system, ends))
    most = min(most, max(3.0 * V_scale, 1.0))
    least = max(least, -max(0.5 * V_scale, 40.0))
    return (least, most) if least < most else (-V_scale, V_scale)


def _spread(V: Floats, I: Floats, points: int, isc_A: float, voc_V: float) -> Floats:
    """Voltages that lie evenly along the curve as it is drawn."""
    I_scale, V_scale = max(abs(isc_A), _DARK_CURRENT_A), max(abs(voc_V), 0.05)
    # The reverse side is wide and counts less.
    wide = max(V_scale, -float(V[0]))
    across = np.diff(V) / np.where(V[1:] <= 0.0, wide, V_scale)
    s = np.concatenate(([0.0], np.cumsum(np.hypot(across, np.minimum(np.abs(np.diff(I)) / I_scale, 1.5)))))
    return np.interp(np.linspace(0.0, s[-1], points), s, V)

