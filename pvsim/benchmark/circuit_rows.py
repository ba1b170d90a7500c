"""Rows about the circuit solver: agreement, residuals, speed, random arrays."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from pvsim.benchmark import ngspice, specimen
from pvsim.benchmark.row import Row, left_out
from pvsim.circuit import Diode, Element, Parallel, Series, Turned, leaves, operate, solve
from pvsim.circuit.netlist import write_netlist

POINTS = 400
ROUNDS = 31
COMMAND = "import sys; from pvsim.process import run; sys.exit(run())"  # what the installed pvsim does


def agreement() -> list[Row]:
    """Largest current difference to ngspice over the curves of six circuits."""
    name, what, bar = "ngspice-agreement", "largest |dI| to ngspice over six circuits", 1e-5
    if not ngspice.is_here():
        return [left_out(name, what, bar, "A", "ngspice is not installed")]
    light, shaded = np.full(specimen.CELLS, 1000.0), specimen.shaded_module(200.0)
    dim = light * np.linspace(0.3, 1.0, specimen.CELLS)
    reversed_diode = Diode(
        saturation_current_A=specimen.DIODE.saturation_current_A,
        series_resistance_ohm=specimen.DIODE.series_resistance_ohm,
        condition="reversed",
    )
    halves = Series(
        tuple(
            Parallel((Series(specimen.cells(part[:10])), Series(specimen.cells(part[10:])), specimen.DIODE))
            for part in np.split(dim, 3)
        )
    )
    circuits = {
        "shaded module": (shaded, (-2.0, 41.0)),
        "all cells different": (specimen.module(dim), (-2.0, 41.0)),
        "a reversed diode": (specimen.module(light, reversed_diode), (-1.0, 3.0)),
        "half-cut": (halves, (-2.0, 21.0)),
        "a back-fed string": (
            Parallel((specimen.module(light), Series((Turned(shaded), specimen.module(light))))),
            (0.0, 41.0),
        ),
        "no bypass diode": (Series(specimen.cells(dim[:20])), (-12.0, 13.0)),
    }
    worst, where = 0.0, ""
    for title, (circuit, (least, most)) in circuits.items():
        V = np.linspace(least, most, 101)
        theirs_V, theirs_A, _ = ngspice.sweep(write_netlist(circuit, V))
        curve = solve(circuit, points=4000, window=(least, most + 1e-6))
        ours = np.array([operate(circuit, voltage_V=float(v)).current_A for v in theirs_V])
        inside = (ours > curve.current_A[-1]) & (np.abs(ours) < 60.0)
        off = float(np.max(np.abs(ours - theirs_A)[inside]))
        if off > worst:
            worst, where = off, title
    return [Row(name=name, what=what, figure=worst, bar=bar, unit="A", note=f"largest for {where}")]


def residuals() -> list[Row]:
    """By how much the laws are missed in an array of 960 different cells."""
    circuit = specimen.array_all_different(7)
    curve = solve(circuit, points=POINTS)
    point = operate(circuit, at_mpp=True)
    balance = abs(float(point.leaf_power_W.sum()) - point.power_W) / np.abs(point.leaf_power_W).sum()
    worst = max(curve.residual_A, point.residual_A, float(balance))
    return [
        Row(
            name="residual",
            what="residual at every element and power balance, 960 different cells",
            figure=worst,
            bar=1e-9,
            unit="(relative)",
            note=f"{POINTS} points and the operating point; power balance {balance:.1e}",
        )
    ]


def against_ngspice() -> list[Row]:
    """A shaded module of 60 cells, 400 points, against ngspice in the same run."""
    whole, inside = "60-cell module, whole process, times faster than ngspice", "the same without the start"
    if not ngspice.is_here():
        why = "ngspice is not installed"
        return [
            left_out("ngspice-process", whole, 2.0, "times", why),
            left_out("ngspice-solve", inside, 500.0, "times", why),
        ]
    netlist = write_netlist(specimen.shaded_module(200.0), np.linspace(-2.0, 41.0, POINTS))
    # In turns, so that both find the same machine.
    with tempfile.TemporaryDirectory() as folder:
        _process_seconds(Path(folder))
        seconds = [(ngspice.sweep(netlist)[2], _process_seconds(Path(folder))) for _ in range(7)]
    theirs, ours = map(min, zip(*seconds, strict=True))
    # The smallest circuit there is tells ngspice's own start.
    empty = write_netlist(specimen.CABLE, np.linspace(-1.0, 1.0, 3))
    their_start = min(ngspice.sweep(empty)[2] for _ in range(3))
    modules = iter([specimen.shaded_module(float(G)) for G in np.linspace(190.0, 210.0, 2 * ROUNDS)])

    def one() -> None:
        solve(next(modules), points=POINTS)

    solving = median_seconds(one)
    return [
        Row(
            name="ngspice-process",
            what=whole,
            figure=theirs / ours,
            bar=2.0,
            unit="times",
            better="higher",
            note=f"ngspice {theirs:.3f} s, pvsim {ours:.3f} s; from a file to a file of {POINTS} points",
        ),
        Row(
            name="ngspice-solve",
            what=inside,
            figure=(theirs - their_start) / solving,
            bar=500.0,
            unit="times",
            better="higher",
            note=f"ngspice {theirs - their_start:.2f} s, pvsim {1e3 * solving:.2f} ms, a new module each",
        ),
    ]


def one_changed() -> list[Row]:
    """960 cells, one changed: curve of 400 points and the operating point."""
    lights = iter(np.linspace(100.0, 900.0, 2 * ROUNDS))

    def one() -> None:
        circuit = specimen.array_with_one_shaded(float(next(lights)))
        operate(circuit, voltage_V=solve(circuit, points=POINTS).mpp.voltage_V)

    return [
        Row(
            name="one-changed",
            what="960 cells, one changed: 400 points and the operating point",
            figure=1e3 * median_seconds(one),
            bar=10.0,
            unit="ms",
            note="median, warm, a new light each time",
        )
    ]


def all_different() -> list[Row]:
    """960 cells, all different: curve of 400 points and the operating point."""
    seeds = iter(range(2 * ROUNDS))
    in_light = [specimen.array_all_different(seed) for seed in seeds]
    scattered = [specimen.array_scattered(seed) for seed in range(2 * ROUNDS)]
    return [
        _all_new("all-different", "960 cells, all in different light", in_light),
        _all_new("scattered", "960 cells, all of different photocurrent, shunt and breakdown", scattered),
    ]


def _all_new(name: str, which: str, circuits: list[Element]) -> Row:
    waiting = iter(circuits)

    def one() -> None:
        circuit = next(waiting)
        operate(circuit, voltage_V=solve(circuit, points=POINTS).mpp.voltage_V)

    return Row(
        name=name,
        what=f"{which}: 400 points and the operating point",
        figure=1e3 * median_seconds(one, 15),
        bar=50.0,
        unit="ms",
        note="median, new cells each time",
    )


def random_arrays() -> list[Row]:
    """10,000 random arrays with random faults: every law holds."""
    from pvsim.benchmark.random_array import random_array

    rng = np.random.default_rng(2026)
    broken, count = 0, 10_000
    start = time.perf_counter()
    for _ in range(count):
        circuit = random_array(rng)
        try:
            broken += not _laws_hold(circuit)
        except ArithmeticError:
            broken += 1
    return [
        Row(
            name="random-arrays",
            what="random arrays with random faults on which a law fails, of 10,000",
            figure=float(broken),
            bar=0.0,
            unit="arrays",
            note=f"{time.perf_counter() - start:.0f} s; curve, residual, power balance, monotony",
        )
    ]


def _laws_hold(circuit: Element) -> bool:
    curve = solve(circuit, points=40)
    point = operate(circuit, at_mpp=True)
    short = operate(circuit, voltage_V=0.0)
    eaten = np.abs(point.leaf_power_W).sum()
    return bool(
        np.isfinite(curve.current_A).all()
        and np.isfinite(point.leaf_voltage_V).all()
        and np.all(np.diff(curve.current_A) <= 1e-9)
        and max(curve.residual_A, point.residual_A, short.residual_A) <= 1e-9
        and abs(point.leaf_power_W.sum() - point.power_W) <= 1e-8 * max(1.0, float(eaten))
        and abs(short.current_A - curve.isc_A) <= 1e-8 * max(1.0, abs(curve.isc_A))
        and len(point.leaf_power_W) == len(leaves(circuit))
    )


def median_seconds(one: Callable[[], None], rounds: int = ROUNDS) -> float:
    """Median time of a call, warm."""
    for _ in range(3):
        one()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        one()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


def _process_seconds(folder: Path) -> float:
    """Time of `pvsim export csv` of a shaded module, as it is once installed: its byte code at hand."""
    circuit, curve = folder / "module.toml", folder / "curve.csv"
    circuit.write_text(specimen.shaded_module_text(200.0), encoding="utf-8")
    # A folder of its own for byte code, as pip would have made it: the source tree stays as it is.
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder / "bytecode")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-c", COMMAND, "export", "csv", str(circuit), "-o", str(curve)]
    start = time.perf_counter()
    subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start
