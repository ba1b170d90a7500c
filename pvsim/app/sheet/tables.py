"""What came out of a data sheet as tables: the cell's parameters, each input beside its residual."""

from __future__ import annotations

from typing import Any

from pvsim.app.sheet.form import label_of
from pvsim.app.words import _
from pvsim.numbers import MINUS, format_fixed, format_number, short_number
from pvsim.sheet.parameter import ASSUMED, PARAMETERS
from pvsim.sheet.residual import Reproduced, relative_residual, residual
from pvsim.sheet.sheet_module import SheetModule

__all__ = ["parameter_table", "residual_table"]

Item = dict[str, Any]

_FIELDS = {"isc": "isc_A", "voc": "voc_V", "imp": "imp_A", "vmp": "vmp_V"}
NOTHING = 5e-7  # of the given value: less is not told from nothing


def parameter_table(made: SheetModule) -> Item:
    """The parameters of one cell; those that are assumed say so."""
    cell = made.module_type.cell
    fitted, assumed = _("fitted"), _("assumed")
    rows = []
    for letter, name, unit in PARAMETERS:
        value = short_number(getattr(cell, name), 5, minus=MINUS)
        rows.append([_(letter), f"{value} {unit}".strip(), assumed if name in ASSUMED else fitted])
    return {
        "caption": _("One cell at 1000 W/m² and 25 °C"),
        "head": [_("Parameter"), _("Value"), _("Where from")],
        "rows": rows,
        "marked": [k for k, (_letter, name, _unit) in enumerate(PARAMETERS) if name in ASSUMED],
    }


def residual_table(made: SheetModule) -> Item:
    """Each number of the sheet beside the module's own, as the whole of it is solved."""
    return {
        "caption": _("The whole module as it is solved, beside the paper"),
        "head": ["", _("Paper"), _("Module"), _("Difference"), "%"],
        "rows": [_row(one) for one in made.reproduced],
        "marked": [],
    }


def _row(one: Reproduced) -> list[str]:
    share = relative_residual(one)
    nothing = abs(share) < NOTHING
    return [
        f"{_name(one)}, {one.unit}",
        format_number(one.given, digits=4),
        format_number(one.found, digits=5),
        "0" if nothing else format_number(residual(one), digits=2),
        "0" if nothing else format_fixed(100.0 * share, decimals=3, sign=True),
    ]


def _name(one: Reproduced) -> str:
    if one.name == "pmp":
        return _("Imp times Vmp")
    if one.name in _FIELDS:
        return label_of(_FIELDS[one.name])
    name = label_of(one.name)
    return name if one.fitted else _("{name}, not fitted").format(name=name)
