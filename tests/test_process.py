"""The process around one command."""

from __future__ import annotations

import gc
import os
import subprocess
import sys

from pvsim import process
from pvsim.benchmark.specimen import shaded_module, shaded_module_text
from pvsim.files import read_circuit, read_curve
from tests.patience import PATIENCE_s

INSTALLED = "import sys; from pvsim.process import run; sys.exit(run())"


def in_a_process(code, *arguments, **environment):
    return subprocess.run(
        [sys.executable, "-c", code, *arguments],
        capture_output=True, text=True, timeout=PATIENCE_s, check=False, env={**os.environ, **environment},
    )  # fmt: skip


def test_the_installed_command_gives_the_exit_code_of_the_command_line(tmp_path):
    assert in_a_process(INSTALLED, "solve", "no-such-site").returncode == 2
    done = in_a_process(INSTALLED, "--version")
    assert (done.returncode, done.stdout.split()[0]) == (0, "pvsim")


def test_the_installed_command_writes_all_it_has_to_write_before_it_ends(tmp_path):
    circuit = tmp_path / "module.toml"
    circuit.write_text(shaded_module_text(200.0), encoding="utf-8")
    done = in_a_process(INSTALLED, "export", "csv", str(circuit))
    assert done.returncode == 0, done.stderr
    assert len(read_curve(done.stdout).voltage_V) == 400


def test_the_text_the_benchmark_hands_to_the_command_is_the_module_it_hands_to_the_solver():
    assert read_circuit(shaded_module_text(200.0)).circuit == shaded_module(200.0)


def test_importing_and_solving_is_over_before_garbage_is_looked_for():
    code = (
        "import gc; looks = lambda: sum(kind['collections'] for kind in gc.get_stats())\n"
        "from pvsim.process import begin; begin(); before = looks()\n"
        "from pvsim.benchmark.specimen import shaded_module; from pvsim.circuit import solve\n"
        "solve(shaded_module(200.0))\n"
        "print(looks() - before)"
    )
    done = in_a_process(code)
    assert done.stdout == "0\n", done.stderr


def test_a_thread_number_that_was_chosen_stays():
    code = "from pvsim.process import begin; begin(); import os; print(os.environ['OPENBLAS_NUM_THREADS'])"
    assert in_a_process(code, OPENBLAS_NUM_THREADS="3").stdout == "3\n"


def test_a_process_that_is_measured_looks_for_garbage_as_any_python_does(monkeypatch):
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "1")
    usual = gc.get_threshold()
    process.begin()
    try:
        assert gc.get_threshold() != usual
    finally:
        process.look_as_usual()
    assert gc.get_threshold() == usual
