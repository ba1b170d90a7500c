"""The fields in which a data sheet is typed: what stands there, and what is shown in them."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _, decimal_mark
from pvsim.sheet.assumed import REVERSES, SHUNTS, Assumptions, Span
from pvsim.sheet.coefficient import UNITS, Coefficient
from pvsim.sheet.data_sheet import BOUNDS, DataSheet
from pvsim.sheet.own import own_sheets, read_own_sheet
from pvsim.sheet.sheet_file import SheetFile

__all__ = ["form_layout", "label_of", "typed_values"]

Item = dict[str, Any]

REVERSE_FIELDS = ("breakdown_fraction", "breakdown_voltage_V", "breakdown_exponent")


def form_layout() -> Item:
    """Everything that stands in the form; plain values for static/sheet/form.js.

    Returns
    -------
    dict
        `groups` of fields, each a text, a number with its unit or units, or a choice; `ranges`, by choice
        and name, least, usual and most of each field that depends on it; `examples`.
    """
    return {
        "groups": [
            _group("names", "", [_text("title"), _text("note")]),
            _group(
                "points",
                _("At 1000 W/m² and 25 °C"),
                [_number(name) for name in ("isc_A", "voc_V", "imp_A", "vmp_V")],
            ),
            _group(
                "coefficients",
                _("Temperature coefficients"),
                [_number(name, units=list(UNITS[name].values())) for name in UNITS],
                _("With sign and unit as on the paper; %/°C is the same as %/K."),
            ),
            _group(
                "counts",
                _("Counted on the front, the module upright"),
                [_number(name) for name in ("cells", "rows", "columns", "bypass_diodes")],
                _("Of half-cells each one counts."),
            ),
            _group(
                "more",
                _("If the sheet has it"),
                [
                    _number("cell_width_mm", needed=False),
                    _number("cell_height_mm", needed=False),
                    _number("bifaciality", needed=False),
                ],
                _("May be left empty. Without its size a cell is taken as large as Isc lets expect."),
            ),
            _group(
                "assumed",
                _("No data sheet says it"),
                [
                    _choice("shunt", [(name, _(title)) for name, (title, _span) in SHUNTS.items()]),
                    _number("shunt_ohm_cm2", needed=False),
                    _choice("reverse", [(name, _(one.title)) for name, one in REVERSES.items()]),
                    *(_number(name, needed=False) for name in REVERSE_FIELDS),
                ],
                mark=_("assumed"),
            ),
        ],
        "ranges": {
            "shunt": {name: {"shunt_ohm_cm2": _span(span)} for name, (_title, span) in SHUNTS.items()},
            "reverse": {
                name: {field: _span(getattr(one, field)) for field in REVERSE_FIELDS}
                for name, one in REVERSES.items()
            },
        },
        "examples": [[name, read_own_sheet(name).sheet.title] for name in own_sheets()],
    }


def label_of(name: str) -> str:
    """What a field of the sheet is called on the page."""
    return {
        "title": _("Title"),
        "note": _("Where it is from"),
        "isc_A": _("Isc"),
        "voc_V": _("Voc"),
        "imp_A": _("Imp"),
        "vmp_V": _("Vmp"),
        "alpha": _("α of Isc"),
        "beta": _("β of Voc"),
        "gamma": _("γ of the power"),
        "cells": _("Cells"),
        "rows": _("Rows"),
        "columns": _("Columns"),
        "bypass_diodes": _("Bypass diodes"),
        "bifaciality": _("Bifaciality"),
        "cell_width_mm": _("Width of a cell"),
        "cell_height_mm": _("Height of a cell"),
        "shunt": _("Shunt"),
        "shunt_ohm_cm2": _("Shunt times area"),
        "reverse": _("Reverse characteristic"),
        "breakdown_fraction": _("Share a"),
        "breakdown_voltage_V": _("Breakdown Vbr"),
        "breakdown_exponent": _("Exponent m"),
    }[name]


def unit_of(name: str) -> str:
    """The unit of a field that has one and no more."""
    own = {"bifaciality": "%", "shunt_ohm_cm2": "Ω cm²", "breakdown_voltage_V": "V"}
    return own[name] if name in own else BOUNDS[name][2] if name in BOUNDS else ""


def typed_values(file: SheetFile | None) -> dict[str, str]:
    """What the fields show of a sheet; without one, of a sheet that nobody has begun.

    Returns
    -------
    dict
        Text by field; the unit of a coefficient under its name with "_unit".
    """
    assumed = file.assumed if file else Assumptions()
    shown = {
        name: _plain(getattr(assumed, name)) if name not in ("shunt", "reverse") else getattr(assumed, name)
        for name in ("shunt", "shunt_ohm_cm2", "reverse", *REVERSE_FIELDS)
    }
    sheet = file.sheet if file else None
    for field in DataSheet.__dataclass_fields__:
        found = getattr(sheet, field) if sheet else None
        if field in UNITS:
            coefficient = found if isinstance(found, Coefficient) else None
            shown[field] = _plain(coefficient.value) if coefficient else ""
            shown[f"{field}_unit"] = coefficient.unit if coefficient else "%/K"
        elif field == "bifaciality":
            shown[field] = _plain(100.0 * found) if found else ""
        else:
            shown[field] = found if isinstance(found, str) else "" if found is None else _plain(found)
    return shown


def _plain(value: float) -> str:
    """A number as somebody would type it: the decimal mark of the page, the keyboard's minus."""
    return f"{value:.10g}".replace(".", decimal_mark())


def _group(name: str, title: str, fields: list[Item], note: str = "", *, mark: str = "") -> Item:
    return {"id": name, "title": title, "fields": fields, "note": note, "mark": mark}


def _text(name: str) -> Item:
    return {"kind": "text", "id": name, "label": label_of(name), "needed": name == "title"}


def _number(name: str, *, units: list[str] | None = None, needed: bool = True) -> Item:
    label = label_of(name)
    return {
        "kind": "number",
        "id": name,
        "label": label,
        "unit": "" if units else unit_of(name),
        "units": units or [],
        "units_label": _("Unit of {name}").format(name=label) if units else "",
        "needed": needed,
        "hint": _("70 is the same as {share}").format(share=_plain(0.7)) if name == "bifaciality" else "",
        "signed": bool(units) or name == "breakdown_voltage_V",
    }


def _choice(name: str, options: list[tuple[str, str]]) -> Item:
    return {"kind": "choice", "id": name, "label": label_of(name), "options": [list(one) for one in options]}


def _span(span: Span) -> list[str]:
    return [_plain(span.least), _plain(span.usual), _plain(span.most)]
