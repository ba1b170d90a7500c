"""Rows about large arrays: time and memory grow with what differs, not with what repeats."""

from __future__ import annotations

import resource
import subprocess
import sys
import time

from pvsim.benchmark.row import Row

STRINGS, LENGTH, FAULTY = 100, 25, 50


def large_array() -> list[Row]:
    """2,500 modules of 144 half-cells with 50 different faults, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "pvsim.benchmark.array_rows"], capture_output=True, text=True, check=True
    )
    seconds, megabytes, half = (float(word) for word in done.stdout.split())
    return [
        Row(
            name="large-array",
            what="2,500 modules of 144 half-cells, 50 different faults, from scenario to solution",
            figure=seconds,
            bar=2.0,
            unit="s",
            note=f"half the array with the same faults takes {half / seconds:.2f} times as long",
        ),
        Row(
            name="large-array-memory",
            what="the same: memory of the whole process",
            figure=megabytes,
            bar=500.0,
            unit="MB",
        ),
    ]


def _solve_seconds(strings: int) -> float:
    from pvsim.array import Array, Fault, Module, Place, Scenario, String, solve_array

    row = String(modules=(Module(type="half-144"),) * LENGTH, cable_resistance_ohm=0.2)
    faults = tuple(
        Fault(
            kind="cell-shunt",
            place=Place(string=k + 1, module=k % LENGTH + 1, cell=k + 1),
            size=0.5 + 0.1 * k,
        )
        for k in range(FAULTY)
    )
    scenario = Scenario(
        title="Large array, invented data", array=Array(strings=(row,) * strings), faults=faults
    )
    start = time.perf_counter()
    solve_array(scenario)
    return time.perf_counter() - start


def _measure() -> None:
    half = _solve_seconds(STRINGS // 2)
    seconds = _solve_seconds(STRINGS)
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(seconds, megabytes, half)


if __name__ == "__main__":
    _measure()
