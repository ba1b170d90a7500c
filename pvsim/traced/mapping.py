"""How a text is read as a curve: what a person has agreed to, or chosen by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pvsim.errors import FileError
from pvsim.files.curve_file import MAX_COLUMNS
from pvsim.files.source import shown
from pvsim.traced.layout import DECIMALS, DELIMITERS, Layout
from pvsim.traced.quantity import QUANTITIES, UNITS
from pvsim.words import _


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Which column is read, counted from 1, and in which unit of UNITS."""

    column: int
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapping:
    """How a text is read as a curve. All of it may be chosen by hand.

    Parameters
    ----------
    layout : Layout
        Where the table is, its delimiter and decimal mark.
    voltage, current : Use or None
        None while nobody has said which column it is; such a mapping reads nothing.
    irradiance, temperature : Use or None
        Columns of either, if there are any.
    irradiance_W_m2, temperature_C : float or None
        Of the whole curve, in place of a column.
    current_sign : 1 or -1
        -1 where the file counts the current into the module as positive.
    leave_out_broken : bool
        Whether rows without a finite voltage or current are left out; else they are refused.
    """

    layout: Layout
    voltage: Use | None = None
    current: Use | None = None
    irradiance: Use | None = None
    temperature: Use | None = None
    irradiance_W_m2: float | None = None
    temperature_C: float | None = None
    current_sign: Literal[1, -1] = 1
    leave_out_broken: bool = False


def check_mapping(mapping: Mapping, lines: int, name: str) -> None:
    """Refuse a mapping that does not fit a text of so many lines, or names columns or units that are not.

    Raises
    ------
    FileError
    """
    layout = mapping.layout
    if layout.delimiter not in DELIMITERS or layout.decimal not in DECIMALS:
        raise FileError(
            _("{name} is read with an unknown delimiter or decimal mark").format(name=shown(name)),
            expected=_("a tab, semicolon or comma, and a point or comma"),
            mend=_("Choose them again"),
        )
    if not 2 <= layout.columns <= MAX_COLUMNS + 1:
        raise FileError(
            _("{name} is read with {number} columns").format(name=shown(name), number=layout.columns),
            expected=_("a number from 2 to {most}").format(most=MAX_COLUMNS + 1),
            mend=_("Choose the rows again"),
        )
    if not 1 <= layout.first_line <= layout.last_line <= lines:
        raise FileError(
            _("{name} has no lines {first} to {last}").format(
                name=shown(name), first=layout.first_line, last=layout.last_line
            ),
            expected=_("lines from 1 to {most}").format(most=lines),
            mend=_("Choose the rows again"),
        )
    for quantity in QUANTITIES:
        if quantity == "power":
            continue
        use: Use | None = getattr(mapping, quantity)
        if use is None:
            continue
        if not 1 <= use.column <= layout.columns:
            raise FileError(
                _("{name} has no column {number}").format(name=shown(name), number=use.column),
                expected=_("a column from 1 to {most}").format(most=layout.columns),
                mend=_("Choose the column again"),
            )
        if use.unit not in UNITS or UNITS[use.unit].quantity != quantity:
            units = [unit for unit, one in UNITS.items() if one.quantity == quantity]
            raise FileError(
                _("column {number} of {name} is read in '{unit}'").format(
                    number=use.column, name=shown(name), unit=shown(use.unit)
                ),
                expected=_("one of {names}").format(names=", ".join(units)),
                mend=_("Choose the unit again"),
            )
    if mapping.voltage is None or mapping.current is None or mapping.voltage.column == mapping.current.column:
        raise FileError(
            _("which columns of {name} are voltage and current is not known").format(name=shown(name)),
            expected=_("a column of each"),
            mend=_("Choose them by hand"),
        )
