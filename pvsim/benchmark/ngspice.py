"""Running ngspice, a general circuit simulator, on netlists that pvsim writes."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np

from pvsim.circuit.floats import Floats


def is_here() -> bool:
    """Whether ngspice is installed."""
    return shutil.which("ngspice") is not None


def sweep(netlist: str) -> tuple[Floats, Floats, float]:
    """Run a netlist of `pvsim.circuit.netlist`.

    Parameters
    ----------
    netlist : str

    Returns
    -------
    voltage_V, current_A : (n,)
        What ngspice found.
    seconds : float
        The whole process.

    Raises
    ------
    RuntimeError
        If ngspice wrote no curve.
    """
    with tempfile.TemporaryDirectory() as folder:
        text, raw = Path(folder, "circuit.cir"), Path(folder, "curve.raw")
        text.write_text(netlist, encoding="utf-8")
        start = time.perf_counter()
        done = subprocess.run(
            ["ngspice", "-b", "-r", str(raw), str(text)], capture_output=True, text=True, check=False
        )
        seconds = time.perf_counter() - start
        if not raw.exists():
            raise RuntimeError(f"ngspice wrote no curve: {done.stderr[-400:]}")
        return *read_raw(raw.read_bytes()), seconds


def read_raw(content: bytes) -> tuple[Floats, Floats]:
    """Voltage at p and current of vterminal, (n,) each, from a binary raw file."""
    head, _, body = content.partition(b"Binary:\n")
    lines = head.decode("ascii", "replace").splitlines()
    size = {line.split(":")[0]: int(line.split(":")[1]) for line in lines if line.startswith("No. ")}
    names = [line.split()[1].lower() for line in lines[lines.index("Variables:") + 1 :] if line.strip()]
    table = np.frombuffer(body, dtype=float, count=size["No. Variables"] * size["No. Points"])
    table = table.reshape(size["No. Points"], size["No. Variables"])
    return table[:, names.index("v(p)")], table[:, names.index("i(vterminal)")]
