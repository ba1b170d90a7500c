"""A data sheet: what the paper says of a module, and what was counted on its front."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

from pvsim.array.limits import MAX_CELLS_PER_MODULE, MAX_NOTE, MAX_SUBSTRINGS, MAX_TITLE
from pvsim.circuit.leaf import thermal_voltage
from pvsim.errors import SheetError
from pvsim.numbers import significant
from pvsim.prompt import summary
from pvsim.sheet.checks import count, number, refuse, text
from pvsim.sheet.coefficient import UNITS, Coefficient, relative_per_K
from pvsim.words import _

# What crystalline silicon has, with room on both sides: common practice, no single source. A band gap of
# 1.2 eV gives -0.27 to -0.52 %/K for 0.50 to 0.72 V a cell (Wenham et al., Applied Photovoltaics, eq. 3.12).
ALPHA_percent_per_K = (0.0, 0.2)
BETA_percent_per_K = (-0.6, -0.1)
GAMMA_percent_per_K = (-0.9, -0.1)
_MOST_CELL_V = 0.76  # no silicon cell has more: see bands.py


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
    cell_width_mm, cell_height_mm : float
        Of one cell as counted, the module upright.
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
    cell_width_mm: float
    cell_height_mm: float
    bifaciality: float = 0.0
    note: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        text(self, "title", most=MAX_TITLE, empty=False)
        text(self, "note", most=MAX_NOTE, empty=True)
        for name in ("isc_A", "imp_A"):
            number(self, name, least=0.01, most=200.0, unit="A")
        for name in ("voc_V", "vmp_V"):
            number(self, name, least=0.1, most=1000.0, unit="V")
        for name in ("cell_width_mm", "cell_height_mm"):
            number(self, name, least=5.0, most=400.0, unit="mm")
        number(self, "bifaciality", least=0.0, most=1.0, unit="")
        _check_points(self)
        _check_counts(self)
        _check_fill_factor(self)
        _check_coefficients(self)


def rated_power_W(sheet: DataSheet) -> float:
    """Imp Vmp, in W."""
    return sheet.imp_A * sheet.vmp_V


def fill_factor(sheet: DataSheet) -> float:
    """Imp Vmp / (Isc Voc)."""
    return rated_power_W(sheet) / (sheet.isc_A * sheet.voc_V)


def cell_area_cm2(sheet: DataSheet) -> float:
    """Area of one cell as counted, in cm2."""
    return sheet.cell_width_mm * sheet.cell_height_mm / 100.0


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


def _check_points(sheet: DataSheet) -> None:
    """Between which bounds the greatest power of a falling curve that is bent outwards can lie.

    The tangent there is Imp (2 - V / Vmp), for power has its maximum; the curve lies below it at V = 0 and
    at I = 0.
    """
    pairs = (("vmp_V", "voc_V", "V", _("Vmp"), _("Voc")), ("imp_A", "isc_A", "A", _("Imp"), _("Isc")))
    for inner, outer, unit, short, long in pairs:
        value, most = getattr(sheet, inner), getattr(sheet, outer)
        if value >= most:
            refuse(
                sheet,
                inner,
                value,
                _("less than {most} {unit}, which is {outer}").format(
                    most=significant(most, 5), unit=unit, outer=outer
                ),
                _("Check whether {short} and {long} were exchanged").format(short=short, long=long),
            )
        if value <= 0.5 * most:
            refuse(
                sheet,
                inner,
                value,
                _("more than {least} {unit}, half of {outer}, as on every curve bent outwards").format(
                    least=significant(0.5 * most, 5), unit=unit, outer=outer
                ),
                _("Check the numbers of {short} and {long}; they are of the whole module").format(
                    short=short, long=long
                ),
            )


def _check_counts(sheet: DataSheet) -> None:
    count(sheet, "cells", least=1, most=MAX_CELLS_PER_MODULE)
    count(sheet, "rows", least=1, most=MAX_CELLS_PER_MODULE)
    count(sheet, "columns", least=1, most=MAX_CELLS_PER_MODULE)
    count(sheet, "bypass_diodes", least=0, most=MAX_SUBSTRINGS)
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
        )
    if not sheet.bypass_diodes:
        return
    if sheet.columns % sheet.bypass_diodes:
        refuse(
            sheet,
            "bypass_diodes",
            sheet.bypass_diodes,
            _("a number that divides the {columns} columns").format(columns=sheet.columns),
            _("Count the diodes in the junction boxes again, and the columns with the module upright"),
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
            imp=significant(sheet.imp_A, 5), vmp=significant(sheet.vmp_V, 5), found=significant(found, 3)
        ),
        expected=_("less than {most}, which a cell of {voc} V without any resistance has").format(
            most=significant(most, 3), voc=significant(cell_V, 3)
        ),
        mend=_("Check the four points; all of them are at 1000 W/m2 and 25 degrees C"),
    )


def _check_coefficients(sheet: DataSheet) -> None:
    rows = (
        ("alpha", sheet.isc_A, ALPHA_percent_per_K, _("Isc rises with temperature")),
        ("beta", sheet.voc_V, BETA_percent_per_K, _("Voc falls with temperature")),
        ("gamma", rated_power_W(sheet), GAMMA_percent_per_K, _("power falls with temperature")),
    )
    for name, rated, (least, most), why in rows:
        coefficient = getattr(sheet, name)
        if not isinstance(coefficient, Coefficient) or coefficient.unit not in UNITS[name].values():
            units = ", ".join(UNITS[name].values())
            refuse(
                sheet,
                name,
                coefficient.unit if isinstance(coefficient, Coefficient) else coefficient,
                _("a coefficient in one of {units}").format(units=units),
                _("Take the unit that stands on the paper"),
            )
        given = f"{significant(coefficient.value, 4)} {coefficient.unit}"
        share = 100.0 * relative_per_K(coefficient, rated)
        sign = 1.0 if name == "alpha" else -1.0
        if share * sign <= 0.0:
            raise SheetError(
                _("{name} of the data sheet is {given}").format(name=name, given=given),
                expected=_("a number above 0: {why}").format(why=why)
                if sign > 0.0
                else _("a number below 0: {why}").format(why=why),
                mend=_("Check its sign, and that no other coefficient was taken"),
            )
        if not least <= share <= most:
            raise SheetError(
                _("{name} of the data sheet is {given}, which is {share} %/K").format(
                    name=name, given=given, share=significant(share, 3)
                ),
                expected=_("{least} to {most} %/K, as silicon cells have it").format(
                    least=significant(least, 2), most=significant(most, 2)
                ),
                mend=_("Check its unit, and whether it is of the module and not of one cell"),
            )
