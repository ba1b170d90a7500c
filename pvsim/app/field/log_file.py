"""The log as a file: one row a reading, in figures that a program reads, with time and conditions."""

from __future__ import annotations

import csv
from io import StringIO
from math import isinf

from pvsim.app.field.change_rows import change_cells
from pvsim.app.session.field_work import FieldWork, line_conditions
from pvsim.array.place import format_place
from pvsim.array.scenario import Scenario
from pvsim.field.reading import Reading
from pvsim.field.search.act import can_be_ranged
from pvsim.files.provenance import provenance

__all__ = ["COLUMNS", "log_csv"]

COLUMNS = (
    "minute", "act", "place", "last", "read", "at", "value", "unit", "expanded_uncertainty", "range",
    "ranging", "over_range", "refused", "irradiance_W_m2", "air_C", "wind_m_s",
)  # fmt: skip
_FIGURES = COLUMNS.index("refused") - COLUMNS.index("value")


def log_csv(work: FieldWork, bench: Scenario) -> str:
    """The log as CSV: a decimal point, commas, lines that begin with # before the heading.

    Parameters
    ----------
    bench : Scenario
        What is on the bench now.

    Notes
    -----
    A reading over range has no value and no uncertainty, but "OL" or "-OL" as its meter shows it. `ranging`
    is "auto" or "set" where a meter's range can be set. What became another on the bench between two lines
    has rows of its own with the act "changed": what in `read`, where in `at`. `place` is empty for the whole
    array.
    """
    out = StringIO()
    out.writelines(f"# {about}\n" for about in provenance(bench.title))
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    changes = {one.line: one for one in work.changes}
    for number, line in enumerate(work.transcript.lines):
        act, lit = line.act, line_conditions(work, bench, number)
        conditions = [f"{one:g}" for one in (lit.irradiance_W_m2, lit.air_C, lit.wind_m_s)]
        if number in changes:
            for what, at in change_cells(changes[number]):
                table.writerow(
                    [f"{line.begin_min:g}", "changed", "", "", what, at, *[""] * _FIGURES, "", *conditions]
                )
        begin = [f"{line.end_min:g}", act.kind, format_place(act.place), str(act.last or "")]
        ranging = ("set" if act.range_most else "auto") if can_be_ranged(act) else ""
        rows = [
            [
                found.what or act.what,
                format_place(found.place),
                "" if found.reading.over_range else f"{found.reading.value:g}",
                "K" if found.what == "contrast" else found.reading.unit,  # between two temperatures
                _doubt(found.reading),
                f"{found.reading.range_most:g}",
                ranging,
                _over(found.reading),
            ]
            for found in line.found
        ] or [[act.what, "", *[""] * _FIGURES]]
        for row in rows:
            table.writerow([*begin, *row, line.refused, *conditions])
    return out.getvalue()


def _over(reading: Reading) -> str:
    return ("OL" if reading.value >= 0.0 else "-OL") if reading.over_range else ""


def _doubt(reading: Reading) -> str:
    return "" if isinf(reading.standard_uncertainty) else f"{reading.expanded_uncertainty:.3g}"
