"""How the columns must be joined so that the bypass diodes reach the junction box."""

from __future__ import annotations

from pvsim.sheet.bands import Structure
from pvsim.sheet.data_sheet import DataSheet
from pvsim.sheet.finding import Amount, Finding
from pvsim.words import mark

USUAL_CELLS_PER_DIODE = (10, 24)  # up to 20 to 24; common practice, no source. Some authors ask for 10 to 15.


def cells_per_diode(sheet: DataSheet, structure: Structure) -> int:
    """Cells in series that one bypass diode spans; all of them where there is none."""
    return structure.in_series // max(sheet.bypass_diodes, 1)


def joining_findings(sheet: DataSheet, structure: Structure) -> tuple[Finding, ...]:
    """What follows for the diodes and the columns."""
    if not sheet.bypass_diodes:
        return (
            Finding(
                about="cells-per-diode",
                bearing="doubt",
                says=mark("No bypass diode: one shaded cell meets the voltage of all {n} in series."),
                values=(("n", Amount(value=structure.in_series)),),
            ),
        )
    each = sheet.columns // sheet.bypass_diodes
    n = cells_per_diode(sheet, structure)
    least, most = USUAL_CELLS_PER_DIODE
    usual = least <= n <= most
    diodes = Finding(
        about="cells-per-diode",
        bearing="allowed" if usual else "doubt",
        says=mark("{diodes} diodes over {series} cells in series: {n} cells for each, as is usual.")
        if usual
        else mark(
            "{diodes} diodes over {series} cells in series: {n} cells for each, where 10 to 24 are usual; "
            "count the "
            "diodes again."
        ),
        values=(
            ("diodes", Amount(value=sheet.bypass_diodes)),
            ("series", Amount(value=structure.in_series)),
            ("n", Amount(value=n)),
        ),
    )
    return (diodes, _columns(sheet, structure, each))


def _columns(sheet: DataSheet, structure: Structure, each: int) -> Finding:
    values = (("each", Amount(value=each)), ("diodes", Amount(value=sheet.bypass_diodes)))
    if structure.layout == "columns":
        return Finding(
            about="columns",
            bearing="allowed",
            says=mark(
                "Both ends of what a diode spans must reach its box: so {each} neighbouring columns make a "
                "substring, down one and up the next, {diodes} times side by side; the box is at one edge."
            ),
            values=values,
        )
    return Finding(
        about="columns",
        bearing="allowed",
        says=mark(
            "Both ends of what a diode spans must reach its box, and both halves must share it: so {each} "
            "neighbouring columns make two chains, out and back in each half, in parallel on one diode; the "
            "{diodes} boxes are in the middle."
        ),
        values=values,
    )
