"""A data sheet as a TOML file that people can read and write.

format = 1
title = "..."
isc_A = 11.2
alpha_percent_per_K = 0.05      # or alpha_mA_per_K, alpha_A_per_K, as the paper has it
...
[assumed]
shunt = "usual"
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

import pvsim
from pvsim.errors import FileError
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.files.source import Source, check_format, parse_toml, where
from pvsim.files.table import Table
from pvsim.files.toml_text import write_toml
from pvsim.prompt import summary
from pvsim.sheet.assumed import Assumptions
from pvsim.sheet.coefficient import UNITS, Coefficient
from pvsim.sheet.data_sheet import DataSheet

SHEET_FORMAT = 1

_PLAIN = tuple(one.name for one in fields(DataSheet) if one.name not in UNITS)
_COEFFICIENT_KEYS = {
    name: {f"{name}_{ending}": unit for ending, unit in units.items()} for name, units in UNITS.items()
}
_ASSUMED = tuple(one.name for one in fields(Assumptions))
_WORDS = ("shunt", "reverse")
_TOP = ("format", *_PLAIN, *(key for keys in _COEFFICIENT_KEYS.values() for key in keys), "assumed")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFile:
    """What a sheet's file holds: what stands on the paper, and what is assumed beside it."""

    sheet: DataSheet
    assumed: Assumptions = field(default_factory=Assumptions)

    __repr__ = summary


def read_sheet(text: str, name: str = "the data sheet") -> SheetFile:
    """Read a data sheet from the text of a TOML file.

    Parameters
    ----------
    text : str
        It is not trusted: its size is bounded and nothing of it is run.
    name : str
        What messages call the file.

    Raises
    ------
    FileError
        If it is not TOML, has an unknown key or a value that cannot be; with file, line and key.
    """
    source = Source(name=name, text=text)
    return sheet_of(parse_toml(source), source)


def sheet_of(values: Mapping[str, Any], source: Source) -> SheetFile:
    """Build the sheet from parsed values; see `read_sheet`."""
    top = Table(source, (), values, _TOP)
    check_format(source, values, SHEET_FORMAT)
    values_by_field: dict[str, Any] = top.fields(DataSheet, _PLAIN)
    keys: dict[str, str] = {}
    for name in UNITS:
        keys[name] = _key(top, name)
        values_by_field[name] = Coefficient(
            value=top.number(keys[name], least=-1e4, most=1e4), unit=_COEFFICIENT_KEYS[name][keys[name]]
        )
    with top.placed(keys=keys):
        sheet = DataSheet(**values_by_field)
    return SheetFile(sheet=sheet, assumed=_assumed(top.table("assumed", _ASSUMED)))


def write_sheet(file: SheetFile) -> str:
    """Write a data sheet as TOML; `read_sheet` gives back an equal one."""
    sheet = file.sheet
    values: dict[str, Any] = {"format": SHEET_FORMAT}
    for one in fields(DataSheet):
        found = getattr(sheet, one.name)
        if isinstance(found, Coefficient):
            keys = _COEFFICIENT_KEYS[one.name]
            values[next(key for key, unit in keys.items() if unit == found.unit)] = found.value
        elif found is not None:
            values[one.name] = found
    values["assumed"] = {name: getattr(file.assumed, name) for name in _ASSUMED}
    comment = (
        f"A module's data sheet, written by pvsim {pvsim.__version__}. Each key ends with its unit.",
        "Cells, rows and columns are counted on the front, the module upright; of halves each one counts.",
        *MODEL_LIMITS,
    )
    return write_toml(values, comment="\n".join(comment))


def _key(top: Table, name: str) -> str:
    """The one key of a coefficient that is there."""
    known = tuple(_COEFFICIENT_KEYS[name])
    there = [key for key in known if key in top]
    if len(there) == 1:
        return there[0]
    place = where(top.source, (there[1],) if there else ())
    said = f"{name} stands there twice" if there else f"the coefficient {name} is missing"
    raise FileError(
        f"{place}: {said}",
        expected="exactly one of " + ", ".join(known),
        mend="Keep the one whose unit stands on the paper"
        if there
        else f"Add a line such as: {known[0]} = "
        + {"alpha": "0.05", "beta": "-0.28", "gamma": "-0.35"}[name],
    )


def _assumed(table: Table) -> Assumptions:
    given: dict[str, Any] = {
        name: table.text(name) if name in _WORDS else table.number(name) for name in _ASSUMED if name in table
    }
    with table.placed():
        return Assumptions(**given)
