"""What was recognised in a tracer's file, for people to look at; and how they map it by hand."""

from __future__ import annotations

from collections.abc import Mapping as Table
from dataclasses import replace
from typing import Any

from pvsim.app.words import _, mark, ngettext
from pvsim.errors import FileError
from pvsim.numbers import format_setting, unit_symbol
from pvsim.traced.columns import BROKEN, Proposal
from pvsim.traced.layout import heading_line, lines_of, split_fields
from pvsim.traced.mapping import Mapping, Use
from pvsim.traced.quantity import OWN_UNIT, QUANTITIES, UNITS, Quantity
from pvsim.traced.traced_curve import WARMTH_C, LIGHT_W_m2

__all__ = ["mapped_by_hand", "plain_conditions", "quantity_choices", "recognised", "unit_choices"]

Item = dict[str, Any]

SHOWN_ROWS = 6
LONGEST_FIELD = 24  # characters of a field that are shown
MAPPED = tuple(one for one in QUANTITIES if one != "power")  # which follows from the others

_NAMES: dict[Quantity, str] = {
    "voltage": mark("Voltage"),
    "current": mark("Current"),
    "power": mark("Power"),
    "irradiance": mark("Irradiance"),
    "temperature": mark("Temperature"),
}
_DELIMITERS = {"\t": mark("tabs"), ";": mark("semicolons"), ",": mark("commas")}
_DECIMALS = {".": mark("a decimal point"), ",": mark("a decimal comma")}
_DIRECTIONS = {
    "rising": mark("from short circuit to open circuit"),
    "falling": mark("from open circuit to short circuit"),
    "both ways": mark("both ways"),
}


def quantity_choices() -> list[list[str]]:
    """What a column may be taken for; the first is nothing."""
    return [["", _("not used")], *([one, _(_NAMES[one])] for one in MAPPED)]


def unit_choices() -> dict[str, list[list[str]]]:
    """By quantity, the units that a column of it may be in."""
    return {
        quantity: [[unit, unit_symbol(unit)] for unit, one in UNITS.items() if one.quantity == quantity]
        for quantity in MAPPED
    }


def recognised(text: str, name: str, found: Proposal) -> Item:
    """A proposal as static/traced/recognised.js shows it.

    Parameters
    ----------
    text, name : str
        Of the file.
    found : Proposal

    Returns
    -------
    dict
        `facts`, each a name and what is known; `columns` with heading, quantity, unit, and whether that is
        written or assumed; the first `rows`; what a person can change.
    """
    mapping, layout = found.mapping, found.mapping.layout
    lines = lines_of(text, name)
    heading = heading_line(lines, layout)
    rows: list[list[str]] = []
    for line in lines[layout.first_line - 1 : layout.last_line]:
        if line.strip() and len(rows) < SHOWN_ROWS:
            fields = (split_fields(line, layout.delimiter) + [""] * layout.columns)[: layout.columns]
            rows.append([one[:LONGEST_FIELD] for one in fields])
    uses = {use.column: (quantity, use.unit) for quantity in MAPPED if (use := getattr(mapping, quantity))}
    columns = []
    for one in found.columns:
        quantity, unit = uses.get(one.number, ("", ""))
        sure = one.sure and quantity == one.quantity and unit == one.unit
        columns.append(
            {
                "name": one.heading[:LONGEST_FIELD] or _("column {number}").format(number=one.number),
                "quantity": quantity,
                "unit": unit,
                "sure": sure,
                "unused": quantity == "",
            }
        )
    broken = sum(one.count for one in found.left_out if one.why == BROKEN)
    return {
        "name": name,
        "facts": _facts(found, heading is not None),
        "columns": columns,
        "rows": rows,
        "sign": str(mapping.current_sign),
        "broken": broken,
        "leave_out": mapping.leave_out_broken,
        "ready": bool(found.rows) and mapping.voltage is not None and mapping.current is not None,
    }


def _facts(found: Proposal, heading: bool) -> list[list[str]]:
    mapping, layout = found.mapping, found.mapping.layout
    points = ngettext("from {count} row", "from {count} rows", found.rows)
    facts = [
        [_("Points"), points.format(count=found.rows)],
        [_("Swept"), _(_DIRECTIONS[found.direction]) if found.direction else "–"],
        [
            _("Table"),
            _("lines {first} to {last}, columns parted by {delimiter}, {decimal}").format(
                first=layout.first_line,
                last=layout.last_line,
                delimiter=_(_DELIMITERS[layout.delimiter]),
                decimal=_(_DECIMALS[layout.decimal]),
            ),
        ],
        [_("Headings"), _("read from the file") if heading else _("none: columns are assumed")],
    ]
    for one in found.left_out:
        lines = ngettext("{count} line", "{count} lines", one.count).format(count=one.count)
        facts.append(
            [lines, _("{why} (the first is line {line})").format(why=_(one.why), line=one.first_line)]
        )
    light, warmth = plain_conditions(mapping)
    if light is not None:
        facts.append(
            [_("Irradiance"), _("{value} W/m², above the table").format(value=format_setting(light))]
        )
    if warmth is not None:
        facts.append(
            [_("Temperature"), _("{value} °C, above the table").format(value=format_setting(warmth))]
        )
    return facts


def plain_conditions(mapping: Mapping) -> tuple[float | None, float | None]:
    """Light and temperature that lines above the table tell, where they can be true."""
    light, warmth = mapping.irradiance_W_m2, mapping.temperature_C
    return (
        light if light is not None and LIGHT_W_m2[0] <= light <= LIGHT_W_m2[1] else None,
        warmth if warmth is not None and WARMTH_C[0] <= warmth <= WARMTH_C[1] else None,
    )


def mapped_by_hand(mapping: Mapping, given: Any) -> Mapping:
    """A mapping with what a person has chosen of it.

    Parameters
    ----------
    mapping : Mapping
    given : dict
        `columns`, each with `quantity` and `unit`; `sign`; `leave_out`. Not trusted.

    Raises
    ------
    FileError
        If two columns are taken for one quantity.
    """
    values: Table[str, Any] = given if isinstance(given, dict) else {}
    columns = values.get("columns")
    chosen: dict[str, Use] = {}
    for number, one in enumerate(columns if isinstance(columns, list) else [], start=1):
        quantity = str(one.get("quantity", "")) if isinstance(one, dict) else ""
        if quantity not in MAPPED:
            continue
        if quantity in chosen:
            raise FileError(
                _("columns {first} and {second} are both taken for {quantity}").format(
                    first=chosen[quantity].column, second=number, quantity=_(_NAMES[quantity])
                ),
                expected=_("one column of each"),
                mend=_("Set one of them to “not used”"),
            )
        unit = str(one.get("unit", ""))
        known = unit in UNITS and UNITS[unit].quantity == quantity
        chosen[quantity] = Use(column=number, unit=unit if known else OWN_UNIT[quantity])
    light, warmth = chosen.get("irradiance"), chosen.get("temperature")
    return replace(
        mapping,
        voltage=chosen.get("voltage"),
        current=chosen.get("current"),
        irradiance=light,
        temperature=warmth,
        irradiance_W_m2=None if light else mapping.irradiance_W_m2,
        temperature_C=None if warmth else mapping.temperature_C,
        current_sign=-1 if values.get("sign") == "-1" else 1,
        leave_out_broken=values.get("leave_out") is True,
    )
