"""The latest results: bounded, and shared between threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from pvsim.circuit.latest import Latest


def test_what_was_not_asked_for_longest_goes_first() -> None:
    kept: Latest[str] = Latest(2)
    kept.keep("a", "one")
    kept.keep("b", "two")
    assert kept.get("a") == "one"
    kept.keep("c", "three")
    assert kept.get("b") is None
    assert (kept.get("a"), kept.get("c")) == ("one", "three")


def test_many_threads_ask_and_keep_at_once() -> None:
    kept: Latest[int] = Latest(3)

    def work(start: int) -> bool:
        for k in range(3000):
            number = (start + k) % 7
            kept.keep(number, number)
            if kept.get(number) not in (None, number):
                return False
        return True

    with ThreadPoolExecutor(4) as threads:
        assert all(threads.map(work, range(4)))
