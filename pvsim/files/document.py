"""A scenario as plain tables, lists, texts and numbers: what files and links are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields
from itertools import groupby
from operator import attrgetter
from typing import Any

from pvsim.array import FAULT_KINDS, Fault
from pvsim.array.array import Array, Module, String
from pvsim.array.cables import Cables
from pvsim.array.light import Light, Shadow
from pvsim.array.module import ModuleType, Substring
from pvsim.array.operation import Operation
from pvsim.array.place import format_place
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import Scenario
from pvsim.array.weather import Weather
from pvsim.files.day import day_table
from pvsim.files.mounting import spot_runs, surface_tables

SCENARIO_FORMAT = 3  # the newest; what needs nothing of it is written as an earlier one, for a pvsim of then

OPERATION_KEYS = {"voltage": "voltage_V", "current": "current_A", "load": "load_ohm"}
_OF_THEIR_OWN = ("strings", "surfaces", "unwired", "cables")
ARRAY_FIELDS = tuple(field.name for field in fields(Array) if field.name not in _OF_THEIR_OWN)
STRING_FIELDS = tuple(field.name for field in fields(String) if field.name != "modules")
LIGHT_FIELDS = ("irradiance_W_m2", "diffuse_fraction", "rear_irradiance_W_m2")
SHADOW_FIELDS = tuple(field.name for field in fields(Shadow))
SCATTER_FIELDS = tuple(field.name for field in fields(Scatter))
WEATHER_FIELDS = tuple(field.name for field in fields(Weather))
CABLE_FIELDS = tuple(field.name for field in fields(Cables))
LEAD_FIELDS = ("minus_lead_m", "plus_lead_m")
TYPE_FIELDS = (
    "name",
    "title",
    "note",
    "rows",
    "columns",
    "cell_width_m",
    "cell_height_m",
    "bifaciality",
    "margin_m",
    "gap_m",
)


def document_of(scenario: Scenario) -> dict[str, Any]:
    """Say a scenario in plain values.

    Parameters
    ----------
    scenario : Scenario
        Any.

    Returns
    -------
    dict
        Tables, lists, texts, numbers and truths only, always in the same order, units at
        the end of each key, places as "1/4/17", repeated modules and strings counted.
    """
    array = _values(scenario.array, ARRAY_FIELDS)
    array["strings"] = [
        _counted(count, {"modules": _modules(string.modules), **_values(string, STRING_FIELDS)})
        for string, count in _runs(scenario.array.strings)
    ]
    if scenario.array.surfaces:
        array["surfaces"] = surface_tables(scenario.array.surfaces)
    if scenario.array.cables:
        array["cables"] = _values(scenario.array.cables, CABLE_FIELDS)
    if scenario.array.unwired:
        array["unwired"] = _modules(scenario.array.unwired)
    document: dict[str, Any] = {
        "format": format_of(scenario),
        "title": scenario.title,
        "note": scenario.note,
        "array": array,
        "light": _light(scenario.light),
        "weather": _values(scenario.weather, WEATHER_FIELDS),
        "operation": _operation(scenario.operation),
        "first_view": {
            "focus": format_place(scenario.first_view.focus),
            "quantity": scenario.first_view.quantity,
        },
    }
    if scenario.faults:
        document["faults"] = [_fault(fault) for fault in scenario.faults]
    if scenario.day is not None:
        document["day"] = day_table(scenario.day)
    if scenario.scatter is not None:
        document["scatter"] = _values(scenario.scatter, SCATTER_FIELDS)
    if scenario.module_types:
        document["module_types"] = [module_type_values(kind) for kind in scenario.module_types]
    return document


def format_of(scenario: Scenario) -> int:
    """The earliest format that can say all of it: 2 came with mounting and days, 3 with scatter."""
    if scenario.scatter is not None:
        return 3
    return 1 if is_of_first_format(scenario) else 2


def is_of_first_format(scenario: Scenario) -> bool:
    """Whether a pvsim that knows nothing of surfaces, cables, leads and days can read it."""
    array = scenario.array
    leads = any(_leads(kind) for kind in scenario.module_types)
    return not (array.surfaces or array.cables or leads or scenario.day)


def _leads(kind: ModuleType) -> dict[str, Any]:
    """Lengths of leads that are not the usual ones."""
    usual = {name: ModuleType.__dataclass_fields__[name].default for name in LEAD_FIELDS}
    return {name: value for name in LEAD_FIELDS if (value := getattr(kind, name)) != usual[name]}


def size_key(kind: str) -> str:
    """The key a fault's size has in a file: with its unit, where it has one."""
    unit = FAULT_KINDS[kind].unit
    return f"size_{unit}" if unit not in ("", "1") else "size"


def _values(thing: object, names: Iterable[str]) -> dict[str, Any]:
    return {name: getattr(thing, name) for name in names}


def _runs(values: Sequence[Any]) -> list[tuple[Any, int]]:
    return [(value, len(list(group))) for value, group in groupby(values)]


def _counted(count: int, values: dict[str, Any]) -> dict[str, Any]:
    return values if count == 1 else {"count": count, **values}


def _modules(modules: Sequence[Module]) -> list[dict[str, Any]]:
    entries = []
    for (kind, rotated), group in groupby(modules, key=attrgetter("type", "rotated")):
        entry: dict[str, Any] = {"type": kind}
        spots = [one.spot for one in group]
        mounted = [spot for spot in spots if spot is not None]
        if len(spots) > 1 and not mounted:
            entry["count"] = len(spots)
        if rotated:
            entry["rotated"] = True
        if mounted:
            entry["spots"] = spot_runs(mounted)
        entries.append(entry)
    return entries


def _light(light: Light) -> dict[str, Any]:
    values = _values(light, LIGHT_FIELDS)
    if light.painted:
        values["painted"] = [
            {"transmission": transmission, "places": [format_place(one.place) for one in group]}
            for transmission, group in groupby(light.painted, key=lambda one: one.transmission)
        ]
    if light.shadows:
        values["shadows"] = [_values(shadow, SHADOW_FIELDS) for shadow in light.shadows]
    return values


def _operation(operation: Operation) -> dict[str, Any]:
    if operation.kind == "mpp":
        return {"kind": "mpp"}
    return {"kind": operation.kind, OPERATION_KEYS[operation.kind]: operation.value}


def _fault(fault: Fault) -> dict[str, Any]:
    values: dict[str, Any] = {"kind": fault.kind, "place": format_place(fault.place)}
    if fault.other is not None:
        values["other"] = format_place(fault.other)
    if fault.size is not None:
        whole = FAULT_KINDS[fault.kind].count
        values[size_key(fault.kind)] = int(fault.size) if whole else fault.size
    return values


def module_type_values(kind: ModuleType) -> dict[str, Any]:
    """Say a module type in plain values, as it stands under [[module_types]]."""
    values = _values(kind, TYPE_FIELDS)
    values |= _leads(kind)
    values["junction_boxes"] = [{"x_m": x, "y_m": y} for x, y in kind.junction_boxes]
    values["cell"] = _values(kind.cell, [field.name for field in fields(kind.cell)])
    values["substrings"] = [_substring(part) for part in kind.substrings]
    return values


def _substring(part: Substring) -> dict[str, Any]:
    values: dict[str, Any] = {"chains": [[place + 1 for place in chain] for chain in part.chains]}
    if part.diode is not None:
        values["diode"] = _values(part.diode, [field.name for field in fields(part.diode)])
    return values
