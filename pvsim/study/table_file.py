"""The table of a study as CSV, and as plain values for JSON."""

from __future__ import annotations

import csv
import io
from math import isfinite
from typing import Any

import pvsim
from pvsim.array.place import Place, format_place
from pvsim.field.notice import NOTICED
from pvsim.files.provenance import MODEL_LIMITS, one_line, provenance
from pvsim.study.axis import Axis
from pvsim.study.column import Column
from pvsim.study.metered import VERDICTS, Metered
from pvsim.study.places import Every, format_every
from pvsim.study.table import StudyTable, value_text

_STEPS = "; ".join(f"{number} {NOTICED[key]}" for number, key in enumerate(VERDICTS))


def write_table(table: StudyTable) -> str:
    """Write a table as CSV.

    Returns
    -------
    str
        Comment lines (version, scenario, limits, what each column is), then a header with units,
        then a row for each case. Numbers stand in full; a number there is none of is left empty.
    """
    study = table.study
    comments = [
        *provenance(study.base.title),
        f"Study: {one_line(study.title)}",
        f"Cases: {len(table):,} of {table.planned:,}, {table.failed:,} with a problem",
        *(f"{axis.name}: {one_line(_meaning(axis))}" for axis in study.axes),
        *(f"{column.name} = {one_line(column.text)}" for column in study.columns),
        *([f"A verdict is {_STEPS}."] if any(map(_is_verdict, study.columns)) else []),
        "Generator convention: power is delivered where voltage and current are both positive.",
    ]
    out = io.StringIO()
    out.writelines(f"# {comment}\n" for comment in comments)
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(table.names)
    for case, values, problem in zip(table.cases, table.values.tolist(), table.problems, strict=True):
        read = ["" if not isfinite(value) else repr(value) for value in values]
        writer.writerow([*map(value_text, case), *read, one_line(problem)])
    return out.getvalue()


def table_values(table: StudyTable) -> dict[str, Any]:
    """Say a table in plain values: its head, and every column as a list."""
    study = table.study
    columns = {name: [_plain(value) for value in table[name].tolist()] for name in table.names}
    return {
        "pvsim": pvsim.__version__,
        "title": study.title,
        "scenario": study.base.title,
        "limits": list(MODEL_LIMITS),
        "cases": len(table),
        "planned": table.planned,
        "failed": table.failed,
        "meaning": {
            **{axis.name: _meaning(axis) for axis in study.axes},
            **{column.name: column.text for column in study.columns},
        },
        "columns": columns,
    }


def _is_verdict(column: Column) -> bool:
    return isinstance(column.expression, Metered) and column.expression.number == "verdict"


def _plain(value: Any) -> Any:
    return None if isinstance(value, float) and not isfinite(value) else value


def _meaning(axis: Axis) -> str:
    """What an axis varies, where, in words."""
    parts = [axis.vary]
    if isinstance(axis.values, Every):
        parts.append(format_every(axis.values))
    if axis.fault:
        parts.append(f"of {axis.fault}")
    if axis.vary.startswith("shadow_"):
        parts.append(f"of shadow {axis.shadow}")
    if axis.at is not None:
        parts.append(f"at {format_place(axis.at) if isinstance(axis.at, Place) else axis.at}")
    if axis.other is not None:
        parts.append(f"to {format_place(axis.other)}")
    if axis.setup:
        parts.append("(before and after alike)")
    return " ".join(parts)
