"""Netlists for ngspice, a general circuit simulator: the check from outside.

The junction of a cell or diode becomes a behavioural current source that carries its
law as a formula, beside its series resistance; wires become resistors. Nothing of
pvsim's solvers goes into the text, only the parameters of the leaves.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import log

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import WIRE, Junction, Leaf, leaf_of
from pvsim.circuit.mesh import Mesh, Node, as_mesh, leaf_branches
from pvsim.circuit.network import Element
from pvsim.errors import CircuitError

# Beyond this current a law goes straight on, so that no trial voltage overflows.
STRAIGHT_BEYOND_A = 1e4
# Below this resistance the current is an unknown of its own, or rounding would swamp it.
BRIDGE_BELOW_ohm = 1e-4

FUNCTIONS = """\
* exp(x), straight on above x = most; and q^-m, straight on below q = least
.func straight(x,most) {exp(min(x,most))*(1+max(x-most,0))}
.func lift(q,least,m) {exp(-m*ln(max(q,least)))*(1+m*max(least-q,0)/least)}"""
OPTIONS = (
    # Currents to 1e-6 A of several A; no conductance added; breaks of 1e12 ohm kept as pivots.
    ".options reltol=1e-8 abstol=1e-12 vntol=1e-12 gmin=1e-18 pivtol=1e-25 itl1=500 itl2=500"
)


def write_netlist(circuit: Element, voltages: Floats) -> str:
    """The netlist of a series-parallel circuit, with a sweep of its terminal voltage.

    Parameters
    ----------
    circuit : Element
    voltages : (n,)
        In V, rising in even steps, at least two.

    Returns
    -------
    str
        For `ngspice -b -r <file>`. Node p is the plus terminal, node 0 the minus
        terminal, i(vterminal) the current delivered.

    Raises
    ------
    CircuitError
        If the voltages are no even sweep.

    Notes
    -----
    Tried with ngspice 39.
    """
    return write_mesh_netlist(as_mesh(circuit), voltages)


def write_mesh_netlist(mesh: Mesh, voltages: Floats) -> str:
    """The netlist of a network of any wiring; otherwise as `write_netlist`.

    A branch that holds a series-parallel part is written out to its leaves.
    """
    first, last, step = _sweep(np.asarray(voltages, dtype=float))
    names: dict[Node, str] = {}
    names[mesh.minus_node], names[mesh.plus_node] = "0", "p"
    lines: list[str] = []
    number = 0
    for number, (element, minus, plus) in enumerate(leaf_branches(mesh), start=1):
        ends = (names.setdefault(node, f"n{len(names)}") for node in (minus, plus))
        lines.extend(_leaf(number, leaf_of(element), *ends))
    head = [f"pvsim: {number} cells, diodes and resistors", FUNCTIONS]
    foot = ["Vterminal p 0 0", OPTIONS, f".dc Vterminal {first} {last} {step}", ".end", ""]
    return "\n".join(head + lines + foot)


def _leaf(number: int, leaf: Leaf, minus: str, plus: str) -> Iterator[str]:
    """The lines of one leaf; its current flows inside from minus to plus."""
    ohms = leaf.resistance_ohm
    inner = minus
    if leaf.junction is not WIRE:
        inner = f"j{number}" if ohms > 0.0 else plus
        forward = f"v({inner},{minus})" if minus != "0" else f"v({inner})"
        sign = "-" if leaf.sign > 0.0 else "+"
        law = _law(leaf.junction, forward if leaf.sign > 0.0 else f"(-{forward})")
        yield f"B{number} {minus} {inner} I={_text(leaf.source_A)}{sign}({law})"
    if ohms >= BRIDGE_BELOW_ohm:
        yield f"R{number} {inner} {plus} {_text(ohms)}"
    elif inner != plus:
        # A voltage of -R I, with I through a source of zero volts.
        yield f"V{number} {inner} w{number} 0"
        yield f"H{number} {plus} w{number} V{number} {_text(-ohms)}"


def _law(junction: Junction, v: str) -> str:
    """f(v) of pvsim.circuit.leaf as a formula."""
    terms = [_exponential(junction.saturation_current_A, junction.thermal_V, v)]
    if junction.second_saturation_current_A > 0.0:
        terms.append(_exponential(junction.second_saturation_current_A, junction.second_thermal_V, v))
    terms.append(f"{v}*{_text(junction.conductance_S)}")
    H, Vbr, m = junction.breakdown_conductance_S, junction.breakdown_voltage_V, junction.breakdown_exponent
    if H > 0.0:
        least = (STRAIGHT_BEYOND_A / (-Vbr * H)) ** (-1.0 / m)
        terms.append(f"{v}*{_text(H)}*lift(1+{v}/{_text(-Vbr)},{_text(least)},{_text(m)})")
    return "+".join(terms)


def _exponential(saturation_current_A: float, thermal_V: float, v: str) -> str:
    most = log(STRAIGHT_BEYOND_A / saturation_current_A)
    return f"{_text(saturation_current_A)}*(straight({v}/{_text(thermal_V)},{_text(most)})-1)"


def _sweep(voltages: Floats) -> tuple[str, str, str]:
    """First, last and step of an even sweep."""
    if voltages.ndim == 1 and len(voltages) > 1 and np.all(np.isfinite(voltages)):
        first, last = float(voltages[0]), float(voltages[-1])
        step = (last - first) / (len(voltages) - 1)
        if step > 0.0 and np.allclose(np.diff(voltages), step, rtol=1e-6, atol=0.0):
            # A little beyond the last, or rounding in ngspice's own sum may drop it.
            return _text(first), _text(last + 1e-3 * step), _text(step)
    raise CircuitError(
        "the voltages are not an even sweep",
        expected="at least two finite voltages, rising in equal steps",
        mend="Take numpy.linspace(least, most, points)",
    )


def _text(number: float) -> str:
    return f"{number:.15g}"
