"""The benchmark: every bar of the project measured on this machine, beside its figure.

Where another program is involved, both run in the same run and the figure is a ratio.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pvsim.benchmark.row import Row

# Name of each measurement: module and function; a measurement may give several rows.
MEASUREMENTS = {
    "agreement": ("circuit_rows", "agreement"),
    "residuals": ("circuit_rows", "residuals"),
    "ngspice": ("circuit_rows", "against_ngspice"),
    "one-changed": ("circuit_rows", "one_changed"),
    "all-different": ("circuit_rows", "all_different"),
    "large": ("array_rows", "large_array"),
    "joined": ("mesh_rows", "joined"),
    "unreasonable": ("mesh_rows", "unreasonable"),
    "sheet": ("sheet_rows", "a_fit"),
    "traced": ("traced_rows", "planted"),
    "day": ("roof_rows", "a_day"),
    "wiring": ("roof_rows", "shortest"),
    "page": ("page_rows", "page"),
    "class": ("class_rows", "whole_class"),
    "poll": ("poll_rows", "whole_poll"),
    "random": ("circuit_rows", "random_arrays"),
}

__all__ = ["MEASUREMENTS", "run_benchmark"]


def run_benchmark(names: list[str], *, as_json: bool = False) -> int:
    """Measure, and print each figure beside its bar.

    Parameters
    ----------
    names : list of str
        Names of MEASUREMENTS; empty for all.
    as_json : bool
        Print JSON instead of a table.

    Returns
    -------
    int
        0 when every measured row meets its bar, otherwise 1.

    Raises
    ------
    PvsimError
        If a name is unknown.
    """
    # Imported here, so that a part of this package costs a process no more than it needs.
    import json
    import sys
    from dataclasses import asdict
    from importlib import import_module

    from pvsim.benchmark.row import holds, is_measured
    from pvsim.errors import PvsimError, nearest

    for name in names:
        if name not in MEASUREMENTS:
            raise PvsimError(
                f"'{name}' is no row of the benchmark",
                expected="one of " + ", ".join(MEASUREMENTS),
                mend=nearest(name, MEASUREMENTS),
            )
    rows: list[Row] = []
    if not as_json:
        print(_line("what", "figure", "bar", ""), flush=True)
    for name in names or MEASUREMENTS:
        module, function = MEASUREMENTS[name]
        measure: Callable[[], list[Row]] = getattr(import_module(f"pvsim.benchmark.{module}"), function)
        for row in measure():
            rows.append(row)
            if not as_json:
                print(_table_line(row), flush=True)
    if as_json:
        json.dump([asdict(row) | {"holds": holds(row)} for row in rows], sys.stdout, indent=1)
        print()
    return 0 if all(holds(row) for row in rows if is_measured(row)) else 1


def _table_line(row: Row) -> str:
    from pvsim.benchmark.row import holds, is_measured

    sign = "<=" if row.better == "lower" else ">="
    figure = f"{row.figure:.3g} {row.unit}" if is_measured(row) else "left out"
    verdict = "" if not is_measured(row) else ("" if holds(row) else "MISSED; ")
    return _line(row.what, figure, f"{sign} {row.bar:g} {row.unit}", verdict + row.note)


def _line(what: str, figure: str, bar: str, note: str) -> str:
    return f"| {what:<78} | {figure:>18} | {bar:>18} | {note} |"
