"""The tables of distinct parts, each made once and kept while there is room.

Composed from the leaves up (series: add voltages at one current; parallel: add
currents at one voltage) on knots that gather where the curves bend. Good to about a
millivolt; the tree solver then takes every point shown to its tolerance.
"""

from __future__ import annotations

from math import ceil, inf, log2

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.chains import Chain, ChainRows, chain_tables, rising
from pvsim.circuit.floats import Floats
from pvsim.circuit.groups import as_run
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import WIRE
from pvsim.circuit.memory import kept_at_most
from pvsim.circuit.mesh_table import MeshTable
from pvsim.circuit.register import Plan, Register
from pvsim.circuit.table import Table

MOST_KNOTS = 2500
_KNOTS_OF_A_PART = 1200  # of a chain with the parts above it that it brings with it
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


def prepare_chains(plan: Plan, laws: Laws) -> None:
    """Make the tables of all chains of a plan that are not known yet, many together.

    Parameters
    ----------
    laws : Laws
        One row a leaf of the plan.
    """
    register, reach_A = plan.register, plan.table_reach_A
    missing: dict[tuple[int, float, float], slice] = {}
    first_leaf = len(plan.leaves)
    for k in range(len(plan.depths) - 1, 0, -1):
        depth, above = plan.depths[k], plan.depths[k - 1]
        first_leaf -= len(depth.leaves)
        for parent, first, end in depth.families():
            if above.kinds[parent] != "series":
                continue
            number = above.numbers[parent]
            place = depth.leaf_place.get(first)
            if place is None or depth.leaf_place.get(end - 1) != place + end - 1 - first:
                continue  # not leaves alone
            floor_V = -inf
            if k > 1 and plan.depths[k - 2].kinds[above.parents[parent]] == "parallel":
                floor_V = floor_below(register, plan.depths[k - 2].numbers[above.parents[parent]], reach_A)
            key = (number, reach_A, floor_V)
            if key not in register.tables:
                missing[key] = slice(first_leaf + place, first_leaf + place + end - first)
    # Alone it is made where it is asked for; so many that some would be gone before, as well.
    if not 2 <= len(missing) <= MOST_KNOTS_KEPT // _KNOTS_OF_A_PART:
        return
    chains = [
        Chain(plan.leaves[rows], register.electric[key[0]].counts, key[2]) for key, rows in missing.items()
    ]
    order = np.concatenate([np.arange(rows.start, rows.stop) for rows in missing.values()])
    for key, table in zip(missing, chain_tables(chains, reach_A, laws.pick(as_run(order))), strict=True):
        _keep(register, key, table)


def _leaf_table(register: Register, number: int, reach_A: float) -> Table:
    leaf = register.electric[number].leaf
    assert leaf is not None
    if leaf.junction is WIRE:
        I = np.array([-reach_A, reach_A])
        return Table(I, -I * leaf.resistance_ohm, np.full(2, -leaf.resistance_ohm))
    return chain_tables([Chain([leaf], [1])], reach_A)[0]


def _series_table(register: Register, number: int, reach_A: float, floor_V: float) -> Table:
    part = register.electric[number]
    leaves, counts, composites = [], [], []
    for child, count in zip(part.children, part.counts, strict=True):
        leaf = register.electric[child].leaf
        if leaf is None:
            composites.append((table_of(register, child, reach_A), count))
        else:
            leaves.append(leaf)
            counts.append(count)
    chain = Chain(leaves, counts, floor_V)
    if not composites:
        return chain_tables([chain], reach_A)[0]
    stretches = [table.I for table, _ in composites]
    rows = ChainRows([chain._replace(floor_V=-inf)]) if leaves else None
    if rows and any(leaf.junction is not WIRE for leaf in chain.leaves):
        stretches += rows.knots(reach_A)
    I = _merge(stretches)
    if rows:
        V, slope = (row[0] for row in rows.voltage_and_slope(I[None]))
    else:
        V, slope = np.zeros(len(I)), np.zeros(len(I))
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
    return -(2.0 ** ceil(log2(2.0 * max(-max(floors), 0.5)))) if floors else -inf


def _merge(stretches: list[Floats]) -> Floats:
    """The knots of several curves as one rising row, thinned when they are too many."""
    knots = stretches[0] if len(stretches) == 1 else rising(np.concatenate(stretches))
    if len(knots) > MOST_KNOTS:
        pick = np.linspace(0, len(knots) - 1, MOST_KNOTS).astype(np.intp)
        knots = knots[pick]
    return knots
