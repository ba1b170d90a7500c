"""Long work that several tests look at, done once in a run by whichever of its workers needs it first."""

from __future__ import annotations

import fcntl
import io
import os
import pickle
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from typing import TypeVar

import pytest

from pvsim.cli import main

Value = TypeVar("Value")


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[], Value]) -> Value:
    """What `make` gives, made once in this run and kept in a file; the others wait for it."""
    folder = factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent  # which all workers share
    kept = folder / f"{name}.pickle"
    with (folder / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            kept.write_bytes(pickle.dumps(make()))
        value: Value = pickle.loads(kept.read_bytes())
    return value


def check_of_all(factory: pytest.TempPathFactory) -> tuple[int, str, str]:
    """`pvsim check` in this process: exit code, standard output and error output."""

    def make() -> tuple[int, str, str]:
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            code = main(["check"])
        return code, out.getvalue(), err.getvalue()

    return once(factory, "check", make)
