"""Run ngspice on a netlist and read its sweep back."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from pvsim.circuit.solution import Floats

needs_ngspice = pytest.mark.skipif(
    shutil.which("ngspice") is None,
    reason="NOT CHECKED against ngspice: the program is missing (Debian package ngspice)",
)


def sweep(netlist: str, folder: Path) -> tuple[Floats, Floats]:
    """The terminal voltages and delivered currents ngspice finds for a netlist."""
    source, raw = folder / "circuit.cir", folder / "circuit.raw"
    source.write_text(netlist, encoding="ascii")
    ran = subprocess.run(
        ["ngspice", "-b", "-r", str(raw), str(source)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    if not raw.exists():
        raise AssertionError(f"ngspice wrote nothing:\n{ran.stdout[-2000:]}{ran.stderr[-2000:]}")
    head, _, body = raw.read_bytes().partition(b"Binary:\n")
    names = [line.split()[1] for line in head.decode().partition("Variables:\n")[2].splitlines()]
    rows = np.frombuffer(body).reshape(-1, len(names))
    return rows[:, 0], rows[:, names.index("i(vterminal)")]
