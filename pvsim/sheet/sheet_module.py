"""A module type from a data sheet: the cells fitted, the wiring inferred, each input beside its residual."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from pvsim.array.catalogue import BYPASS_DIODE
from pvsim.array.cell_layout import full_module, half_module
from pvsim.array.limits import MAX_NAME, MAX_NOTE
from pvsim.array.module import ModuleType
from pvsim.array.scenario import Scenario
from pvsim.circuit.cell import CellType
from pvsim.errors import SheetError
from pvsim.prompt import summary
from pvsim.sheet.assumed import Assumptions, assumptions_text, breakdown, shunt_resistance_ohm
from pvsim.sheet.bands import Structure
from pvsim.sheet.cell_fit import Shunt, fit_cell
from pvsim.sheet.cell_points import cell_points
from pvsim.sheet.data_sheet import DataSheet, cell_area_cm2, cell_size_mm, size_text
from pvsim.sheet.finding import Finding, sentence
from pvsim.sheet.hot_spot import HotSpot, hot_spot_findings, hot_spot_of
from pvsim.sheet.judgement import LEAST_IDEALITY, judge, refuse_fit
from pvsim.sheet.reasoning import Reasoning, infer
from pvsim.sheet.residual import Reproduced, one_module, reproduce
from pvsim.sheet.temperature_fit import fit_temperature, with_temperature
from pvsim.words import _

_DIGITS = 9  # of fitted parameters: far beyond every sheet, and short in a file and a link


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetModule:
    """What came out of a data sheet.

    Parameters
    ----------
    sheet : DataSheet
    assumed : Assumptions
    reasoning : Reasoning
        How the cells are joined, and why.
    structure : Structure
        The one that was taken.
    module_type : ModuleType
        Fits into a scenario's own types.
    reproduced : tuple of Reproduced
        Each input beside the module's own, as solved.
    doubts : tuple of Finding
        What about the parameters is not as cells have it; empty when all is.
    hot_spot : HotSpot
    """

    sheet: DataSheet
    assumed: Assumptions
    reasoning: Reasoning
    structure: Structure
    module_type: ModuleType
    reproduced: tuple[Reproduced, ...]
    doubts: tuple[Finding, ...]
    hot_spot: HotSpot

    __repr__ = summary


def module_from_sheet(sheet: DataSheet, assumed: Assumptions | None = None) -> SheetModule:
    """Fit cells to a data sheet and wire them.

    Parameters
    ----------
    sheet : DataSheet
    assumed : Assumptions, optional
        What no sheet says; the usual values if left out.

    Raises
    ------
    SheetError
        If the count and Voc do not go together, or no cell passes through the sheet's points.
    """
    assumed = assumed or Assumptions()
    reasoning = infer(sheet)
    structure = reasoning.structure
    if structure is None:
        raise SheetError(
            _("cells of the data sheet is {cells}, which fits no way of joining silicon cells").format(
                cells=sheet.cells
            ),
            expected=_("about 0.55 V to 0.76 V a cell in series, half of that where two halves are counted"),
            mend=sentence(reasoning.findings[-1]),
            fields=("cells", "voc_V"),
        )
    kind = fit_module_type(sheet, structure, assumed)
    diode = kind.substrings[0].diode
    spot = hot_spot_of(sheet, structure, assumed.breakdown_voltage_V, diode)
    return SheetModule(
        sheet=sheet,
        assumed=assumed,
        reasoning=reasoning,
        structure=structure,
        module_type=kind,
        reproduced=reproduce(sheet, kind),
        doubts=judge(sheet, structure, assumed, kind.cell, diode),
        hot_spot=spot,
    )


def fit_module_type(sheet: DataSheet, structure: Structure, assumed: Assumptions) -> ModuleType:
    """The module type whose terminals do what the sheet says.

    Raises
    ------
    SheetError
        If no cell with the shunt assumed passes through the sheet's points.
    """
    diode = BYPASS_DIODE if sheet.bypass_diodes else None
    Rsh = shunt_resistance_ohm(assumed, cell_area_cm2(sheet))
    shunt = Shunt(resistance_ohm=Rsh, **breakdown(assumed))
    points = cell_points(sheet, structure, diode)
    found = fit_cell(points, shunt)
    if found is None or found.series_resistance_ohm < 0.0 or found.ideality < LEAST_IDEALITY:
        refuse_fit(sheet, points, shunt, found)
    plain = CellType(
        photocurrent_A=_short(found.photocurrent_A),
        saturation_current_A=_short(found.saturation_current_A),
        ideality=_short(found.ideality),
        series_resistance_ohm=_short(found.series_resistance_ohm),
        shunt_resistance_ohm=_short(Rsh),
        **breakdown(assumed),
    )
    warmed = with_temperature(plain, fit_temperature(sheet, structure, found, shunt, diode))
    width_mm, height_mm = cell_size_mm(sheet)
    build = half_module if structure.layout == "halves" else full_module
    return build(
        name=_name(sheet.title),
        title=sheet.title,
        note=_note(sheet, assumed),
        cell=warmed,
        rows=sheet.rows,
        columns=sheet.columns,
        cell_width_m=round(width_mm / 1000.0, 6),
        cell_height_m=round(height_mm / 1000.0, 6),
        diodes=max(sheet.bypass_diodes, 1),
        diode=diode,
        bifaciality=sheet.bifaciality,
    )


def sheet_scenario(made: SheetModule) -> Scenario:
    """A scenario with one such module on the bench."""
    return one_module(made.module_type, made.sheet.title, made.module_type.note)


def all_findings(made: SheetModule) -> tuple[Finding, ...]:
    """The whole reasoning in order: joining, what the fit leaves in doubt, and the shaded cell."""
    return (*made.reasoning.findings, *made.doubts, *hot_spot_findings(made.hot_spot))


def _short(value: float) -> float:
    return float(f"{value:.{_DIGITS}g}")


def _name(title: str) -> str:
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    return (f"sheet-{slug}" if slug else "sheet-module")[:MAX_NAME].rstrip("-")


def _note(sheet: DataSheet, assumed: Assumptions) -> str:
    parts = (
        sheet.note.strip(),
        _("From a data sheet, to which its cells are fitted."),
        assumptions_text(assumed, cell_area_cm2(sheet)),
        size_text(sheet),
        _("The bypass diode is an invented one.") if sheet.bypass_diodes else "",
    )
    return " ".join(part for part in parts if part)[:MAX_NOTE]
