"""What a table of a tracer or a spreadsheet seems to hold: a proposal, which a person confirms or changes."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import isfinite
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats
from pvsim.prompt import summary
from pvsim.traced.layout import Layout, find_layout, heading_line, lines_of, number_in, split_fields
from pvsim.traced.mapping import Mapping, Use, check_mapping
from pvsim.traced.quantity import OWN_UNIT, UNITS, Quantity, read_heading, unit_named
from pvsim.words import mark

Direction = Literal["rising", "falling", "both ways"]

_ROWS = 5  # lines of numbers, from which on they are a table and no key figures
_NAME = 60  # characters of a heading that are kept

# Why lines give no point: in English, marked to be translated when shown.
BESIDE = mark("above or below the table")
ANOTHER = mark("of another table, which is not read")
BROKEN = mark("without a usable voltage or current")
REPEATED = mark("at a voltage that was there before; both averaged")

_IN_JUNK: dict[Quantity, re.Pattern[str]] = {
    "irradiance": re.compile(
        r"(?i)\b(?:irradiance|einstrahlung|bestrahlungsstärke)\b"
        r"(?:c?m\^?-?2|[^\d\n-]){0,30}"  # the 2 of a unit in brackets is no amount
    ),
    "temperature": re.compile(
        r"(?i)\b(?:(?:cell|module|modul|zell)[ _-]?temp(?:erature|eratur)?|temperature|temperatur)\b"
        r"[^\d\n-]{0,30}"
    ),
}
_AMOUNT = re.compile(r"(-?\d{1,6}(?:[.,]\d{1,9})?)[\s;,\t\"]*([^\s;,\t\"]{0,12})")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundColumn:
    """A column as the file has it and as it is understood.

    Parameters
    ----------
    number : int
        From 1.
    heading : str
        As it is written; "" without one.
    quantity : Quantity or None
        What it seems to hold; None if not known.
    unit : str
        A key of UNITS; "" without a quantity.
    sure : bool
        Whether both are written; else one is assumed, and a person should look.
    """

    number: int
    heading: str
    quantity: Quantity | None
    unit: str
    sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Lines that give no point of their own: why, how many, and the first of them, from 1."""

    why: str
    count: int
    first_line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a text seems to hold, to be confirmed or changed.

    Parameters
    ----------
    mapping : Mapping
        To be read by, once a person agrees.
    columns : tuple of FoundColumn
        Every column of the table, in the order of the file.
    rows : int
        Rows that give a voltage and a current; 0 while either is not known.
    direction : Direction or None
        Of the voltage from the first row to the last.
    left_out : tuple of LeftOut
        What gives no point of its own, with the reason; empty where every line does.
    """

    mapping: Mapping
    columns: tuple[FoundColumn, ...]
    rows: int
    direction: Direction | None
    left_out: tuple[LeftOut, ...]

    __repr__ = summary


def propose(text: str, name: str = "the curve file") -> Proposal:
    """Recognise the table, columns, units, signs and direction of a text.

    Parameters
    ----------
    text : str
        As a tracer or a spreadsheet writes it; untrusted.
    name : str
        What messages call it.

    Raises
    ------
    FileError
        If it is too large, not text, or holds no table of numbers.
    """
    lines = lines_of(text, name)
    layout = find_layout(lines, name)
    columns = _columns(lines, layout)
    mapping = Mapping(
        layout=layout,
        voltage=_use(columns, "voltage"),
        current=_use(columns, "current"),
        irradiance=_use(columns, "irradiance"),
        temperature=_use(columns, "temperature"),
    )
    found = _counted(lines, _with_junk(lines, mapping), columns)
    if mapping.voltage is None or mapping.current is None or not found.rows:
        return found
    _at, V, I = read_columns(lines, layout, (mapping.voltage, mapping.current))
    sign: Literal[1, -1] = -1 if np.nanmedian(V * I) < 0.0 else 1
    return replace(found, mapping=replace(found.mapping, current_sign=sign))


def propose_again(text: str, mapping: Mapping, name: str = "the curve file") -> Proposal:
    """What a mapping changed by hand makes of a text: its rows, direction, and what is left out.

    Raises
    ------
    FileError
        If the text is too large or not text, or the mapping does not fit it.
    """
    lines = lines_of(text, name)
    check_mapping(mapping, len(lines), name)
    return _counted(lines, mapping, _columns(lines, mapping.layout))


def _counted(lines: list[str], mapping: Mapping, columns: tuple[FoundColumn, ...]) -> Proposal:
    """Count what a mapping reads of a table, and tell its direction."""
    layout = mapping.layout
    inside = range(layout.first_line - 1, layout.last_line)
    beside = [at for at, line in enumerate(lines) if line.strip() and at not in inside]
    other = [at for at in beside if _is_row(lines[at], layout)]
    other = other if len(other) >= _ROWS else []
    beside = sorted(set(beside) - set(other))
    left_out = [
        LeftOut(why=why, count=len(those), first_line=those[0] + 1)
        for why, those in ((BESIDE, beside), (ANOTHER, other))
        if those
    ]
    if mapping.voltage is None or mapping.current is None:
        return Proposal(mapping=mapping, columns=columns, rows=0, direction=None, left_out=tuple(left_out))
    table = read_columns(lines, layout, (mapping.voltage, mapping.current))
    good = np.isfinite(table[1:]).all(axis=0)
    if not good.all():
        broken = table[0, ~good]
        left_out.append(LeftOut(why=BROKEN, count=broken.size, first_line=int(broken[0])))
    V = table[1, good]
    again = V.size - np.unique(V).size
    if again:
        _unique, first = np.unique(V, return_index=True)
        left_out.append(
            LeftOut(why=REPEATED, count=again, first_line=_line_of_repeated(table[0, good], first))
        )
    return Proposal(
        mapping=mapping,
        columns=columns,
        rows=int(good.sum()),
        direction=_direction(V),
        left_out=tuple(left_out),
    )


def _is_row(line: str, layout: Layout) -> bool:
    """Whether all fields of a line are numbers, as many as the table has columns."""
    fields = split_fields(line, layout.delimiter)
    return len(fields) == layout.columns and all(isfinite(number_in(one, layout.decimal)) for one in fields)


def read_columns(lines: list[str], layout: Layout, uses: tuple[Use, ...]) -> Floats:
    """Columns of a table in the units of their quantities.

    Returns
    -------
    (1 + uses, rows)
        The number of each line, from 1, then the columns; nan where a field is no finite number.
    """
    rows = []
    for at in range(layout.first_line - 1, min(layout.last_line, len(lines))):
        if lines[at].strip():
            fields = split_fields(lines[at], layout.delimiter)
            rows.append(
                [at + 1.0]
                + [
                    number_in(fields[use.column - 1], layout.decimal) if use.column <= len(fields) else np.nan
                    for use in uses
                ]
            )
    table = np.array(rows, dtype=np.float64).reshape(-1, 1 + len(uses)).T
    for k, use in enumerate(uses, start=1):
        table[k] = table[k] * UNITS[use.unit].factor + UNITS[use.unit].offset
    return table


def _columns(lines: list[str], layout: Layout) -> tuple[FoundColumn, ...]:
    """Headings above a table, with a line of units below them if there is one, as they are understood."""
    at = heading_line(lines, layout)
    texts = [""] * layout.columns if at is None else _words_of(lines[at], layout)
    units = [unit_named(text) for text in texts]
    if at is not None and at > 0 and sum(map(bool, units)) >= 2:
        above = _words_of(lines[at - 1], layout)
        if len(above) == len(texts) and sum(read_heading(one).named for one in above) >= 2:
            texts = [f"{name} [{unit.strip('[]()')}]" for name, unit in zip(above, texts, strict=True)]
    texts = (texts + [""] * layout.columns)[: layout.columns]
    found = []
    for number, text in enumerate(texts, start=1):
        heading = read_heading(text)
        unit = heading.unit or (OWN_UNIT[heading.quantity] if heading.quantity else "")
        found.append(
            FoundColumn(
                number=number,
                heading=text[:_NAME],
                quantity=heading.quantity,
                unit=unit,
                sure=bool(heading.quantity and heading.unit),
            )
        )
    if layout.columns == 2 and all(column.quantity is None for column in found):
        # Voltage before current is common practice, no source: a guess, and said to be one.
        guesses: tuple[Quantity, Quantity] = ("voltage", "current")
        both = zip(found, guesses, strict=True)
        found = [replace(one, quantity=guess, unit=OWN_UNIT[guess]) for one, guess in both]
    return tuple(found)


def _words_of(line: str, layout: Layout) -> list[str]:
    return split_fields(line.strip(" ").lstrip("#"), layout.delimiter)


def _use(columns: tuple[FoundColumn, ...], quantity: Quantity) -> Use | None:
    """The first column of a quantity, one that is sure before others."""
    mine = sorted((one for one in columns if one.quantity == quantity), key=lambda one: not one.sure)
    return Use(column=mine[0].number, unit=mine[0].unit) if mine else None


def _with_junk(lines: list[str], mapping: Mapping) -> Mapping:
    """Irradiance and temperature of the whole curve, as lines above the table may tell them."""
    for at in range(min(mapping.layout.first_line - 1, 200)):
        for quantity, words in _IN_JUNK.items():
            match = words.search(lines[at])
            amount = _AMOUNT.match(lines[at], match.end()) if match else None
            if amount is None or getattr(mapping, quantity) is not None:
                continue
            given = unit_named(amount[2]) or next(
                (named for part in re.split(r"[\s(),;\[\]]+", lines[at]) if (named := unit_named(part))), ""
            )
            unit = UNITS.get(given)
            if unit is not None and unit.quantity == quantity:
                value = float(amount[1].replace(",", ".")) * unit.factor + unit.offset
                if quantity == "irradiance":
                    mapping = replace(mapping, irradiance_W_m2=value)
                else:
                    mapping = replace(mapping, temperature_C=value)
    return mapping


def _direction(voltage_V: Floats) -> Direction | None:
    steps = np.diff(voltage_V)
    rising, falling = (steps > 0.0).sum(), (steps < 0.0).sum()
    if not rising + falling:
        return None
    # A noisy tracer steps back now and then; a sweep and its way back do so half of the time.
    if min(rising, falling) <= 0.25 * (rising + falling):
        return "rising" if rising > falling else "falling"
    return "both ways"


def _line_of_repeated(lines: Floats, first: NDArray[np.intp]) -> int:
    """The line of the first point whose voltage was there before."""
    again = np.ones(lines.size, dtype=bool)
    again[first] = False
    return int(lines[again][0])
