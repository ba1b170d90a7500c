"""What `pvsim solve` says about a bare circuit."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from pvsim.circuit import Cell, Diode, Element, OperatingPoint, leaves, operate, solve
from pvsim.commands.characteristic_report import (
    characteristic_lines,
    characteristic_values,
    point_text,
    point_values,
)
from pvsim.commands.point import read_point
from pvsim.commands.text import number, plural, table
from pvsim.errors import FileError
from pvsim.files.circuit_file import CircuitFile


def report_circuit(source: CircuitFile, options: Namespace) -> tuple[list[str], dict[str, Any]]:
    """Solve a bare circuit.

    Returns
    -------
    lines : list of str
        For the terminal.
    values : dict
        For --json.
    """
    if options.place:
        raise FileError(
            f"a bare circuit has no place '{options.place[:40]}'",
            expected="--place with a scenario only",
            mend="Leave --place out",
        )
    kind, value = read_point(options.at or "mpp")
    characteristic = solve(source.circuit)
    point = operate(
        source.circuit,
        voltage_V=value if kind == "voltage" else None,
        current_A=value if kind == "current" else None,
        load_ohm=value if kind == "load" else None,
        at_mpp=kind == "mpp",
    )
    parts = leaves(source.circuit)
    lines = [
        f"{plural(len(parts), 'part')}",
        "",
        "Characteristic",
        *characteristic_lines(characteristic),
        "",
        f"Operating point: {point_text(point)}",
        *table(("part", "V", "A", "W"), _rows(parts, point)),
    ]
    return lines, {
        "characteristic": characteristic_values(characteristic, curve=options.curve),
        "operating_point": point_values(point) | {"residual": point.residual_A},
        "parts": [
            {
                "kind": _kind(part),
                "voltage_V": float(point.leaf_voltage_V[k]),
                "current_A": float(point.leaf_current_A[k]),
                "power_W": float(point.leaf_power_W[k]),
            }
            for k, part in enumerate(parts)
        ],
    }


def _kind(part: Element) -> str:
    return "cell" if isinstance(part, Cell) else "diode" if isinstance(part, Diode) else "resistor"


def _rows(parts: Sequence[Element], point: OperatingPoint) -> list[tuple[str, ...]]:
    """A row for each part, equal neighbours in one."""
    columns = zip(
        map(_kind, parts),
        map(number, point.leaf_voltage_V.tolist()),
        map(number, point.leaf_current_A.tolist()),
        map(number, point.leaf_power_W.tolist()),
        strict=True,
    )
    rows = []
    first = 1
    for (kind, *values), group in groupby(columns):
        last = first + len(list(group)) - 1
        name = f"{first} {kind}" if first == last else f"{first}-{last} {kind}s, each"
        rows.append((name, *values))
        first = last + 1
    return rows
