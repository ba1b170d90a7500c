"""What the faults of a scenario do to its cells, diodes and leads.

Several faults on one cell add up: areas cut off multiply, shunt conductances and series
resistances add; a cell that is open stays open. Of several on one diode the last counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

import numpy as np

from pvsim.array.fault import Fault
from pvsim.array.index import ArrayIndex, KindIndex, module_range
from pvsim.array.module import cell_positions
from pvsim.circuit.cell import CellCondition
from pvsim.circuit.diode import DiodeCondition
from pvsim.circuit.floats import Floats
from pvsim.circuit.limits import MOST_RESISTANCE_ohm

INNER_SHARE = 0.25  # induced shunting of a cell off the frame, beside one at the frame; invented


class CellDamage(NamedTuple):
    """What is wrong with one cell, in the terms of the circuit layer."""

    condition: CellCondition = "good"
    active_fraction: float = 1.0
    shunt_S: float = 0.0
    extra_series_resistance_ohm: float = 0.0


class DiodeDamage(NamedTuple):
    """What is wrong with one bypass diode."""

    condition: DiodeCondition
    contact_resistance_ohm: float


@dataclass(slots=True)
class Damage:
    """Damage by place: modules and strings by flat number, cells and substrings from 0.

    Parameters
    ----------
    cells, diodes : dict
        By module, then by cell or substring.
    connectors : dict
        Added resistance at a module's positive lead, in ohm.
    reversed_modules, open_cables, blown_fuses : set
    """

    cells: dict[int, dict[int, CellDamage]] = field(default_factory=dict)
    diodes: dict[int, dict[int, DiodeDamage]] = field(default_factory=dict)
    connectors: dict[int, float] = field(default_factory=dict)
    reversed_modules: set[int] = field(default_factory=set)
    open_cables: set[int] = field(default_factory=set)
    blown_fuses: set[int] = field(default_factory=set)


def damage_of(faults: tuple[Fault, ...], index: ArrayIndex) -> Damage:
    """What faults do; those at modules that other faults have left out do nothing."""
    damage = Damage()
    for fault in faults:
        place = fault.place
        string = (place.string or 1) - 1
        if place.module is not None and place.module > len(index.strings[string].modules):
            continue
        first, last = module_range(index, place)
        size = fault.size or 0.0
        if fault.kind == "induced-shunting":
            _shunt_modules(damage, index, first, last, size)
        elif place.cell is not None and fault.kind != "soiling":
            kind = index.kinds[index.module_kind[first]]
            mine = damage.cells.setdefault(first, {})
            mine[place.cell - 1] = _worse(mine.get(place.cell - 1, CellDamage()), fault.kind, size, kind)
        elif place.diode is not None:
            condition: DiodeCondition = fault.kind.removeprefix("diode-")  # type: ignore[assignment]
            damage.diodes.setdefault(first, {})[place.diode - 1] = DiodeDamage(condition, size)
        elif fault.kind == "connector-resistive":
            damage.connectors[first] = damage.connectors.get(first, 0.0) + size
        elif fault.kind == "module-reversed":
            damage.reversed_modules.add(first)
        elif fault.kind == "cable-open":
            damage.open_cables.add(string)
        elif fault.kind == "fuse-blown":
            damage.blown_fuses.add(string)
    return damage


def active_fractions(damage: Damage, index: ArrayIndex) -> Floats:
    """Share of each cell's area that is still connected; (cells,)."""
    active = np.ones(int(index.cell_start[-1]))
    for module, cells in damage.cells.items():
        for number, wrong in cells.items():
            active[index.cell_start[module] + number] = wrong.active_fraction
    return active


def _worse(before: CellDamage, kind: str, size: float, module: KindIndex) -> CellDamage:
    if kind == "cell-open" or (kind == "ribbon-broken" and size >= 1.0):
        return before._replace(condition="open")
    if kind == "cell-short":
        return before if before.condition == "open" else before._replace(condition="short")
    if kind == "cell-cracked":
        return before._replace(active_fraction=max(before.active_fraction * (1.0 - size), 1e-6))
    if kind == "cell-shunt":
        return before._replace(shunt_S=before.shunt_S + 1.0 / size)
    # The ribbons left over carry it all: the cell's own Rs rises from Rs to Rs / (1 - size).
    added = module.kind.cell.series_resistance_ohm * size / (1.0 - size) if kind == "ribbon-broken" else size
    if before.extra_series_resistance_ohm + added > MOST_RESISTANCE_ohm:  # next to no ribbon is left
        return before._replace(condition="open")
    return before._replace(extra_series_resistance_ohm=before.extra_series_resistance_ohm + added)


def _shunt_modules(damage: Damage, index: ArrayIndex, first: int, last: int, size: float) -> None:
    """Shunt every cell: most at the frame, and in a string most at its negative end.

    A floating string of n modules is below earth in its negative half; module k, from 0 at
    the negative end, gets the share (n - 1 - 2 k) / (n - 1) of the worst conductance.
    """
    for module, weight in _weights(first, last):
        kind = index.kinds[index.module_kind[module]]
        mine = damage.cells.setdefault(module, {})
        for cell, share in enumerate(frame_shares(kind).tolist()):
            old = mine.get(cell, CellDamage())
            mine[cell] = old._replace(shunt_S=old.shunt_S + weight * share / size)


def _weights(first: int, last: int) -> Iterator[tuple[int, float]]:
    n = last - first
    for k in range(n):
        weight = 1.0 if n == 1 else (n - 1 - 2 * k) / (n - 1)
        if weight > 0.0:
            yield first + k, weight


def frame_shares(kind: KindIndex) -> np.ndarray:
    """Share of the worst shunt each cell of a module gets: 1 at the frame, less inside; (cells,)."""
    row, column = cell_positions(kind.kind).T
    at_frame = (row == 0) | (row == kind.kind.rows - 1) | (column == 0) | (column == kind.kind.columns - 1)
    return np.where(at_frame, 1.0, INNER_SHARE)


def shunt_ohm(conductance_S: float) -> float:
    """The resistance of a conductance; infinite for none."""
    return inf if conductance_S == 0.0 else 1.0 / conductance_S
