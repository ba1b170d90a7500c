"""Whether fitted parameters are as cells have them, and which shunt would help where they are not."""

from __future__ import annotations

from dataclasses import replace
from typing import NoReturn

import numpy as np

from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.errors import SheetError
from pvsim.numbers import significant
from pvsim.sheet.assumed import SHUNTS, Assumptions, breakdown
from pvsim.sheet.bands import Structure
from pvsim.sheet.cell_fit import CellParameters, CellPoints, Shunt, fit_cell
from pvsim.sheet.cell_points import cell_points
from pvsim.sheet.data_sheet import DataSheet, cell_area_cm2
from pvsim.sheet.finding import Amount, Finding
from pvsim.words import _, mark

# Recombination through defects gives 2 at most and through the contacts 1; three-particle recombination
# 2/3. Modules of crystalline silicon come to 1.1 to 1.25 from Voc against light, and fits to a little less.
IDEALITY = (0.9, 2.0)
LEAST_IDEALITY = 2.0 / 3.0  # below it a fit is refused, above it doubted
# n times the slope of ln I0, which stands for the gap in dVoc/dT whatever n is: silicon's own 1.121 eV, less
# where carriers live longer in warm silicon and under contacts.
GAP_eV = (0.95, 1.25)
_LOOKED_AT, _STRIDE, _ROUGHLY = 31, 3, 1e-3


def judge(
    sheet: DataSheet, structure: Structure, assumed: Assumptions, cell: CellType, diode: Diode | None
) -> tuple[Finding, ...]:
    """What about a fitted cell is not as cells have it."""
    found = []
    if not IDEALITY[0] <= cell.ideality <= IDEALITY[1]:
        shunt = Shunt(resistance_ohm=cell.shunt_resistance_ohm, **breakdown(assumed))
        help = helpful_shunts_ohm_cm2(cell_points(sheet, structure, diode), shunt, cell_area_cm2(sheet))
        found.append(_ideality_doubt(cell.ideality, help))
    gap = cell.ideality * cell.band_gap_eV
    if not GAP_eV[0] <= gap <= GAP_eV[1]:
        found.append(
            Finding(
                about="band-gap",
                bearing="doubt",
                says=mark(
                    "β makes a gap of {gap} of the cells, and silicon comes to 0.95 eV to 1.25 eV: "
                    "check β, its unit and the count."
                ),
                values=(("gap", Amount(value=gap, unit="eV")),),
            )
        )
    return tuple(found)


def helpful_shunts_ohm_cm2(points: CellPoints, shunt: Shunt, area_cm2: float) -> tuple[float, float] | None:
    """Least and greatest shunt, times the cell's area, with which Rs and n are as cells have them.

    Returns
    -------
    (least, most) or None
        None where no shunt helps of all that SHUNTS span, so many of which are looked at.
    """
    least = min(span.least for _title, span in SHUNTS.values())
    most = max(span.most for _title, span in SHUNTS.values())
    values = np.geomspace(least, most, _LOOKED_AT).tolist()

    def helps(k: int, **how: float) -> bool:
        found = fit_cell(points, replace(shunt, resistance_ohm=values[k] / area_cm2), **how)
        return found is not None and is_physical(found)

    # At first roughly and from afar; what is said in the end is held to the whole fit.
    good = [k for k in range(0, _LOOKED_AT, _STRIDE) if helps(k, narrow=_ROUGHLY)]
    good = good or [k for k in range(_LOOKED_AT) if helps(k, narrow=_ROUGHLY)]
    if not good:
        return None
    low, high = good[0], good[-1]
    while low > 0 and helps(low - 1, narrow=_ROUGHLY):
        low -= 1
    while high < _LOOKED_AT - 1 and helps(high + 1, narrow=_ROUGHLY):
        high += 1
    while low <= high and not helps(low):
        low += 1
    while high >= low and not helps(high):
        high -= 1
    return (values[low], values[high]) if low <= high else None


def is_physical(found: CellParameters) -> bool:
    """Whether Rs and n are as cells have them."""
    return found.series_resistance_ohm >= 0.0 and IDEALITY[0] <= found.ideality <= IDEALITY[1]


def refuse_fit(sheet: DataSheet, points: CellPoints, shunt: Shunt, found: CellParameters | None) -> NoReturn:
    """Say why no cell can be made of these points, and which shunt would help."""
    ohm = significant(shunt.resistance_ohm, 3)
    if found is None:
        wrong = _("no cell with a shunt of {ohm} Ω has the points of this data sheet").format(ohm=ohm)
    elif found.series_resistance_ohm < 0.0:
        wrong = _(
            "with a shunt of {ohm} Ω the series resistance of a cell would come out as {Rs} mΩ, below zero"
        ).format(ohm=ohm, Rs=significant(1000.0 * found.series_resistance_ohm, 3))
    else:
        wrong = _("with a shunt of {ohm} Ω the ideality of a cell would come out as {n}").format(
            ohm=ohm, n=significant(found.ideality, 3)
        )
    help = helpful_shunts_ohm_cm2(points, shunt, cell_area_cm2(sheet))
    about: tuple[str, ...] = ("shunt", "shunt_ohm_cm2")
    if help is None:
        about = ("imp_A", "vmp_V")
        mend = _(
            "No shunt helps: check Imp and Vmp; rounded, or least instead of typical values do not go "
            "together"
        )
    else:
        mend = _("A shunt of {least} to {most} Ω cm² would do; choose it among what is assumed").format(
            least=significant(help[0], 2), most=significant(help[1], 2)
        )
    raise SheetError(
        wrong,
        expected=_("four points that a single-diode cell with Rs of at least 0 can have"),
        mend=mend,
        fields=about,
    )


def _ideality_doubt(ideality: float, help: tuple[float, float] | None) -> Finding:
    values: tuple[tuple[str, Amount | str], ...] = (("n", Amount(value=ideality)),)
    if help is None:
        says = mark(
            "An ideality of {n} is not what a silicon junction has (0.9 to 2), and no shunt would mend it: "
            "check the "
            "four points."
        )
    else:
        says = mark(
            "An ideality of {n} is not what a silicon junction has (0.9 to 2); a shunt of {least} to "
            "{most} would give "
            "one that is."
        )
        values += tuple(
            (name, Amount(value=float(f"{ohm_cm2:.2g}"), unit="Ω cm²"))
            for name, ohm_cm2 in zip(("least", "most"), help, strict=True)
        )
    return Finding(about="ideality", bearing="doubt", says=says, values=values)
