"""A fault that was ranked, put into a scenario where its part has it, to be looked at in the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pvsim.array.fault import Fault
from pvsim.array.index import array_index, module_range
from pvsim.array.module import ModuleType, cell_count
from pvsim.array.place import Place, level_of
from pvsim.array.scenario import Scenario, module_type
from pvsim.traced.family import Family
from pvsim.traced.variant import variants_of
from pvsim.traced.where import Where

__all__ = ["plant"]


def plant(
    scenario: Scenario, place: Place, family: Family, size: float | None, where: Where | None = None
) -> Scenario:
    """The scenario with the fault of a family in a part, and in no other.

    Parameters
    ----------
    scenario : Scenario
    place : Place
        The part: a module, a string or the array.
    family : Family
    size : float or None
        In the terms of the family.
    where : Where or None
        In how many parts, as it was ranked; without it in one.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part, or so many faults are too many.

    Notes
    -----
    For ranking a family may change the cells of the whole array, since one part's curve alone is looked at.
    Here the part gets faults of its own instead. The resistance of strings stands in the connectors, where it
    has the same curve as in the cells as long as no bypass diode conducts; a module alone is measured without
    them. A cell gets its shunt across its terminals and not its junction, which differs by what its series
    resistance takes.
    """
    if where is not None and family.name not in ("series-resistance", "shunt"):
        for variant in variants_of(family, replace(scenario, scatter=None), place):
            if variant.where is not None and _counted(variant.where) == _counted(where):
                return variant.change(scenario, size or 0.0)
    changed = family.change(scenario, place, size or 0.0)
    if changed.module_types == scenario.module_types:
        return changed
    faults = []
    for module, before in _modules(scenario, place):
        after = module_type(changed, before.name).cell
        added_ohm = after.series_resistance_ohm - before.cell.series_resistance_ohm
        added_S = 1.0 / after.shunt_resistance_ohm - 1.0 / before.cell.shunt_resistance_ohm
        if added_ohm > 0.0 and level_of(place) != "module":
            # Chains side by side share the current.
            cells = sum(len(part.chains[0]) / len(part.chains) for part in before.substrings)
            faults.append(Fault("connector-resistive", module, added_ohm * cells))
        elif added_ohm > 0.0:
            faults += _in_all_cells(module, before, "cell-resistive", added_ohm)
        if added_S > 0.0:
            faults += _in_all_cells(module, before, "cell-shunt", 1.0 / added_S)
    new = {(one.kind, one.place) for one in faults}
    kept = tuple(one for one in scenario.faults if (one.kind, one.place) not in new)
    return replace(scenario, faults=(*kept, *faults))


def _counted(where: Where) -> tuple[object, ...]:
    return where.level, where.count, where.strings, where.place


def _in_all_cells(module: Place, kind: ModuleType, fault: str, resistance_ohm: float) -> list[Fault]:
    return [
        Fault(fault, Place(module.string, module.module, cell), resistance_ohm)
        for cell in range(1, cell_count(kind) + 1)
    ]


def _modules(scenario: Scenario, place: Place) -> Iterator[tuple[Place, ModuleType]]:
    """The modules of a part, as built."""
    index = array_index(scenario)
    for k in range(*module_range(index, place)):
        where = Place(int(index.module_string[k]) + 1, int(index.module_number[k]) + 1)
        yield where, index.kinds[index.module_kind[k]].kind
