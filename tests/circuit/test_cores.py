"""Blocks of points worked off on several cores: the same comes out, and nothing is left behind."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import numpy as np
import pytest

from pvsim.benchmark.specimen import array_all_different, array_scattered
from pvsim.circuit import budget, cores, kernel, operate, solve
from pvsim.circuit.cores import work_off
from pvsim.circuit.network import Element
from pvsim.errors import OvertimeError
from tests.circuit.conftest import forget, go


@pytest.fixture
def three_helpers(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A machine of four cores, whatever this one has."""
    go("compiled", monkeypatch)
    monkeypatch.delenv("PVSIM_CORES", raising=False)
    monkeypatch.setattr(cores, "_ours", lambda: 4)
    cores._threads.cache_clear()
    yield
    cores._threads().shutdown()
    cores._threads.cache_clear()


def solved(circuit: Element) -> list[np.ndarray]:
    curve = solve(circuit, points=400)
    point = operate(circuit, voltage_V=curve.mpp.voltage_V)
    return [curve.voltage_V, curve.current_A, point.leaf_voltage_V, point.leaf_current_A]


@pytest.mark.parametrize("make", [array_all_different, array_scattered])
def test_what_comes_out_is_the_same_to_the_last_digit(
    make: object, three_helpers: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert callable(make)
    circuit = make(3)
    on_four = solved(circuit)
    working = {thread.name for thread in threading.enumerate() if thread.name.startswith("pvsim-solve")}
    assert working, "nobody helped"
    forget(monkeypatch)
    monkeypatch.setenv("PVSIM_CORES", "1")
    for one, other in zip(solved(circuit), on_four, strict=True):
        assert (one == other).all()


def test_every_piece_is_done_once_and_comes_back_in_its_place(three_helpers: None) -> None:
    here = threading.Barrier(4, timeout=60)
    seen = []

    def square(piece: int) -> int:
        if piece < 4:
            here.wait()  # the first four at once, each on a thread of its own
        seen.append(piece)
        return piece * piece

    assert work_off(range(40), square) == [k * k for k in range(40)]
    assert sorted(seen) == list(range(40))


def test_nobody_works_on_when_the_time_is_over(three_helpers: None) -> None:
    ticks = iter(range(100))
    done = []
    with budget.within(2.5, clock=lambda: float(next(ticks))), pytest.raises(OvertimeError):
        work_off(range(1000), lambda piece: (done.append(piece), threading.Event().wait(0.02)))
    count = len(done)
    threading.Event().wait(0.1)
    assert len(done) == count < 1000


def test_what_goes_wrong_with_a_helper_is_told(three_helpers: None) -> None:
    caller = threading.current_thread()
    helped = threading.Event()

    def fail(piece: int) -> None:
        if threading.current_thread() is caller:
            assert helped.wait(60)
        else:
            helped.set()
            raise ValueError(f"piece {piece}")

    with pytest.raises(ValueError, match="piece"):
        work_off(range(8), fail)


def test_a_solve_that_python_ends_upon_goes_on_alone(three_helpers: None) -> None:
    cores._threads().shutdown()  # it takes on nobody any more
    assert work_off(range(5), lambda piece: -piece) == [0, -1, -2, -3, -4]


@pytest.mark.parametrize(
    ("asked", "how_many"), [("", 4), ("1", 1), ("0", 1), ("3", 3), ("900", 4), ("many", 4)]
)
def test_fewer_cores_can_be_asked_for(
    asked: str, how_many: int, three_helpers: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PVSIM_CORES", asked)
    assert cores.cores() == how_many


def test_without_the_kernel_and_for_two_pieces_nobody_helps(
    three_helpers: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    whose = lambda _piece: threading.current_thread().name  # noqa: E731
    mine = threading.current_thread().name
    assert work_off([1, 2], whose) == [mine, mine]
    monkeypatch.setattr(kernel, "_library", lambda: None)
    assert set(work_off(range(20), whose)) == {mine}
