"""What `pvsim study` says about a table."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pvsim.array.place import Place
from pvsim.commands.text import number, plural, table
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.study.table import StudyTable, value_text

MOST_ROWS = 24  # a table that fits a screen is shown whole
MOST_PROBLEMS = 5
MOST_WHOLE = 1e6
SAME = 1e-8  # of the largest; two orders above the solver's tolerance


def report_study(found: StudyTable, *, written: str | None = None) -> list[str]:
    """Say for each column where it is least and greatest, and which cases had a problem.

    Parameters
    ----------
    written : str or None
        The file the table was written to.

    Returns
    -------
    list of str
        Lines for the terminal.
    """
    study = found.study
    cases = plural(found.planned, "case")
    done = cases if len(found) == found.planned else f"{len(found):,} of {cases}"
    lines = [
        one_line(study.title) or "Study",
        f"{done} of {one_line(study.base.title) or 'a scenario'}",
        "",
        *_extremes(found),
    ]
    if len(found) <= MOST_ROWS and not written:
        lines += ["", *_rows(found)]
    lines += _problems(found)
    end = f"The table is in {written}" if written else "All rows: -o FILE.csv, or --json"
    return [*lines, "", end, MODEL_LIMITS[1]]


def _extremes(found: StudyTable) -> list[str]:
    """For each column its range and the cases at both ends."""
    names = [column.name for column in found.study.columns]
    wide = max(map(len, names))
    lines = []
    for name, values in zip(names, found.values.T, strict=True):
        known = np.flatnonzero(np.isfinite(values))
        head = f"  {name.ljust(wide)}  "
        if known.size == 0:
            lines.append(f"{head}no value")
            continue
        ends = [int(known[at]) for at in (values[known].argmin(), values[known].argmax())]
        alike = [_alike(values[known], values[end]) for end in ends]
        if alike[0] == known.size:
            lines.append(f"{head}{_short(float(values[ends[0]]))} in every case")
            continue
        shown = [_short(float(values[end])) for end in ends]
        for start, text, end, count in zip((head, " " * (wide + 1) + "to "), shown, ends, alike, strict=True):
            more = f" and {count - 1:,} more" if count > 1 else ""
            lines.append(f"{start}{text.ljust(max(map(len, shown)))}  at {_case(found, end)}{more}")
    return lines


def _alike(values: NDArray[np.float64], value: float) -> int:
    """How many values are this one, to the solver's tolerance."""
    scale = float(np.abs(values).max())
    return int(np.count_nonzero(np.abs(values - value) <= SAME * scale))


def _case(found: StudyTable, row: int) -> str:
    """The values that tell a case from the others."""
    axes = found.study.axes
    several = [len({case[k] for case in found.cases}) > 1 for k in range(len(axes))]
    shown = [
        f"{axis.name} {_short(value)}"
        for axis, value, differs in zip(axes, found.cases[row], several, strict=True)
        if differs
    ]
    return ", ".join(shown) or "the only case"


def _rows(found: StudyTable) -> list[str]:
    rows = [
        [*map(_short, case), *map(_short, values)]
        for case, values in zip(found.cases, found.values.tolist(), strict=True)
    ]
    return table(found.names[:-1], rows)


def _problems(found: StudyTable) -> list[str]:
    if not found.failed:
        return []
    lines = ["", f"{plural(found.failed, 'case')} with a problem"]
    seen: dict[str, list[int]] = {}
    for row, problem in enumerate(found.problems):
        if problem:
            seen.setdefault(problem, []).append(row)
    for problem, rows in list(seen.items())[:MOST_PROBLEMS]:
        more = f" and {len(rows) - 1:,} more" if len(rows) > 1 else ""
        lines.append(f"  {_case(found, rows[0])}{more}: {one_line(problem)}")
    if len(seen) > MOST_PROBLEMS:
        lines.append(f"  and {plural(len(seen) - MOST_PROBLEMS, 'other problem')}")
    return lines


def _short(value: float | str | Place) -> str:
    """A number as people read it, whole ones without a point."""
    if not isinstance(value, float):
        return value_text(value)
    if not np.isfinite(value):
        return "no value"
    return f"{value:.0f}" if value == round(value) and abs(value) < MOST_WHOLE else number(value)
