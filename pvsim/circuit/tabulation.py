"""The tables of distinct parts, each made once and kept while there is room.

Composed from the leaves up (series: add voltages at one current; parallel: add
currents at one voltage) on knots that gather where the curves bend. Good to about a
millivolt; the tree solver then takes every point shown to its tolerance.
"""

from __future__ import annotations

from math import inf

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.circuit.junctions import laws_of
from pvsim.circuit.leaf import WIRE, Junction
from pvsim.circuit.memory import kept_at_most
from pvsim.circuit.mesh_table import MeshTable
from pvsim.circuit.register import Register
from pvsim.circuit.table import Table

COARSEST_A, FINEST_A = 1e-4, 1e-9  # knots gather around a source current down to some such distance
LOG_STEP = 0.18
_FEW_CENTRES = 2
MOST_KNOTS = 2500
MOST_KNOTS_KEPT = kept_at_most(106, 800_000)  # in all tables; 800,000 are some hundred changes of an array


def table_of(register: Register, number: int, reach_A: float, floor_V: float = -inf) -> Table:
    """The table of an electric part for currents up to +-reach_A, made once.

    A part beside a diode never falls below floor_V; its knots may end there.
    """
    if register.electric[number].kind != "series":
        floor_V = -inf
    key = (number, reach_A, floor_V)
    with register.table_lock:
        table = register.tables.get(key)
        if table is not None:
            register.tables.move_to_end(key)
    if table is None:
        budget.check()
        part = register.electric[number]
        if part.kind == "leaf":
            table = _leaf_table(register, number, reach_A)
        elif part.kind == "series":
            table = _series_table(register, number, reach_A, floor_V)
        elif part.kind == "parallel":
            table = _parallel_table(register, number, reach_A)
        elif part.kind == "mesh":
            table = _mesh_table(register, number, reach_A)
        else:
            child = table_of(register, part.children[0], reach_A)
            table = Table(-child.I[::-1], -child.V[::-1], child.slope[::-1].copy())
        _keep(register, key, table)
    assert isinstance(table, Table)
    return table


def _keep(register: Register, key: tuple[int, float, float], table: Table) -> None:
    """Keep a table, in place of those not read for longest when there are too many."""
    with register.table_lock:
        if key not in register.tables:
            register.knots += len(table.I)
        register.tables[key] = table
        while register.knots > MOST_KNOTS_KEPT and len(register.tables) > 1:
            _, gone = register.tables.popitem(last=False)
            register.knots -= len(gone.I)  # type: ignore[attr-defined]


def _knots(centres: Floats, least_A: float, most_A: float, finest_A: float) -> Floats:
    """Currents that thicken logarithmically towards each centre, ends included."""
    c = rising(np.clip(centres, least_A, most_A))
    edges = np.concatenate(([least_A], 0.5 * (c[1:] + c[:-1]), [most_A]))
    # Log distance from each centre to the borders of its own stretch.
    left = np.log1p((c - edges[:-1]) / finest_A)
    right = np.log1p((edges[1:] - c) / finest_A)
    ends = np.cumsum(left + right)
    # Of many curves in series each is a small part of the whole, and asks for fewer knots.
    step = LOG_STEP * max(1.0, len(c) / _FEW_CENTRES) ** 0.5
    s = np.linspace(0.0, ends[-1], int(np.ceil(ends[-1] / step)) + 2)
    k = np.searchsorted(ends, s, side="left")
    np.minimum(k, len(c) - 1, out=k)
    t = s - (ends[k] - right[k])  # signed log distance from the centre
    I = c[k] + np.sign(t) * finest_A * np.expm1(np.abs(t))
    return rising(np.concatenate((I, c)))


def _finest(junctions: list[Junction]) -> float:
    """How close to its source current the first of some junctions bends, in A."""
    distinct = {id(j): j for j in junctions}.values()
    bend = min(j.thermal_V * (j.conductance_S + j.breakdown_conductance_S) for j in distinct)
    return min(max(0.1 * bend, FINEST_A), COARSEST_A)


def _leaves_voltage(
    register: Register, numbers: list[int], counts: list[int], I: Floats
) -> tuple[Floats, Floats]:
    """Sum of the voltages of leaves that carry I, and its slope."""
    leaves = [leaf for number in numbers if (leaf := register.electric[number].leaf)]
    times = np.array(counts, dtype=float)
    ohms = float(times @ np.array([leaf.resistance_ohm for leaf in leaves]))
    laws = laws_of([leaf.junction for leaf in leaves])
    sign = np.array([leaf.sign for leaf in leaves])
    source = np.array([leaf.source_A for leaf in leaves])[:, None]
    v, slope = laws.invert_with_slope(sign[:, None] * (source - I))
    return (times * sign) @ v - I * ohms, -ohms - times @ slope


def _leaf_table(register: Register, number: int, reach_A: float) -> Table:
    leaf = register.electric[number].leaf
    assert leaf is not None
    if leaf.junction is WIRE:
        I = np.array([-reach_A, reach_A])
        return Table(I, -I * leaf.resistance_ohm, np.full(2, -leaf.resistance_ohm))
    I = _knots(np.array([leaf.source_A]), -reach_A, reach_A, _finest([leaf.junction]))
    return Table(I, *_leaves_voltage(register, [number], [1], I))


def _series_table(register: Register, number: int, reach_A: float, floor_V: float) -> Table:
    part = register.electric[number]
    numbers, counts, composites, centres, junctions = [], [], [], [], []
    for child, count in zip(part.children, part.counts, strict=True):
        leaf = register.electric[child].leaf
        if leaf is None:
            composites.append((table_of(register, child, reach_A), count))
        else:
            numbers.append(child)
            counts.append(count)
            if leaf.junction is not WIRE:
                centres.append(leaf.source_A)
                junctions.append(leaf.junction)
    stretches = [table.I for table, _ in composites]
    if centres:
        light, most_A = rising(np.array(centres)), reach_A
        if not composites and floor_V > -inf and len(light) > 1:
            below = _leaves_voltage(register, numbers, counts, light)[0] < floor_V
            if below.any():
                # Beyond the floor already: an end, and no centre for knots.
                most_A = float(light[np.argmax(below)])
                light = light[light < most_A] if light[0] < most_A else light[:1]
        stretches.append(_knots(light, -reach_A, most_A, _finest(junctions)))
    I = _merge(stretches) if stretches else np.array([-reach_A, reach_A])
    V, slope = (
        _leaves_voltage(register, numbers, counts, I) if numbers else (np.zeros(len(I)), np.zeros(len(I)))
    )
    for table, count in composites:
        V_part, slope_part = table.voltage_and_slope(I)
        V += count * V_part
        slope += count * slope_part
    return Table(I, V, slope)


def _parallel_table(register: Register, number: int, reach_A: float) -> Table:
    part = register.electric[number]
    floor_V = floor_below(register, number, reach_A)
    tables = [
        (table_of(register, child, reach_A, floor_V), count)
        for child, count in zip(part.children, part.counts, strict=True)
    ]
    # Beyond the first child that runs out of knots on either side nothing is known.
    least = max(table.V[-1] for table, _ in tables)
    most = min(table.V[0] for table, _ in tables)
    if not least < most:
        least, most = most, least
    V = _merge([table.V[::-1] for table, _ in tables])
    inside = V[(V > least) & (V < most)]
    V = np.concatenate(([least], inside, [most])) if most > least else np.array([least - 1.0, least + 1.0])
    I, slope = np.zeros(len(V)), np.zeros(len(V))
    for table, count in tables:
        I_part, slope_part = table.current_and_slope(V)
        I += count * I_part
        slope += count * slope_part
    near = np.abs(I) <= 1.5 * reach_A
    if near.sum() >= 4:
        V, I, slope = V[near], I[near], slope[near]
    return Table(I[::-1].copy(), V[::-1].copy(), 1.0 / slope[::-1])


def _mesh_table(register: Register, number: int, reach_A: float) -> Table:
    part = register.electric[number]
    rows: dict[int, list[int]] = {}
    for row, child in enumerate(part.children):
        rows.setdefault(child, []).append(row)
    branches = [(mine, table_of(register, child, reach_A)) for child, mine in rows.items()]
    return MeshTable(part.ends, branches, reach_A)


def floor_below(register: Register, number: int, reach_A: float) -> float:
    """The voltage that a diode or wire in a parallel part keeps its neighbours above, in V."""
    part = register.electric[number]
    leaves = [child for child in part.children if register.electric[child].kind == "leaf"]
    floors = [table_of(register, child, reach_A).V[-1] for child in leaves]
    # In powers of two, so that equal parts beside unlike diodes share a table.
    return -(2.0 ** float(np.ceil(np.log2(2.0 * max(-max(floors), 0.5))))) if floors else -inf


def rising(x: Floats) -> Floats:
    """The distinct values of x, rising; numpy's own `unique` loads masked arrays first."""
    x = np.sort(x)
    keep = np.empty(len(x), dtype=bool)
    keep[:1] = True
    np.not_equal(x[1:], x[:-1], out=keep[1:])
    return x[keep]


def _merge(stretches: list[Floats]) -> Floats:
    """The knots of several curves as one rising row, thinned when they are too many."""
    knots = stretches[0] if len(stretches) == 1 else rising(np.concatenate(stretches))
    if len(knots) > MOST_KNOTS:
        pick = np.linspace(0, len(knots) - 1, MOST_KNOTS).astype(np.intp)
        knots = knots[pick]
    return knots
