"""Modules and strings as circuit elements, each distinct one made once.

Equal cells, modules and strings are one object each, and unchanged ones stay the same
object from scenario to scenario, so that the solver knows them again.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from pvsim.array.array import String
from pvsim.array.cell_scatter import CellScatter
from pvsim.array.damage import CellDamage, Damage, DiodeDamage, shunt_ohm
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex, KindIndex
from pvsim.array.module import Substring
from pvsim.circuit.cell import Cell
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.circuit.limits import OPEN_RESISTANCE_ohm
from pvsim.circuit.network import Element, Parallel, Resistor, Series, Turned

FUSE_RESISTANCE_ohm = 0.004  # a cold string fuse of 15 to 20 A; order of magnitude
# A silicon rectifier of about 0.8 V at 10 A; invented.
BLOCKING_DIODE = Diode(saturation_current_A=7e-10, ideality=1.3, series_resistance_ohm=0.002, barrier_eV=1.12)

Factors: TypeAlias = tuple[float, float, float]  # on a cell's photocurrent, shunt and breakdown voltage
CellKey: TypeAlias = tuple[KindIndex, float, float, CellDamage, Factors]
SOUND = CellDamage()
ALIKE: Factors = (1.0, 1.0, 1.0)  # a cell that is as its type says
_CELLS_KEPT, _MODULES_KEPT = 50_000, 600

_cells: dict[CellKey, Cell] = {}
_modules: dict[object, Element] = {}
_composed: IdentityMemo[Element] = IdentityMemo(6_000)


def series(children: tuple[Element, ...]) -> Element:
    """The children one after the other; one child stays itself."""
    if len(children) == 1:
        return children[0]
    return _composed.get(("series", *children), lambda: Series(children))


def parallel(children: tuple[Element, ...]) -> Element:
    """The children side by side; one child stays itself."""
    if len(children) == 1:
        return children[0]
    return _composed.get(("parallel", *children), lambda: Parallel(children))


def turned(child: Element) -> Element:
    """The child end for end."""
    return _composed.get(("turned", child), lambda: Turned(child))


@lru_cache(maxsize=4096)
def resistor(resistance_ohm: float) -> Resistor:
    """A resistor; equal ones are one object."""
    return Resistor(resistance_ohm=resistance_ohm)


def module_elements(
    index: ArrayIndex, G: Floats, T: Floats, damage: Damage, scattered: CellScatter | None = None
) -> list[Element]:
    """Every module as an element, not yet turned; equal modules are one object.

    Parameters
    ----------
    G, T : (cells,)
        Irradiance in W/m2 and temperature in K of every cell.
    scattered : CellScatter or None
        How the cells differ.
    """
    starts = index.cell_start[:-1]
    G_least, G_most = np.minimum.reduceat(G, starts), np.maximum.reduceat(G, starts)
    T_least, T_most = np.minimum.reduceat(T, starts), np.maximum.reduceat(T, starts)
    even = ((G_least == G_most) & (T_least == T_most)).tolist()
    out = []
    for m, (kind, alike, g, t) in enumerate(
        zip(index.module_kind.tolist(), even, G_least.tolist(), T_least.tolist(), strict=True)
    ):
        part = index.kinds[kind]
        cells, diodes = damage.cells.get(m), damage.diodes.get(m)
        if alike and cells is None and diodes is None and scattered is None:
            key: object = (part, g, t)
            found = _modules.get(key)
            if found is None:
                found = _keep(key, _module(part, [g] * part.cells, [t] * part.cells, {}, {}, None))
        else:
            here = slice(int(index.cell_start[m]), int(index.cell_start[m + 1]))
            factors = None if scattered is None else tuple(factors_of(scattered, here))
            cells, diodes = cells or {}, diodes or {}
            key = (
                part,
                g if alike else G[here].tobytes(),
                t if alike else T[here].tobytes(),
                tuple(sorted(cells.items())),
                tuple(sorted(diodes.items())),
                factors,
            )
            found = _modules.get(key)
            if found is None:
                found = _keep(key, _module(part, G[here].tolist(), T[here].tolist(), cells, diodes, factors))
        out.append(found)
    return out


def _keep(key: object, module: Element) -> Element:
    if len(_modules) >= _MODULES_KEPT:
        _modules.clear()
    if len(_cells) >= _CELLS_KEPT:
        _cells.clear()
    _modules[key] = module
    return module


def _module(
    part: KindIndex,
    G: list[float],
    T: list[float],
    cells: dict[int, CellDamage],
    diodes: dict[int, DiodeDamage],
    factors: Sequence[Factors] | None,
) -> Element:
    made = []
    for number, (g, t) in enumerate(zip(G, T, strict=True)):
        own = factors[number] if factors else ALIKE
        key = (part, g, t, cells.get(number, SOUND) if cells else SOUND, own)
        cell = _cells.get(key)
        if cell is None:
            cell = _cells[key] = cell_of(key)
        made.append(cell)
    substrings, at = [], 0
    for number, substring in enumerate(part.kind.substrings):
        chains: list[Element] = []
        first = at
        for chain in substring.chains:
            chains.append(series(tuple(made[at : at + len(chain)])))
            at += len(chain)
        if substring.diode is not None:
            warm = round(sum(T[first:at]) / (at - first))
            chains.append(bypass_diode(substring.diode, float(warm), diodes.get(number)))
        substrings.append(parallel(tuple(chains)))
    return series(tuple(substrings))


def factors_of(scattered: CellScatter, here: slice) -> list[Factors]:
    """How each of some cells differs from its type."""
    three = (scattered.photocurrent, scattered.shunt, scattered.breakdown)
    return list(zip(*(values[here].tolist() for values in three), strict=True))


def cell_of(key: CellKey) -> Cell:
    """The cell of a module type in its light, at its temperature, with its damage."""
    part, g, t, wrong, (photocurrent, shunt, breakdown) = key
    return Cell(
        type=part.kind.cell,
        irradiance_W_m2=g,
        temperature_K=t,
        condition=wrong.condition,
        active_fraction=wrong.active_fraction,
        parallel_resistance_ohm=shunt_ohm(wrong.shunt_S),
        extra_series_resistance_ohm=wrong.extra_series_resistance_ohm,
        photocurrent_factor=photocurrent,
        shunt_factor=shunt,
        breakdown_factor=breakdown,
    )


@lru_cache(maxsize=4096)
def bypass_diode(diode: Diode, temperature_K: float, wrong: DiodeDamage | None) -> Diode:
    """A module type's diode as it is here: as warm as its substring's cells on average, to 1 K."""
    return Diode(
        saturation_current_A=diode.saturation_current_A,
        ideality=diode.ideality,
        series_resistance_ohm=diode.series_resistance_ohm,
        leakage_resistance_ohm=diode.leakage_resistance_ohm,
        temperature_K=temperature_K,
        barrier_eV=diode.barrier_eV,
        condition=wrong.condition if wrong else diode.condition,
        contact_resistance_ohm=wrong.contact_resistance_ohm if wrong else diode.contact_resistance_ohm,
    )


def string_leads(
    string: String, resistance_ohm: float, cable_open: bool, fuse_blown: bool
) -> tuple[Element, ...]:
    """Cable and connectors as one resistor, then fuse and blocking diode where there are any."""
    out: list[Element] = []
    if cable_open or resistance_ohm > 0.0:
        out.append(resistor(OPEN_RESISTANCE_ohm if cable_open else resistance_ohm))
    if string.fuse:
        out.append(resistor(OPEN_RESISTANCE_ohm if fuse_blown else FUSE_RESISTANCE_ohm))
    if string.blocking_diode:
        out.append(BLOCKING_DIODE)
    return tuple(out)


def substring_element(kind: KindIndex, module: Element, number: int) -> Element:
    """One substring (from 0) of a module's element."""
    if kind.substrings == 1:
        return module
    assert isinstance(module, Series)
    return module.children[number]


def substring_cells_element(substring: Substring, element: Element) -> Element:
    """The cells of a substring's element without its diode."""
    if substring.diode is None:
        return element
    assert isinstance(element, Parallel)
    return parallel(element.children[:-1])
