"""A scenario as one TOML file that people can read, write and send."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import pvsim
from pvsim.array import FAULT_KINDS, Fault
from pvsim.array.array import Array, Module, String
from pvsim.array.cables import Cables
from pvsim.array.light import Light, Painted, Shadow
from pvsim.array.limits import (
    MAX_FAULTS,
    MAX_MODULE_TYPES,
    MAX_MODULES,
    MAX_MODULES_PER_STRING,
    MAX_PAINTED,
    MAX_SHADOWS,
    MAX_STRINGS,
)
from pvsim.array.operation import UNITS, Operation
from pvsim.array.place import describe_place, parse_place
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import FirstView, Scenario
from pvsim.array.weather import Weather
from pvsim.errors import FileError, ScenarioError
from pvsim.files.day import DAY_KEYS, read_day
from pvsim.files.document import (
    ARRAY_FIELDS,
    CABLE_FIELDS,
    LIGHT_FIELDS,
    OPERATION_KEYS,
    SCATTER_FIELDS,
    SCENARIO_FORMAT,
    SHADOW_FIELDS,
    STRING_FIELDS,
    WEATHER_FIELDS,
    document_of,
    size_key,
)
from pvsim.files.module_type import MODULE_TYPE_KEYS, read_module_type
from pvsim.files.mounting import read_spots, read_surfaces
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.files.source import Path, Source, check_format, parse_toml, where
from pvsim.files.table import Table
from pvsim.files.toml_text import write_toml

_TOP = (
    "format",
    "title",
    "note",
    "array",
    "light",
    "weather",
    "operation",
    "first_view",
    "faults",
    "module_types",
    "day",
    "scatter",
)


def write_scenario(scenario: Scenario) -> str:
    """Write a scenario as TOML; `read_scenario` gives back an equal one.

    Raises
    ------
    FileError
        If a text in it cannot stand in a file.
    """
    comment = (
        f"A pvsim scenario, written by pvsim {pvsim.__version__}. Each key ends with its unit.",
        "Places are string/module/cell, counted from 1: 2/5/14 a cell, 2/5/d3 a bypass diode.",
        *MODEL_LIMITS,
    )
    return write_toml(document_of(scenario), comment="\n".join(comment))


def read_scenario(text: str, name: str = "the scenario") -> Scenario:
    """Read a scenario from the text of a TOML file.

    Parameters
    ----------
    text : str
        What stands in the file. It is not trusted: its size is bounded and nothing of it is run.
    name : str
        What messages call the file.

    Raises
    ------
    FileError
        If it is not TOML, has an unknown key or a value of the wrong kind, unit or range, or
        is too large; the message says file, line, key, what was expected and how to mend it.
    """
    source = Source(name=name, text=text)
    return scenario_of(parse_toml(source), source)


def scenario_of(values: Mapping[str, Any], source: Source, path: Path = ()) -> Scenario:
    """Build the scenario from parsed values, at a path of a larger file; see `read_scenario`."""
    top = Table(source, path, values, _TOP)
    check_format(source, values, SCENARIO_FORMAT, path)
    if values["format"] < SCENARIO_FORMAT:
        later = ("scatter", "day") if values["format"] == 1 else ("scatter",)
        top.only(tuple(key for key in _TOP if key not in later), f"with format = {values['format']}")
    title, note = top.text("title"), top.text("note", "")
    of_format = ("surfaces", "unwired", "cables") if values["format"] > 1 else ()
    array = _array(top.table("array", (*ARRAY_FIELDS, "strings", *of_format)))
    light = _light(top.table("light", (*LIGHT_FIELDS, "painted", "shadows")))
    weather = top.table("weather", WEATHER_FIELDS).build(Weather)
    operation = _operation(top.table("operation", ("kind", *OPERATION_KEYS.values())))
    first_view = _first_view(top.table("first_view", ("focus", "quantity")))
    faults = tuple(map(_fault, top.tables("faults", _FAULT_KEYS, most=MAX_FAULTS)))
    day = read_day(top.table("day", DAY_KEYS)) if "day" in top else None
    scatter = top.table("scatter", SCATTER_FIELDS).build(Scatter) if "scatter" in top else None
    types = tuple(map(read_module_type, top.tables("module_types", MODULE_TYPE_KEYS, most=MAX_MODULE_TYPES)))
    try:
        return Scenario(
            title=title,
            note=note,
            module_types=types,
            array=array,
            light=light,
            faults=faults,
            weather=weather,
            operation=operation,
            first_view=first_view,
            day=day,
            scatter=scatter,
        )
    except ScenarioError as error:
        place = where(source, (*path, *_culprit(values, error.wrong)))
        raise FileError(f"{place}: {error.wrong}", expected=error.expected, mend=error.mend) from error


def _culprit(values: Mapping[str, Any], wrong: str) -> Path:
    """Find the key that names the place or module type an error is about."""
    for path, text in _texts(values, ()):
        key = next(part for part in reversed(path) if isinstance(part, str))
        if key == "type" and repr(text) in wrong:
            return path
        if key in _PLACE_KEYS and wrong.startswith(describe_place(parse_place(text)) + " "):
            return path
    return ("title",) if wrong.startswith("title ") else ("note",) if wrong.startswith("note ") else ()


def _texts(value: Any, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, Mapping):
        for key, below in value.items():
            yield from _texts(below, (*path, key))
    elif isinstance(value, list):
        for position, below in enumerate(value):
            yield from _texts(below, (*path, position))


_PLACE_KEYS = ("place", "other", "places", "focus")
_FAULT_KEYS = ("kind", "place", "other", *sorted({size_key(kind) for kind in FAULT_KINDS}))


def _array(table: Table) -> Array:
    strings: list[String] = []
    modules = 0
    known = ("count", "modules", *STRING_FIELDS)
    for entry in table.tables("strings", known, most=MAX_STRINGS, required=True):
        count = entry.whole("count", 1, least=1, most=MAX_STRINGS)
        string = _string(entry)
        modules += count * len(string.modules)
        if modules > MAX_MODULES or len(strings) + count > MAX_STRINGS:
            raise FileError(
                f"{where(entry.source, entry.path)} makes the array too large",
                expected=f"at most {MAX_STRINGS:,} strings and {MAX_MODULES:,} modules",
                mend="Lower a count",
            )
        strings += [string] * count
    more = {
        "surfaces": read_surfaces(table),
        "unwired": _modules(table, "unwired", most=MAX_MODULES),
        "cables": table.table("cables", CABLE_FIELDS).build(Cables) if "cables" in table else None,
    }
    return table.build(Array, ARRAY_FIELDS, strings=tuple(strings), **more)


def _string(table: Table) -> String:
    modules = _modules(table, "modules", most=MAX_MODULES_PER_STRING, required=True)
    return table.build(String, STRING_FIELDS, modules=modules)


def _modules(table: Table, key: str, *, most: int, required: bool = False) -> tuple[Module, ...]:
    """Modules that are counted, or each mounted on a spot."""
    modules: list[Module] = []
    known = ("type", "count", "rotated", "spots")
    for entry in table.tables(key, known, most=most, required=required):
        if "spots" in entry:
            entry.only(("type", "rotated", "spots"), "with spots, which are counted")
            module = entry.build(Module, ("type", "rotated"))
            modules += [replace(module, spot=spot) for spot in read_spots(entry, "spots", most=most)]
        else:
            count = entry.whole("count", 1, least=1, most=most)
            modules += [entry.build(Module, ("type", "rotated"))] * count
        if len(modules) > most:
            raise FileError(
                f"{where(table.source, table.path)} has more than {most} modules",
                expected=f"at most {most} in one string",
                mend="Make it several strings, or lower a count",
            )
    return tuple(modules)


def _light(table: Table) -> Light:
    painted: list[Painted] = []
    for entry in table.tables("painted", ("transmission", "places"), most=MAX_PAINTED):
        painted.extend(_painted(entry))
        if len(painted) > MAX_PAINTED:
            raise FileError(
                f"{where(entry.source, entry.path)} makes more than {MAX_PAINTED:,} painted places",
                expected=f"at most {MAX_PAINTED:,}",
                mend="Paint a whole substring, module or string by one place",
            )
    shadows = tuple(entry.build(Shadow) for entry in table.tables("shadows", SHADOW_FIELDS, most=MAX_SHADOWS))
    return table.build(Light, LIGHT_FIELDS, painted=tuple(painted), shadows=shadows)


def _painted(table: Table) -> Iterator[Painted]:
    transmission = table.number("transmission")
    for position, text in enumerate(table.texts("places", most=MAX_PAINTED, required=True)):
        with table.placed("places", position):
            yield Painted(parse_place(text), transmission)


def _operation(table: Table) -> Operation:
    kind = table.word("kind", tuple(UNITS), "mpp")
    key = OPERATION_KEYS.get(kind)
    table.only(("kind", key) if key else ("kind",), f"with kind = '{kind}'")
    value = None if key is None else table.number(key)
    with table.placed(*([key] if key else [])):
        return Operation(kind, value)  # type: ignore[arg-type]


def _first_view(table: Table) -> FirstView:
    more = {"focus": table.convert("focus", parse_place)} if "focus" in table else {}
    return table.build(FirstView, ("quantity",), **more)


def _fault(table: Table) -> Fault:
    kind = table.word("kind", tuple(FAULT_KINDS))
    key = size_key(kind)
    sized = FAULT_KINDS[kind].size is not None
    table.only(("kind", "place", "other", *([key] if sized else [])), f"with kind = '{kind}'")
    place = table.convert("place", parse_place)
    other = table.convert("other", parse_place) if "other" in table else None
    size = table.number(key) if key in table else None
    with table.placed("place", keys={"size": key}):
        return Fault(kind, place, size, other)
