"""The data sheets that come with pvsim, of invented modules."""

from __future__ import annotations

from pvsim.files.shipped_file import names_on, take
from pvsim.files.source import parse_toml
from pvsim.sheet.sheet_file import SheetFile, sheet_of
from pvsim.shipped import shipped

OWN_SHEETS = shipped("sheets")


def own_sheets() -> tuple[str, ...]:
    """Names of the sheets that come with pvsim, sorted."""
    return names_on(OWN_SHEETS)


def read_own_sheet(name: str) -> SheetFile:
    """Read one of them.

    Raises
    ------
    FileError
        If none has that name.
    """
    source = take(OWN_SHEETS, name, "data sheet")
    return sheet_of(parse_toml(source), source)
