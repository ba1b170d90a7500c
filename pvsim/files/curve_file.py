"""Curves as CSV, out and in, with the unit in each column's name."""

from __future__ import annotations

import numpy as np

from pvsim.circuit.solution import Characteristic
from pvsim.errors import FileError
from pvsim.files.curve import Curve
from pvsim.files.provenance import one_line, provenance
from pvsim.files.source import Source, check_length, shown
from pvsim.files.units import split_unit, unit_relation

MAX_POINTS = 100_000
MAX_COLUMNS = 100
LARGEST = 1e9  # in V, A or W; axes and products of larger ones mean nothing
LARGEST_OTHER = 1e300  # in columns that nobody asked for, such as times
HEAD = 20_000  # characters that are looked at to tell what a file is
COLUMNS = ("voltage_V", "current_A", "power_W")


def write_curve(characteristic: Characteristic, *, title: str, label: str = "the whole array") -> str:
    """Write a characteristic as CSV.

    Parameters
    ----------
    characteristic : Characteristic
        Every point of it is written in full, so that it reads back to the same numbers.
    title, label : str
        Of the scenario, and of the part whose curve it is.

    Returns
    -------
    str
        Comment lines (version, scenario, limits, key points), then a header with units, then rows.
    """
    mpp = characteristic.mpp
    comments = [
        *provenance(title),
        f"Part: {one_line(label)}",
        f"Isc {characteristic.isc_A:.6g} A, Voc {characteristic.voc_V:.6g} V, "
        f"fill factor {characteristic.fill_factor:.5g}",
        f"MPP {mpp.power_W:.6g} W at {mpp.voltage_V:.6g} V and {mpp.current_A:.6g} A",
        "Generator convention: power is delivered where voltage and current are both positive.",
    ]
    rows = zip(
        characteristic.voltage_V.tolist(),
        characteristic.current_A.tolist(),
        characteristic.power_W.tolist(),
        strict=True,
    )
    lines = [f"# {comment}" for comment in comments]
    lines.append(",".join(COLUMNS))
    lines.extend(f"{voltage!r},{current!r},{power!r}" for voltage, current, power in rows)
    return "\n".join(lines) + "\n"


def read_curve(text: str, name: str = "the curve file") -> Curve:
    """Read a curve from CSV with named columns.

    Parameters
    ----------
    text : str
        Lines that start with # are skipped. The columns voltage_V and current_A must be there;
        power_W is worked out when it is not. Fields are parted by commas, or by semicolons or
        tabs, and then a decimal comma is understood.

    Raises
    ------
    FileError
        If a column is missing or a field is no finite number, with the line.
    """
    source = Source(name=name, text=text)
    check_length(source)
    label = ""
    columns: list[str] = []
    mark = ","
    rows: list[list[float]] = []
    for number, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1):
        line = line.strip()
        if line.startswith("#"):
            label = line[1:].strip()[len("Part: ") :] if line[1:].strip().startswith("Part: ") else label
        elif line and not columns:
            mark = next((one for one in "\t;" if one in line), ",")
            columns = _columns(line.split(mark), f"{shown(name)}, line {number}")
        elif line:
            if len(rows) == MAX_POINTS:
                raise FileError(
                    f"{shown(name)} has more than {MAX_POINTS:,} points",
                    expected="a curve",
                    mend="Leave points out",
                )
            rows.append(_row(line.split(mark), columns, mark, f"{shown(name)}, line {number}"))
    if len(rows) < 2:
        raise FileError(
            f"{shown(name)} has {len(rows)} points",
            expected="a header line with voltage_V and current_A, then at least two rows",
            mend="Check that the file is a curve and was saved whole",
        )
    table = np.array(rows, dtype=np.float64).T
    values = dict(zip(columns, table, strict=True))
    voltage, current = values["voltage_V"], values["current_A"]
    power = values.get("power_W", voltage * current)
    return Curve(label=one_line(label), voltage_V=voltage, current_A=current, power_W=power)


def is_curve(text: str) -> bool:
    """Whether a text is a table of numbers below a header, as curves are kept, whatever the header says."""
    lines = [line.strip() for line in text.lstrip("\ufeff")[:HEAD].splitlines()]
    rows = [line for line in lines if line and not line.startswith("#")][:2]
    if len(rows) < 2 or any(mark in rows[0] for mark in "=["):
        return False
    mark = next((one for one in "\t;," if one in rows[0]), None)
    return mark is not None and all(_is_number(field) for field in rows[1].split(mark))


def _is_number(field: str) -> bool:
    try:
        float(field.strip().strip('"').replace(",", "."))
    except ValueError:
        return False
    return True


def _columns(names: list[str], at: str) -> list[str]:
    if len(names) > MAX_COLUMNS:
        raise FileError(
            f"{at} has {len(names):,} columns",
            expected=f"at most {MAX_COLUMNS}",
            mend="Leave out all but voltage_V and current_A",
        )
    columns = [name.strip().strip('"') for name in names]
    for needed in COLUMNS[:2]:
        if columns.count(needed) != 1:
            raise FileError(
                f"{at} does not name the column {needed} once",
                expected="a header with voltage_V and current_A, and power_W if you like",
                mend=_column_hint(needed, columns),
            )
    if len(set(columns)) != len(columns):
        raise FileError(f"{at} names a column twice", expected="each column once", mend="Rename one of them")
    return columns


def _column_hint(needed: str, columns: list[str]) -> str:
    """Which column to rename, and how its numbers have to change with its unit."""
    quantity, unit = split_unit(needed)
    alike = [name for name in columns if name.lower().startswith((quantity, quantity[0]))]
    if needed in columns or not alike:
        return f"Call the column with the {quantity} in {unit} {needed}, and only that one"
    relation = unit_relation(split_unit(alike[0])[1], unit)
    more = f" ({relation})" if relation else ""
    return f"Rename '{shown(alike[0])}' to {needed}, with its numbers in {unit}{more}"


def _row(fields: list[str], columns: list[str], mark: str, at: str) -> list[float]:
    if len(fields) != len(columns):
        raise FileError(
            f"{at} has {len(fields)} fields",
            expected=f"{len(columns)}, as the header",
            mend="Complete or remove the line",
        )
    values = []
    for field, name in zip(fields, columns, strict=True):
        most = LARGEST if name in COLUMNS else LARGEST_OTHER
        plain = field.strip().strip('"')
        try:
            value = float(plain.replace(",", ".") if mark != "," else plain)
        except ValueError:
            value = float("nan")
        if not abs(value) <= most:  # nor is nan
            raise FileError(
                f"{at} holds '{shown(plain)}'",
                expected=f"a finite number, at most {most:g} either way",
                mend="Write it like 12.5, without a unit",
            )
        values.append(value)
    return values
