"""The solver's two ways to do its innermost work: compiled, and array by array with numpy."""

from __future__ import annotations

from collections import OrderedDict

import pytest

from pvsim.circuit import junctions, kernel, register, solver
from pvsim.circuit.latest import Latest

WAYS = ("compiled", "array by array")


def go(way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Solve that way from now on, with nothing kept from before."""
    if way == "compiled" and not kernel.is_compiled():
        pytest.skip("no C compiler made the kernel")
    if way != "compiled":
        monkeypatch.setattr(kernel, "_library", lambda: None)
    forget(monkeypatch)


def forget(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is kept of what was solved before."""
    monkeypatch.setattr(register, "_register", register.Register())
    monkeypatch.setattr(junctions, "_laws", OrderedDict())
    for kept in ("_solvers", "_characteristics", "_trails"):
        monkeypatch.setattr(solver, kept, Latest(24))


@pytest.fixture(params=WAYS)
def each_way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """The test is done both ways; which one this is."""
    go(request.param, monkeypatch)
    way: str = request.param
    return way


@pytest.fixture
def by_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    """The test is of the way array by array, also where the kernel is compiled."""
    go("array by array", monkeypatch)
