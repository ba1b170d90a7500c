"""A bare circuit, with no roof around it, as a TOML or JSON file.

    format = 1
    title = "A substring with one shaded cell and its bypass diode"

    [cell_types.plain]
    photocurrent_A = 9.5
    saturation_current_A = 1e-9
    ideality = 1.0
    series_resistance_ohm = 0.005
    shunt_resistance_ohm = 10.0

    [diode_types.bypass]
    saturation_current_A = 1e-5

    [parts.cells]
    series = [{ cell = "plain", count = 19 }, { cell = "plain", irradiance_W_m2 = 200.0 }]

    [circuit]
    parallel = [{ part = "cells" }, { diode = "bypass" }]

A part is one of: cell, diode (by the name of its type), resistor_ohm, part (one named
before), or series, parallel (lists) and turned (one part, end for end). `count` repeats it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, NamedTuple, NoReturn

from pvsim.circuit.cell import Cell, CellType
from pvsim.circuit.diode import Diode
from pvsim.circuit.network import Element, Parallel, Resistor, Series, Turned
from pvsim.errors import FileError
from pvsim.files.json_text import is_json, parse_json
from pvsim.files.source import Source, check_format, parse_toml, shown, where
from pvsim.files.table import Table

CIRCUIT_FORMAT = 1
MAX_DEPTH = 30  # series, parallel and turned inside one another
MAX_LEAVES = 100_000  # cells, diodes and resistors, counted before any is made
MAX_TYPES = 100

_KINDS = ("cell", "diode", "resistor_ohm", "part", "series", "parallel", "turned")
_CELL_KEYS = (
    "irradiance_W_m2",
    "temperature_K",
    "condition",
    "active_fraction",
    "parallel_resistance_ohm",
    "extra_series_resistance_ohm",
)
_DIODE_KEYS = ("temperature_K", "condition", "contact_resistance_ohm")
_DIODE_TYPE_KEYS = tuple(
    field.name
    for field in fields(Diode)
    if field.name not in ("temperature_K", "condition", "contact_resistance_ohm")
)
_PART_KEYS = tuple(dict.fromkeys((*_KINDS, "count", *_CELL_KEYS, *_DIODE_KEYS)))


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitFile:
    """What a circuit file holds: its title, its note and the circuit."""

    title: str
    note: str
    circuit: Element


class _Part(NamedTuple):
    element: Element
    leaves: int
    depth: int


class _Names(NamedTuple):
    cells: dict[str, CellType]
    diodes: dict[str, Diode]
    parts: dict[str, _Part]


def read_circuit(text: str, name: str = "the circuit file") -> CircuitFile:
    """Read a bare circuit.

    Parameters
    ----------
    text : str
        TOML, or JSON with the same keys (then its first sign is a brace).
    name : str
        What messages call the file.

    Raises
    ------
    FileError
        If it is neither, has an unknown key, a value of the wrong kind or unit, more than
        MAX_LEAVES leaves or more than MAX_DEPTH levels.
    """
    source = Source(name=name, text=text)
    if is_json(text):
        flatter = "A series within a series can be written as one list"
        values = parse_json(source, "circuit", deepest=MAX_DEPTH, flatter=flatter)
        source = Source(name=name)  # JSON lines are not looked for
    else:
        values = parse_toml(source)
    return circuit_of(values, source)


def is_circuit(values: Mapping[str, Any]) -> bool:
    """Whether parsed values are meant as a bare circuit rather than a scenario."""
    return "circuit" in values


def circuit_of(values: Mapping[str, Any], source: Source) -> CircuitFile:
    """Build the circuit from parsed values; see `read_circuit`."""
    top = Table(
        source, (), values, ("format", "title", "note", "cell_types", "diode_types", "parts", "circuit")
    )
    check_format(source, values, CIRCUIT_FORMAT)
    names = _Names({}, {}, {})
    for name, table in _named(top, "cell_types", tuple(field.name for field in fields(CellType))):
        names.cells[name] = table.build(CellType)
    for name, table in _named(top, "diode_types", _DIODE_TYPE_KEYS):
        names.diodes[name] = table.build(Diode, _DIODE_TYPE_KEYS)
    for name, table in _named(top, "parts", _PART_KEYS):
        names.parts[name] = _part(table, names, 1)
    if "circuit" not in top:
        raise FileError(
            f"{shown(source.name)} has no circuit table",
            expected="a table [circuit] with series, parallel or one cell",
            mend="Add [circuit] and list its parts",
        )
    circuit = top.table("circuit", _PART_KEYS)
    return CircuitFile(
        title=top.text("title", ""), note=top.text("note", ""), circuit=_part(circuit, names, 1).element
    )


def _named(top: Table, key: str, known: tuple[str, ...]) -> list[tuple[str, Table]]:
    group = top.named(key, most=MAX_TYPES, mend="Leave out those that no part uses")
    return [(name, group.table(name, known)) for name in group.values]


def _part(table: Table, names: _Names, depth: int) -> _Part:
    part = _shallow(table, names, depth)
    if part.leaves > MAX_LEAVES or depth + part.depth > MAX_DEPTH:
        _refuse_size(table)
    return part


def _shallow(table: Table, names: _Names, depth: int) -> _Part:
    if depth > MAX_DEPTH:
        _refuse_size(table)
    kind = _kind(table)
    _refuse_strays(table, kind)
    if kind == "cell":
        return _Part(_cell(table, names), 1, 0)
    if kind == "diode":
        return _Part(_diode(table, names), 1, 0)
    if kind == "resistor_ohm":
        with table.placed(kind):
            return _Part(Resistor(resistance_ohm=table.number(kind)), 1, 0)
    if kind == "part":
        return names.parts[table.word(kind, tuple(names.parts))]
    if kind == "turned":
        inner = _part(table.table(kind, _PART_KEYS), names, depth + 1)
        return _Part(Turned(inner.element), inner.leaves, inner.depth + 1)
    return _group(table, kind, names, depth)


def _group(table: Table, kind: str, names: _Names, depth: int) -> _Part:
    children: list[Element] = []
    leaves = deepest = 0
    for entry in table.tables(kind, _PART_KEYS, most=MAX_LEAVES):
        part = _part(entry, names, depth + 1)
        count = entry.whole("count", 1, least=1, most=MAX_LEAVES)
        leaves += count * part.leaves
        deepest = max(deepest, part.depth)
        if leaves > MAX_LEAVES:
            _refuse_size(entry)
        children.extend([part.element] * count)
    with table.placed(kind):
        make = Series if kind == "series" else Parallel
        return _Part(make(tuple(children)), leaves, deepest + 1)


def _refuse_size(table: Table) -> NoReturn:
    raise FileError(
        f"{where(table.source, table.path[:6])} makes the circuit too large",
        expected=f"at most {MAX_LEAVES:,} cells, diodes and resistors, and at most {MAX_DEPTH} of series, "
        "parallel and turned inside one another",
        mend="Lower a count, or leave parts out; a series within a series can be one list",
    )


def _kind(table: Table) -> str:
    kinds = [key for key in _KINDS if key in table]
    if len(kinds) != 1:
        raise FileError(
            f"{where(table.source, table.path)} is {' and '.join(kinds) or 'no part'}",
            expected="exactly one of " + ", ".join(_KINDS),
            mend="Put each part between braces of its own",
        )
    return kinds[0]


def _refuse_strays(table: Table, kind: str) -> None:
    """Refuse a key that belongs to another kind of part, or a count with nothing around it."""
    belongs = {"cell": _CELL_KEYS, "diode": _DIODE_KEYS}.get(kind, ())
    inside_list = bool(table.path) and isinstance(table.path[-1], int)
    known = (kind, *belongs, *(("count",) if inside_list else ()))
    Table(table.source, table.path, table.values, known)


def _cell(table: Table, names: _Names) -> Cell:
    return table.build(Cell, _CELL_KEYS, type=names.cells[table.word("cell", tuple(names.cells))])


def _diode(table: Table, names: _Names) -> Diode:
    kind = names.diodes[table.word("diode", tuple(names.diodes))]
    values = table.fields(Diode, _DIODE_KEYS)
    with table.placed():
        return replace(kind, **values)
