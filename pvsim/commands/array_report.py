"""What `pvsim solve` says about a scenario."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import asdict, fields
from typing import Any

import numpy as np

from pvsim.array import (
    WHOLE_ARRAY,
    ArraySolution,
    Operation,
    Place,
    Scenario,
    cell_at,
    check_place,
    describe_place,
    format_place,
    level_of,
    loss_account,
    parse_place,
    set_operation,
    solve_array,
    solve_or_release,
)
from pvsim.array.heat import HOT_K, ZERO_CELSIUS_K
from pvsim.circuit.solution import Characteristic
from pvsim.commands.characteristic_report import (
    characteristic_lines,
    characteristic_values,
    point_text,
    point_values,
)
from pvsim.commands.point import read_point
from pvsim.commands.text import number, plural, table
from pvsim.reading.diodes import conducting_diodes
from pvsim.reading.eating import eating_cells
from pvsim.reading.own_curve import own_curve
from pvsim.reading.terminals import point_of

_STATES = {
    "mpp": "at its maximum power point",
    "voltage": "at a fixed voltage",
    "current": "at a fixed current",
}
_LOSS_WORDS = {
    "nameplate_W": "every cell alone, in full light at 25 degrees C",
    "scatter_W": "cells that scatter",
    "irradiance_W": "light each cell has",
    "temperature_W": "temperature",
    "damage_W": "damaged cells",
    "within_substrings_W": "mismatch within substrings",
    "bypassed_W": "bypassed substrings",
    "between_substrings_W": "mismatch between substrings",
    "between_strings_W": "mismatch between strings",
    "cable_W": "cables and connectors",
    "operation_W": "not held at the maximum",
    "delivered_W": "delivered",
}


def report_array(scenario: Scenario, options: Namespace) -> tuple[list[str], dict[str, Any]]:
    """Solve a scenario.

    Returns
    -------
    lines : list of str
        For the terminal.
    values : dict
        For --json.
    """
    if options.at:
        kind, value = read_point(options.at)
        scenario = set_operation(scenario, Operation(kind, value))  # type: ignore[arg-type]
    place = parse_place(options.place) if options.place else WHOLE_ARRAY
    check_place(scenario, place)
    # A current asked for here must find its path; one that stands in a file is let go.
    solution, released = (solve_array(scenario), "") if options.at else solve_or_release(scenario)
    part = None if place == WHOLE_ARRAY else own_curve(solution, place)
    lines = [*([released] if released else []), *_head(solution)]
    if part is not None:
        lines += ["", f"Characteristic of {describe_place(place)} on its own", *characteristic_lines(part)]
        lines += _part_lines(solution, place)
    lines += [
        "",
        *_string_lines(solution),
        *_warning_lines(solution),
        "",
        "Where the power goes",
        *_losses(solution),
    ]
    values = _values(solution, place, part, curve=options.curve)
    return lines, {**values, "released": released} if released else values


def _head(solution: ArraySolution) -> list[str]:
    scenario = solution.scenario
    index = solution.index
    counts = (
        plural(len(index.strings), "string"),
        plural(len(index.module_kind), "module"),
        plural(int(index.cell_start[-1]), "cell"),
        plural(len(solution.trackers), "tracker"),
    )
    state = _STATES.get(scenario.operation.kind, "on a load resistance")
    lines = [", ".join(counts), f"Delivers {number(solution.power_W)} W, each tracker {state}"]
    for tracker in solution.trackers:
        numbers = ", ".join(map(str, tracker.strings))
        word = "string" if len(tracker.strings) == 1 else "strings"
        lines += ["", f"Tracker of {word} {numbers}: {point_text(tracker.point)}"]
        lines += characteristic_lines(tracker.characteristic)
    return lines


def _string_lines(solution: ArraySolution) -> list[str]:
    states = solution.strings
    rows = [
        (
            str(k + 1),
            *(number(float(values[k])) for values in (states.voltage_V, states.current_A, states.power_W)),
        )
        for k in range(len(states.power_W))
    ]
    return table(("string", "V", "A", "W"), rows, most=20)


def _part_lines(solution: ArraySolution, place: Place) -> list[str]:
    values = _part_state(solution, place)
    volts, amps, watts = (number(values[key]) for key in ("voltage_V", "current_A", "power_W"))
    lines = [f"  in the array: {watts} W at {volts} V and {amps} A"]
    if level_of(place) == "cell":
        light, kelvin = values["irradiance_W_m2"], values["temperature_K"]
        lines.append(f"  light {number(light)} W/m2, temperature {number(kelvin - 273.15)} degrees C")
    return lines


def _part_state(solution: ArraySolution, place: Place) -> dict[str, float]:
    """What a part below the array does in it, and what a cell was solved with."""
    point = point_of(solution, place)
    assert point is not None  # only the whole array may have no single point
    values = point_values(point)
    if level_of(place) == "cell":
        at = solution.cell_index(place)
        names = ("irradiance_W_m2", "temperature_K")
        values |= {name: float(getattr(solution.cells, name)[at]) for name in names}
    return values


def _warning_lines(solution: ArraySolution) -> list[str]:
    """Diodes that conduct, and the cells that eat most."""
    lines = []
    conducting = [format_place(place) for place in conducting_diodes(solution)]
    if conducting:
        more = f" and {len(conducting) - 12} more" if len(conducting) > 12 else ""
        lines += ["", f"Bypass diodes that conduct: {', '.join(conducting[:12])}{more}"]
    eating = np.flatnonzero(eating_cells(solution))
    if eating.size:
        order = eating[np.argsort(solution.cells.power_W[eating], kind="stable")]
        lines += ["", plural(len(order), "cell") + " eating power, the hungriest first"]
        rows = [
            (
                format_place(cell_at(solution.index, int(flat))),
                number(float(solution.cells.voltage_V[flat])),
                number(float(solution.cells.current_A[flat])),
                number(float(solution.cells.power_W[flat])),
                _warmth(solution, flat),
            )
            for flat in order.tolist()
        ]
        lines += table(("cell", "V", "A", "W", "warms to, degrees C"), rows, most=8)
    return lines


def _warmth(solution: ArraySolution, flat: int) -> str:
    """How warm a cell gets, in degrees Celsius; a range from where the model leaves one open."""
    cells = solution.cells
    if cells.steady_temperature_K[flat] < HOT_K:
        return number(float(cells.steady_temperature_K[flat]) - ZERO_CELSIUS_K)
    ends = (float(ends[flat]) - ZERO_CELSIUS_K for ends in (cells.steady_least_K, cells.steady_most_K))
    return " to ".join(f"{end:.0f}" for end in ends)


def _losses(solution: ArraySolution) -> list[str]:
    account = loss_account(solution)
    rows = []
    for field in fields(account):
        value = getattr(account, field.name)
        total = field.name in ("nameplate_W", "delivered_W")
        if total or abs(value) >= 0.005:  # finer than anything shown
            rows.append((_LOSS_WORDS.get(field.name, field.name), f"{value if total else -value:+.2f}"))
    return table(("", "W"), rows)


def _values(
    solution: ArraySolution, place: Place, part: Characteristic | None, *, curve: bool
) -> dict[str, Any]:
    cells, diodes = solution.cells, solution.diodes
    values: dict[str, Any] = {
        "power_W": solution.power_W,
        "residual": solution.residual,
        "trackers": [
            {
                "strings": list(tracker.strings),
                "characteristic": characteristic_values(tracker.characteristic, curve=curve),
                "operating_point": point_values(tracker.point),
            }
            for tracker in solution.trackers
        ],
    }
    if part is not None:
        values["part"] = {
            "place": format_place(place),
            "characteristic": characteristic_values(part, curve=curve),
            "in_the_array": _part_state(solution, place),
        }
    values["strings"] = _columns(solution.strings, ("voltage_V", "current_A", "power_W"))
    values["modules"] = _columns(solution.modules, ("voltage_V", "current_A", "power_W"))
    values["cells"] = _columns(cells, [field.name for field in fields(cells)])
    values["diodes"] = _columns(diodes, ("voltage_V", "current_A", "power_W"))
    values["diodes"]["conducting"] = [format_place(place) for place in conducting_diodes(solution)]
    values["losses"] = asdict(loss_account(solution))
    return values


def _columns(states: object, names: Any) -> dict[str, Any]:
    return {name: getattr(states, name).tolist() for name in names}
