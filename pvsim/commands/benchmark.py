"""`pvsim benchmark`: the table of bars, measured on this machine."""

from __future__ import annotations

from argparse import Namespace


def run(options: Namespace) -> int:
    """Measure, print each figure beside its bar; 1 when a bar was missed."""
    from pvsim.benchmark import run_benchmark
    from pvsim.process import look_as_usual

    look_as_usual()
    return run_benchmark(options.rows, as_json=options.json)
