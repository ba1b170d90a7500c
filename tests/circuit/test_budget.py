"""A budget of time: asked for in every loop that may run long, and nothing is half done when it is over."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count

import numpy as np
import pytest

from pvsim.array import Scenario, Shadow, add_shadow, set_weather
from pvsim.array.heat_feedback import work_and_heat
from pvsim.circuit import Cell, Parallel, Series, budget, register, solve, tree
from pvsim.circuit.descent import Descent
from pvsim.circuit.first_guess import Start
from pvsim.circuit.mesh import expand
from pvsim.circuit.nodal import solve_mesh
from pvsim.errors import ConvergenceError, OvertimeError
from tests.array.samples import faulty, scenario
from tests.circuit.conftest import go
from tests.circuit.samples import BYPASS, PLAIN
from tests.circuit.test_mesh_solver import joined_strings, module


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that moves on by a second whenever somebody looks at it."""
    ticks = count()
    monkeypatch.setattr(budget, "monotonic", lambda: float(next(ticks)))


@pytest.fixture
def fresh(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Forgets what was solved before."""
    return lambda: monkeypatch.setattr(register, "_register", register.Register())


def lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tree solver begins anywhere and gives up at once, as if its steps circled."""
    go("array by array", monkeypatch)
    columns = Start.columns
    monkeypatch.setattr(Start, "columns", lambda self, block: np.zeros_like(columns(self, block)))
    monkeypatch.setattr(tree, "MOST_STEPS", 2)


def heated() -> Scenario:
    start = faulty(scenario(2, 2, grounded="negative"), ("earth-fault", "1/1", 1.0), ("earth-fault", "2/1"))
    pole = Shadow(kind="pole", x_m=1.0, y_m=1.0, width_m=0.1, height_m=9.0)
    return add_shadow(set_weather(start, heat="feedback"), pole)


DIM = Series((Cell(type=PLAIN, irradiance_W_m2=300.0), *(Cell(type=PLAIN),) * 3))
WORK: dict[str, Callable[[], object]] = {
    "a tree": lambda: solve(Series((module(Cell(type=PLAIN, irradiance_W_m2=300.0)), module())), points=40),
    "a mesh": lambda: solve(joined_strings(), points=40),
    "a descent": lambda: solve(Parallel((DIM, BYPASS)), points=12),
    "the nodal solver": lambda: solve_mesh(expand(Parallel((DIM, BYPASS))), points=12),
    "heat": lambda: work_and_heat(heated()),
}


@pytest.mark.parametrize("work", WORK)
def test_a_solve_gives_up_wherever_it_is_when_its_time_is_over(
    work: str, clock: None, fresh: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    if work == "a descent":
        lost(monkeypatch)
    fresh()
    before = budget.monotonic()
    with budget.within(1e9):
        WORK[work]()
    looks = int(budget.monotonic() - before)
    assert looks > 10
    # Not to the very end: tables of junctions are known the second time.
    for seconds in np.unique(np.geomspace(1, looks // 2, 8).astype(int)):
        fresh()
        with budget.within(float(seconds)), pytest.raises(OvertimeError):
            WORK[work]()
        WORK[work]()  # what was left half done does not stand in the way


def test_the_descent_is_what_the_test_of_it_went_through(
    fresh: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    found = Descent.lowest
    monkeypatch.setattr(Descent, "lowest", lambda *given: asked.append(1) or found(*given))
    lost(monkeypatch)
    fresh()
    WORK["a descent"]()
    assert asked


def test_without_a_budget_nothing_is_cut_short(clock: None) -> None:
    for _ in range(1000):
        budget.check()


def test_the_sooner_end_of_two_budgets_counts(clock: None) -> None:
    def wait() -> None:
        for _ in range(20):
            budget.check()

    with budget.within(3.0), budget.within(100.0), pytest.raises(OvertimeError, match="not solved after 3 s"):
        wait()
    with budget.within(1000.0):
        with budget.within(2.0), pytest.raises(OvertimeError, match="not solved after 2 s"):
            wait()
        budget.check()  # the longer one holds again


def test_the_refusal_says_what_was_expected_and_how_to_mend_it(clock: None) -> None:
    with budget.within(0.5), pytest.raises(ConvergenceError, match=r"within that time\. Take away faults"):
        budget.check()
