"""The tables of distinct parts, each made once and kept while there is room.

Composed from the leaves up (series: add voltages at one current; parallel: add
currents at one voltage) on knots that gather where the curves bend. Good to about a
millivolt; the tree solver then takes every point shown to its tolerance.
"""

from __future__ import annotations

from math import ceil, inf, log2

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.chains import Chain, chain_tables
from pvsim.circuit.composition import Part, parallel_tables, series_tables
from pvsim.circuit.groups import as_run
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import WIRE, Leaf
from pvsim.circuit.memory import kept_at_most
from pvsim.circuit.mesh_table import MeshTable
from pvsim.circuit.register import Plan, Register
from pvsim.circuit.table import Table

_KNOTS_OF_A_PART = 1200  # of a chain with the parts above it that it brings with it
MOST_KNOTS_KEPT = kept_at_most(106, 800_000)  # in all tables; 800,000 are some hundred changes of an array

Key = tuple[int, float, float]  # of an electric part its number, the reach and the floor of its table


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
        kind = register.electric[number].kind
        if kind == "leaf":
            table = _leaf_table(register, number, reach_A)
        elif kind == "series":
            table = _series_table(register, number, reach_A, floor_V)
        elif kind == "parallel":
            table = _parallel_table(register, number, reach_A)
        elif kind == "mesh":
            table = _mesh_table(register, number, reach_A)
        else:
            child = table_of(register, register.composite(number).children[0], reach_A)
            table = Table(-child.I[::-1], -child.V[::-1], child.slope[::-1].copy())
        _keep(register, key, table)
    assert isinstance(table, Table)
    return table


def _keep(register: Register, key: Key, table: Table) -> None:
    """Keep a table, in place of those not read for longest when there are too many."""
    with register.table_lock:
        if key not in register.tables:
            register.knots += len(table.I)
        register.tables[key] = table
        while register.knots > MOST_KNOTS_KEPT and len(register.tables) > 1:
            _, gone = register.tables.popitem(last=False)
            register.knots -= len(gone.I)  # type: ignore[attr-defined]


def prepare_tables(plan: Plan, laws: Laws) -> None:
    """Make the tables of all chains of a plan that are not known yet, many together.

    Parameters
    ----------
    laws : Laws
        One row a leaf of the plan.
    """
    register, reach_A = plan.register, plan.table_reach_A
    missing: dict[Key, slice] = {}
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
        Chain(plan.leaves[rows], register.composite(key[0]).counts, key[2]) for key, rows in missing.items()
    ]
    order = np.concatenate([np.arange(rows.start, rows.stop) for rows in missing.values()])
    for key, table in zip(missing, chain_tables(chains, reach_A, laws.pick(as_run(order))), strict=True):
        _keep(register, key, table)
    _prepare_above(plan)


def _prepare_above(plan: Plan) -> None:
    """Make the tables of what stands above the chains, all of one depth and shape together."""
    register, reach_A = plan.register, plan.table_reach_A
    for depth in reversed(plan.depths[1:-1]):
        alike: dict[tuple[str, int], dict[Key, Part]] = {}
        for row in depth.composite_rows:
            number, kind = depth.numbers[row], depth.kinds[row]
            key = (number, reach_A, -inf)
            if kind in ("series", "parallel") and key not in register.tables:
                part = _known_children(register, number, reach_A)
                if part:
                    alike.setdefault((kind, len(part)), {})[key] = part
        for (kind, _children), parts in alike.items():
            if len(parts) < 2:
                continue
            made = list(parts.values())
            tables = series_tables(made) if kind == "series" else parallel_tables(made, reach_A)
            for key, table in zip(parts, tables, strict=True):
                _keep(register, key, table)


def _known_children(register: Register, number: int, reach_A: float) -> Part:
    """The tables of a part's children; none if one of them is not known."""
    part = register.composite(number)
    side_by_side = part.kind == "parallel"
    floor_V = floor_below(register, number, reach_A) if side_by_side else -inf
    known = []
    for child, count in zip(part.children, part.counts, strict=True):
        its = register.electric[child]
        if its.leaf is not None and (side_by_side or its.leaf.junction is WIRE):
            table: object = table_of(register, child, reach_A)
        else:
            table = register.tables.get((child, reach_A, floor_V if its.kind == "series" else -inf))
        if not isinstance(table, Table):
            return []
        known.append((table, count))
    return known


def _leaf_table(register: Register, number: int, reach_A: float) -> Table:
    leaf = register.electric[number].leaf
    assert leaf is not None
    if leaf.junction is WIRE:
        I = np.array([-reach_A, reach_A])
        return Table(I, -I * leaf.resistance_ohm, np.full(2, -leaf.resistance_ohm))
    return chain_tables([Chain([leaf], [1])], reach_A)[0]


def _series_table(register: Register, number: int, reach_A: float, floor_V: float) -> Table:
    part = register.composite(number)
    leaves = [register.electric[child].leaf for child in part.children]
    own = [(leaf, count) for leaf, count in zip(leaves, part.counts, strict=True) if leaf is not None]
    if len(own) == len(leaves):
        return chain_tables([_chain(own, floor_V)], reach_A)[0]
    others = [
        (table_of(register, child, reach_A), count)
        for child, count, leaf in zip(part.children, part.counts, leaves, strict=True)
        if leaf is None
    ]
    if own:
        others.append((chain_tables([_chain(own)], reach_A)[0], 1))
    return series_tables([others])[0]


def _chain(leaves: list[tuple[Leaf, int]], floor_V: float = -inf) -> Chain:
    return Chain([leaf for leaf, _ in leaves], [count for _, count in leaves], floor_V)


def _parallel_table(register: Register, number: int, reach_A: float) -> Table:
    part = register.composite(number)
    floor_V = floor_below(register, number, reach_A)
    tables = [table_of(register, child, reach_A, floor_V) for child in part.children]
    return parallel_tables([list(zip(tables, part.counts, strict=True))], reach_A)[0]


def _mesh_table(register: Register, number: int, reach_A: float) -> Table:
    part = register.composite(number)
    rows: dict[int, list[int]] = {}
    for row, child in enumerate(part.children):
        rows.setdefault(child, []).append(row)
    branches = [(mine, table_of(register, child, reach_A)) for child, mine in rows.items()]
    return MeshTable(part.ends, branches, reach_A)


def floor_below(register: Register, number: int, reach_A: float) -> float:
    """The voltage that a diode or wire in a parallel part keeps its neighbours above, in V."""
    part = register.composite(number)
    leaves = [child for child in part.children if register.electric[child].kind == "leaf"]
    floors = [table_of(register, child, reach_A).V[-1] for child in leaves]
    # In powers of two, so that equal parts beside unlike diodes share a table.
    return -(2.0 ** ceil(log2(2.0 * max(-max(floors), 0.5)))) if floors else -inf
