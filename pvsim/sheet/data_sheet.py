"""A data sheet: what the paper says of a module, and what was counted on its front."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from math import exp, log, prod, sqrt
from typing import Any

from pvsim.array.limits import MAX_CELLS_PER_MODULE, MAX_NOTE, MAX_SUBSTRINGS, MAX_TITLE
from pvsim.circuit.leaf import thermal_voltage
from pvsim.errors import SheetError
from pvsim.numbers import short_number, significant
from pvsim.prompt import summary
from pvsim.sheet.checks import Check, count, number, problems, refuse, text
from pvsim.sheet.coefficient import UNITS, Coefficient, relative_per_K
from pvsim.words import _, mark

# Least, most and unit of each number that stands alone.
BOUNDS: dict[str, tuple[float, float, str]] = {
    **dict.fromkeys(("isc_A", "imp_A"), (0.01, 200.0, "A")),
    **dict.fromkeys(("voc_V", "vmp_V"), (0.1, 1000.0, "V")),
    **dict.fromkeys(("cells", "rows", "columns"), (1, MAX_CELLS_PER_MODULE, "")),
    "bypass_diodes": (0, MAX_SUBSTRINGS, ""),
    "bifaciality": (0.0, 1.0, ""),
    **dict.fromkeys(("cell_width_mm", "cell_height_mm"), (5.0, 400.0, "mm")),
}
# What crystalline silicon has, with room on both sides: common practice, no single source. A band gap of
# 1.2 eV gives -0.27 to -0.52 %/K for 0.50 to 0.72 V a cell (Wenham et al., Applied Photovoltaics, eq. 3.12).
_SHARES = {"alpha": (0.0, 0.2), "beta": (-0.6, -0.1), "gamma": (-0.9, -0.1)}  # in %/K
_WHY = {
    "alpha": mark("Isc rises with temperature"),
    "beta": mark("Voc falls with temperature"),
    "gamma": mark("power falls with temperature"),
}
_LETTERS = {"isc_A": mark("Isc"), "voc_V": mark("Voc"), "imp_A": mark("Imp"), "vmp_V": mark("Vmp")}
_LEAST_CELL_V, _MOST_CELL_V = 0.55, 0.76  # what a silicon cell has in full light: see bands.py
# Isc over area of cells in modules: 36 to 42 mA/cm2; common practice, no source.
USUAL_A_cm2 = 0.040


@dataclass(frozen=True, slots=True, kw_only=True)
class DataSheet:
    """What the paper says of a module at standard test conditions, and what its front shows.

    Parameters
    ----------
    title, note : str
        For people; the note says where the data are from.
    isc_A, voc_V, imp_A, vmp_V : float
        Of the module at 1000 W/m2 and 25 degrees C.
    alpha, beta, gamma : Coefficient
        Of Isc, Voc and the greatest power, of the module.
    cells : int
        As counted on the front: of halves each one.
    rows, columns : int
        Of the cells, the module upright.
    bypass_diodes : int
        None at all is 0.
    cell_width_mm, cell_height_mm : float or None
        Of one cell as counted, the module upright; both None where the paper has no size.
    bifaciality : float
        Rear to front short-circuit current, 0 to 1.

    Raises
    ------
    SheetError
        If a value cannot be, or two of them cannot be together.
    """

    title: str
    isc_A: float
    voc_V: float
    imp_A: float
    vmp_V: float
    alpha: Coefficient
    beta: Coefficient
    gamma: Coefficient
    cells: int
    rows: int
    columns: int
    bypass_diodes: int
    cell_width_mm: float | None = None
    cell_height_mm: float | None = None
    bifaciality: float = 0.0
    note: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        for _names, check in CHECKS:
            check(self)


def sheet_problems(values: Mapping[str, Any]) -> tuple[SheetError, ...]:
    """All that is wrong with what is to become a DataSheet, not only what is found first.

    Parameters
    ----------
    values : mapping
        Fields of DataSheet; those that nobody has read yet may be missing.

    Returns
    -------
    tuple of SheetError
        Each with the fields it is about. None where all fields are there: they make a DataSheet.
    """
    return problems(DataSheet, values, CHECKS)


def rated_power_W(sheet: DataSheet) -> float:
    """Imp Vmp, in W."""
    return sheet.imp_A * sheet.vmp_V


def fill_factor(sheet: DataSheet) -> float:
    """Imp Vmp / (Isc Voc)."""
    return rated_power_W(sheet) / (sheet.isc_A * sheet.voc_V)


def cell_size_mm(sheet: DataSheet) -> tuple[float, float]:
    """Width and height of one cell as counted; where the sheet has none, about what Isc lets expect.

    Notes
    -----
    Isc of one cell over USUAL_A_cm2 is its area; whole ones are square, of two halves each is half a square.
    """
    if sheet.cell_width_mm is not None and sheet.cell_height_mm is not None:
        return sheet.cell_width_mm, sheet.cell_height_mm
    halves = sheet.voc_V / sheet.cells < _LEAST_CELL_V and sheet.rows % 2 == 0
    # A whole cell is the same in both: with halves the module's Isc is that of two halves side by side.
    side = 10.0 * sqrt(sheet.isc_A / USUAL_A_cm2)
    return round(side, 1), round(side / 2.0 if halves else side, 1)


def size_text(sheet: DataSheet) -> str:
    """One sentence that says what size is assumed; empty where the sheet has one."""
    if sheet.cell_width_mm is not None:
        return ""
    width, height = cell_size_mm(sheet)
    return _(
        "Assumed, for the sheet has no size: cells of {width} by {height} mm, from Isc at {density} mA/cm²."
    ).format(
        width=short_number(width, 4), height=short_number(height, 4),
        density=short_number(1000.0 * USUAL_A_cm2),
    )  # fmt: skip


def cell_area_cm2(sheet: DataSheet) -> float:
    """Area of one cell as counted, in cm2."""
    width, height = cell_size_mm(sheet)
    return width * height / 100.0


def ideal_fill_factor(cell_voc_V: float, ideality: float = 1.0) -> float:
    """The fill factor of a single-diode cell without any resistance at 25 degrees C.

    Notes
    -----
    (v - ln(v + 0.72)) / (v + 1), v = Voc / (n Vt); to 1e-4 for v > 10.
    Source: M. A. Green, Solar Cells 7 (1982) 337.
    """
    v = cell_voc_V / (ideality * thermal_voltage(298.15))
    if v < 10.0:  # out of the formula's range: the maximum of v' (1 - exp(v' - v)) by Newton's method
        at = max(v - log(1.0 + v), 0.5 * v)
        for _step in range(50):
            at -= (exp(v - at) - 1.0 - at) / (-exp(v - at) - 1.0)
        return at * (exp(v) - exp(at)) / (v * (exp(v) - 1.0))
    return (v - log(v + 0.72)) / (v + 1.0)


def _check_point(inner: str, outer: str, unit: str, sheet: DataSheet) -> None:
    """Between which bounds the greatest power of a falling curve that is bent outwards can lie.

    The tangent there is Imp (2 - V / Vmp), for power has its maximum; the curve lies below it at V = 0 and
    at I = 0.
    """
    short, long = _(_LETTERS[inner]), _(_LETTERS[outer])
    value, most = getattr(sheet, inner), getattr(sheet, outer)
    if value >= most:
        refuse(
            sheet,
            inner,
            value,
            _("less than {most} {unit}, which is {outer}").format(
                most=short_number(most), unit=unit, outer=outer
            ),
            _("Check whether {short} and {long} were exchanged").format(short=short, long=long),
            beside=(outer,),
        )
    if value <= 0.5 * most:
        refuse(
            sheet,
            inner,
            value,
            _("more than {least} {unit}, half of {outer}, as on every curve bent outwards").format(
                least=short_number(0.5 * most), unit=unit, outer=outer
            ),
            _("Check the numbers of {short} and {long}; they are of the whole module").format(
                short=short, long=long
            ),
            beside=(outer,),
        )


def _check_size(sheet: DataSheet) -> None:
    """One side of a cell alone is no size."""
    sides = {name: getattr(sheet, name) for name in ("cell_width_mm", "cell_height_mm")}
    missing = [name for name, side in sides.items() if side is None]
    if len(missing) == 1:
        (other,) = {*sides} - {*missing}
        raise SheetError(
            _("{name} of the data sheet is not given").format(name=missing[0]),
            expected=_("width and height of a cell, or neither"),
            mend=_("Write both, or leave both out where the paper has no size"),
            fields=(missing[0], other),
        )


def _check_side(name: str, sheet: DataSheet) -> None:
    if getattr(sheet, name) is not None:
        _check_number(name, sheet)


def _check_product(sheet: DataSheet) -> None:
    made = sheet.rows * sheet.columns
    if made != sheet.cells:
        refuse(
            sheet,
            "cells",
            sheet.cells,
            _("{made}, for {rows} rows of {columns} cells").format(
                made=made, rows=sheet.rows, columns=sheet.columns
            ),
            _("Count cells, rows and columns again on the front; of halves each one counts"),
            beside=("rows", "columns"),
        )


def _check_diodes(sheet: DataSheet) -> None:
    if not sheet.bypass_diodes:
        return
    if sheet.columns % sheet.bypass_diodes:
        refuse(
            sheet,
            "bypass_diodes",
            sheet.bypass_diodes,
            _("a number that divides the {columns} columns").format(columns=sheet.columns),
            _("Count the diodes in the junction boxes again, and the columns with the module upright"),
            beside=("columns",),
        )
    each = sheet.columns // sheet.bypass_diodes
    if each % 2:
        refuse(
            sheet,
            "bypass_diodes",
            sheet.bypass_diodes,
            _("an even number of columns for each diode, not {each}, so that both ends reach its box").format(
                each=each
            ),
            _("Count the diodes in the junction boxes again, and the columns with the module upright"),
            beside=("columns",),
        )


def _check_fill_factor(sheet: DataSheet) -> None:
    """Refuse a fill factor that no series and parallel joining of the cells could have."""
    fitting = [
        sheet.voc_V * side_by_side / sheet.cells
        for side_by_side in range(1, sheet.cells + 1)
        if sheet.cells % side_by_side == 0 and sheet.voc_V * side_by_side / sheet.cells <= _MOST_CELL_V
    ]
    cell_V = max(fitting, default=_MOST_CELL_V)
    most = ideal_fill_factor(cell_V)
    found = fill_factor(sheet)
    if found < most:
        return
    raise SheetError(
        _("imp_A of the data sheet is {imp} and vmp_V {vmp}: a fill factor of {found}").format(
            imp=short_number(sheet.imp_A), vmp=short_number(sheet.vmp_V), found=significant(found, 3)
        ),
        expected=_("less than {most}, which a cell of {voc} V without any resistance has").format(
            most=significant(most, 3), voc=significant(cell_V, 3)
        ),
        mend=_("Check the four points; all of them are at 1000 W/m2 and 25 degrees C"),
        fields=("imp_A", "vmp_V", "isc_A", "voc_V"),
    )


def _check_unit(name: str, sheet: DataSheet) -> None:
    coefficient = getattr(sheet, name)
    if isinstance(coefficient, Coefficient) and coefficient.unit in UNITS[name].values():
        return
    units = ", ".join(UNITS[name].values())
    refuse(
        sheet,
        name,
        coefficient.unit if isinstance(coefficient, Coefficient) else coefficient,
        _("a coefficient in one of {units}").format(units=units),
        _("Take the unit that stands on the paper"),
    )


def _check_sign(name: str, sheet: DataSheet) -> None:
    coefficient = getattr(sheet, name)
    rises = name == "alpha"
    if coefficient.value > 0.0 if rises else coefficient.value < 0.0:
        return
    why = _(_WHY[name])
    raise SheetError(
        _("{name} of the data sheet is {given}").format(name=name, given=_given(coefficient)),
        expected=_("a number above 0: {why}").format(why=why)
        if rises
        else _("a number below 0: {why}").format(why=why),
        mend=_("Check its sign, and that no other coefficient was taken"),
        fields=(name,),
        found=_given(coefficient),
    )


def _check_share(name: str, rated: tuple[str, ...], sheet: DataSheet) -> None:
    coefficient, (least, most) = getattr(sheet, name), _SHARES[name]
    share = 100.0 * relative_per_K(coefficient, prod(getattr(sheet, one) for one in rated))
    if least <= share <= most:
        return
    raise SheetError(
        _("{name} of the data sheet is {given}, which is {share} %/K").format(
            name=name, given=_given(coefficient), share=significant(share, 3)
        ),
        expected=_("{least} to {most} %/K, as silicon cells have it").format(
            least=significant(least, 2), most=significant(most, 2)
        ),
        mend=_("Check its unit, and whether it is of the module and not of one cell"),
        fields=(name,),
    )


def _given(coefficient: Coefficient) -> str:
    return f"{short_number(coefficient.value)} {coefficient.unit}"


def _check_number(name: str, sheet: DataSheet) -> None:
    least, most, unit = BOUNDS[name]
    number(sheet, name, least=least, most=most, unit=unit)


def _check_count(name: str, sheet: DataSheet) -> None:
    least, most, _unit = BOUNDS[name]
    count(sheet, name, least=round(least), most=round(most))


def _checks() -> tuple[Check, ...]:
    """All that is looked at, each behind the names it looks at."""
    ratings = {"alpha": ("isc_A",), "beta": ("voc_V",), "gamma": ("imp_A", "vmp_V")}
    found: list[Check] = [
        (("title",), lambda sheet: text(sheet, "title", most=MAX_TITLE, empty=False)),
        (("note",), lambda sheet: text(sheet, "note", most=MAX_NOTE, empty=True)),
        *(((name,), partial(_check_number, name)) for name in ("isc_A", "imp_A", "voc_V", "vmp_V")),
        *(((name,), partial(_check_side, name)) for name in _SIZE),
        (_SIZE, _check_size),
        (("bifaciality",), partial(_check_number, "bifaciality")),
        (("vmp_V", "voc_V"), partial(_check_point, "vmp_V", "voc_V", "V")),
        (("imp_A", "isc_A"), partial(_check_point, "imp_A", "isc_A", "A")),
        *(((name,), partial(_check_count, name)) for name in (*_COUNTS, "bypass_diodes")),
        (_COUNTS, _check_product),
        (("bypass_diodes", "columns"), _check_diodes),
        (("isc_A", "voc_V", "imp_A", "vmp_V", "cells"), _check_fill_factor),
    ]
    for name, rated in ratings.items():
        found += [
            ((name,), partial(_check_unit, name)),
            ((name,), partial(_check_sign, name)),
            ((name, *rated), partial(_check_share, name, rated)),
        ]
    return tuple(found)


_SIZE = ("cell_width_mm", "cell_height_mm")
_COUNTS = ("cells", "rows", "columns")
CHECKS = _checks()
