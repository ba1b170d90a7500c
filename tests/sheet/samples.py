"""Data sheets for tests: a plain one to spoil, and many made from random cells by plain numpy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pvsim.sheet import Assumptions, Coefficient, DataSheet

# The thermal voltage at 25 degrees C, from the constants of 2019: k T / q.
VT = 1.380649e-23 * 298.15 / 1.602176634e-19

PLAIN: dict[str, Any] = {
    "title": "An invented module of sixty cells",
    "isc_A": 9.7,
    "voc_V": 39.6,
    "imp_A": 9.15,
    "vmp_V": 32.6,
    "alpha": Coefficient(value=0.05, unit="%/K"),
    "beta": Coefficient(value=-0.3, unit="%/K"),
    "gamma": Coefficient(value=-0.37, unit="%/K"),
    "cells": 60,
    "rows": 10,
    "columns": 6,
    "bypass_diodes": 3,
    "cell_width_mm": 156.75,
    "cell_height_mm": 156.75,
}
HALVES: dict[str, Any] = {"cells": 120, "rows": 20, "cell_height_mm": 78.4}


def sheet(**changes: Any) -> DataSheet:
    """The plain sheet with some things changed."""
    return DataSheet(**{**PLAIN, **changes})


@dataclass(frozen=True, kw_only=True)
class PlainCell:
    """A cell's parameters in plain numbers."""

    Iph: float
    I0: float
    n: float
    Rs: float
    Rsh: float
    a: float
    Vbr: float
    m: float


def current(cell: PlainCell, Vd: np.ndarray) -> np.ndarray:
    """I at a junction voltage; the equation as J. W. Bishop has it, Solar Cells 25 (1988) 73."""
    shunt = Vd / cell.Rsh * (1.0 + cell.a * (1.0 - Vd / cell.Vbr) ** -cell.m)
    return cell.Iph - cell.I0 * np.expm1(Vd / (cell.n * VT)) - shunt


def points(cell: PlainCell) -> tuple[float, float, float, float]:
    """Isc, Voc, Imp and Vmp of the cell, by scipy along its junction voltage."""
    from scipy.optimize import brentq, minimize_scalar

    def V(Vd: float) -> float:
        return Vd - float(current(cell, np.float64(Vd))) * cell.Rs

    top = 2.0 * cell.n * VT * np.log1p(cell.Iph / cell.I0)
    Voc = brentq(lambda Vd: float(current(cell, np.float64(Vd))), 0.0, top, xtol=1e-15)
    at = minimize_scalar(
        lambda Vd: -V(Vd) * float(current(cell, np.float64(Vd))),
        bounds=(0.5 * Voc, Voc),
        method="bounded",
        options={"xatol": 1e-10},
    ).x
    short = brentq(V, 0.0, Voc, xtol=1e-15)
    return float(current(cell, short)), Voc, float(current(cell, at)), V(at)


def random_sheets(count: int, seed: int) -> list[tuple[DataSheet, Assumptions, PlainCell]]:
    """Sheets of plausible cells, numbers rounded as papers round them; all data invented."""
    rng = np.random.default_rng(seed)
    made = []
    for k in range(count):
        halves = bool(rng.integers(2))
        rows, columns, diodes = [(9, 4, 2), (10, 6, 3), (12, 6, 3), (12, 8, 4), (9, 6, 3)][rng.integers(5)]
        side = rng.uniform(150.0, 212.0)
        height = side / 2.0 if halves else side
        area = side * height / 100.0  # cm2
        assumed = Assumptions(
            shunt="usual",
            shunt_ohm_cm2=float(np.exp(rng.uniform(np.log(3000.0), np.log(30_000.0)))),
            reverse="late",
            breakdown_fraction=rng.uniform(0.002, 0.2),
            breakdown_voltage_V=rng.uniform(-30.0, -15.0),
            breakdown_exponent=rng.uniform(2.0, 6.0),
        )
        Iph, n, Voc = 0.04 * area * rng.uniform(0.85, 1.05), rng.uniform(1.0, 1.4), rng.uniform(0.6, 0.74)
        cell = PlainCell(
            Iph=Iph,
            I0=Iph / np.expm1(Voc / (n * VT)),
            n=n,
            Rs=rng.uniform(0.01, 0.06) * Voc / Iph,
            Rsh=assumed.shunt_ohm_cm2 / area,
            a=assumed.breakdown_fraction,
            Vbr=assumed.breakdown_voltage_V,
            m=assumed.breakdown_exponent,
        )
        Isc, Voc, Imp, Vmp = points(cell)
        Ns, Np = rows * columns, 2 if halves else 1
        made.append((
            DataSheet(
                title=f"Invented module {k}",
                isc_A=round(Np * Isc, 2),
                voc_V=round(Ns * Voc, 2),
                imp_A=round(Np * Imp, 2),
                vmp_V=round(Ns * Vmp, 2),
                alpha=Coefficient(value=round(rng.uniform(0.03, 0.06), 3), unit="%/K"),
                beta=Coefficient(value=round(-0.31 + 0.5 * (Voc - 0.62), 3), unit="%/K"),
                gamma=Coefficient(value=round(-0.38 + 0.7 * (Voc - 0.62), 3), unit="%/K"),
                cells=Ns * Np,
                rows=rows * Np,
                columns=columns,
                bypass_diodes=diodes,
                cell_width_mm=side,
                cell_height_mm=height,
            ),
            assumed,
            cell,
        ))  # fmt: skip
    return made
