"""From a scenario to its circuits: one for each tracker, and where every part stands in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.cell_scatter import scatter_of
from pvsim.array.damage import active_fractions, damage_of
from pvsim.array.elements import module_elements, substring_element
from pvsim.array.heat import start_temperature
from pvsim.array.index import ArrayIndex, array_index, cell_slice, diode_place, module_range
from pvsim.array.module import Ints
from pvsim.array.place import Place, level_of
from pvsim.array.route import lead_resistances_ohm
from pvsim.array.scenario import Scenario
from pvsim.array.shading import cell_irradiance
from pvsim.array.wiring import Wirer, tapping_faults, wire_cross_tied, wire_mesh, wire_strings
from pvsim.circuit.floats import Floats
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import Element, Parallel
from pvsim.prompt import summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tracker:
    """What one tracker is connected to.

    Parameters
    ----------
    circuit : Element or Mesh
        A mesh where faults join strings to each other or to earth.
    strings : tuple of int
        Numbers, from 1.
    """

    circuit: Element | Mesh
    strings: tuple[int, ...]

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """The circuits of a scenario, and where every part stands among their leaves.

    Leaves are counted through all trackers, in the order of OperatingPoint.

    Parameters
    ----------
    index : ArrayIndex
    irradiance_W_m2, temperature_K : (cells,)
    active_fraction : (cells,)
        Share of each cell's area that cracks have left connected.
    modules : tuple of Element
        In the flat order, as they are and not turned.
    reversed_modules : (modules,)
        True where a module is plugged in the wrong way round.
    trackers : tuple of Tracker
    cell_leaf, diode_leaf : (cells,), (diodes,)
        Leaf of every cell and bypass diode.
    connector_leaf : dict
        Leaf of each resistive connector, by module.
    leads_leaf, leads_count : (strings,)
        First leaf of each string's cable, fuse and blocking diode, and how many.
    cable_leaf, fault_leaf : tuple of int
        Leaves of main cables, and of earth faults and wires between strings.
    """

    index: ArrayIndex
    irradiance_W_m2: Floats
    temperature_K: Floats
    active_fraction: Floats
    modules: tuple[Element, ...]
    reversed_modules: np.ndarray
    trackers: tuple[Tracker, ...]
    cell_leaf: Ints
    diode_leaf: Ints
    connector_leaf: dict[int, int]
    leads_leaf: Ints
    leads_count: Ints
    cable_leaf: tuple[int, ...]
    fault_leaf: tuple[int, ...]

    __repr__ = summary


def circuits(
    scenario: Scenario, *, irradiance_W_m2: Floats | None = None, temperature_K: Floats | None = None
) -> Built:
    """The circuits of a scenario.

    Parameters
    ----------
    irradiance_W_m2, temperature_K : (cells,), optional
        In place of what light and weather give, for a heat balance.
    """
    index = array_index(scenario)
    G = cell_irradiance(scenario) if irradiance_W_m2 is None else irradiance_W_m2
    T = start_temperature(scenario, G) if temperature_K is None else temperature_K
    damage = damage_of(scenario.faults, index)
    scattered = scatter_of(scenario.scatter, index)
    modules = module_elements(index, G, T, damage, scattered)
    wirer = Wirer(index, modules, damage, lead_resistances_ohm(scenario))
    array = scenario.array
    everything = list(range(len(index.strings)))
    groups = [[s] for s in everything] if array.tracking == "per-string" else [everything]
    trackers = []
    for strings in groups:
        faults = tapping_faults(scenario, index, strings)
        circuit: Element | Mesh
        if faults:
            circuit = wire_mesh(wirer, scenario, strings, faults)
        elif array.wiring == "cross-tied" and len(strings) > 1:
            circuit = wire_cross_tied(wirer, array.main_cable_resistance_ohm)
        else:
            circuit = wire_strings(wirer, strings, array.main_cable_resistance_ohm)
        trackers.append(Tracker(circuit=circuit, strings=tuple(s + 1 for s in strings)))
    reversed_modules = np.zeros(len(index.module_kind), dtype=bool)
    reversed_modules[sorted(damage.reversed_modules)] = True
    cell_leaf, diode_leaf = _leaf_places(wirer)
    return Built(
        index=index,
        irradiance_W_m2=G,
        temperature_K=T,
        active_fraction=active_fractions(damage, index),
        modules=tuple(wirer.modules),
        reversed_modules=reversed_modules,
        trackers=tuple(trackers),
        cell_leaf=cell_leaf,
        diode_leaf=diode_leaf,
        connector_leaf=wirer.connector_leaf,
        leads_leaf=wirer.leads_leaf,
        leads_count=wirer.leads_count,
        cable_leaf=tuple(wirer.cable_leaf),
        fault_leaf=tuple(wirer.fault_leaf),
    )


def _leaf_places(wirer: Wirer) -> tuple[Ints, Ints]:
    index = wirer.index
    cells = np.empty(int(index.cell_start[-1]), dtype=np.intp)
    diodes = np.empty(int(index.diode_start[-1]), dtype=np.intp)
    for k, kind in enumerate(index.kinds):
        mine = np.flatnonzero(index.module_kind == k)
        first = wirer.module_leaf[mine][:, None]
        cells[index.cell_start[mine][:, None] + np.arange(kind.cells)] = first + kind.cell_leaf
        diodes[index.diode_start[mine][:, None] + np.arange(len(kind.diode_leaf))] = first + kind.diode_leaf
    return cells, diodes


def part_circuit(scenario: Scenario, place: Place, built: Built | None = None) -> Element | Mesh:
    """The circuit of one part of the array, on its own.

    Parameters
    ----------
    place : Place
        A cell, bypass diode, substring (with its diode), module, string (with its leads) or
        the whole array. Strings that have a tracker each are taken as joined in parallel for
        the whole array, as one tracker would see them.
    built : Built, optional
        The scenario's circuits, if they are known already.

    Returns
    -------
    Element or Mesh
        A mesh only for the whole array, where faults join its strings or touch earth. A
        string or module on its own has no such joint.
    """
    built = circuits(scenario) if built is None else built
    index = built.index
    level = level_of(place)
    if level == "array":
        if len(built.trackers) == 1:
            return built.trackers[0].circuit
        leads_ohm = lead_resistances_ohm(scenario)
        wirer = Wirer(index, list(built.modules), damage_of(scenario.faults, index), leads_ohm)
        return wire_strings(wirer, list(range(len(index.strings))), scenario.array.main_cable_resistance_ohm)
    first, _ = module_range(index, place)
    if level == "string":
        return _string(scenario, built, (place.string or 1) - 1)
    element = built.modules[first]
    if level == "module":
        return element
    kind = index.kinds[index.module_kind[first]]
    here = cell_slice(index, place).start - int(index.cell_start[first])
    substring = int(np.searchsorted(kind.substring_start, here, side="right")) - 1
    part = substring_element(kind, element, substring)
    if level == "substring":
        return part
    if level == "diode":
        diode_place(index, place)  # refuses a substring without one
        assert isinstance(part, Parallel)
        return part.children[-1]
    return _cell(kind.kind.substrings[substring].chains, part, here - int(kind.substring_start[substring]))


def _string(scenario: Scenario, built: Built, s: int) -> Element:
    damage = damage_of(scenario.faults, built.index)
    return Wirer(built.index, list(built.modules), damage, lead_resistances_ohm(scenario)).string(s)


def _cell(chains: tuple[tuple[int, ...], ...], part: Element, at: int) -> Element:
    strands = part.children if isinstance(part, Parallel) else (part,)
    for chain, strand in zip(chains, strands, strict=False):
        if at < len(chain):
            return strand.children[at] if len(chain) > 1 else strand  # type: ignore[union-attr]
        at -= len(chain)
    raise AssertionError("a cell number beyond its substring")  # cell_slice has checked it
