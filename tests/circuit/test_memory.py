"""What is kept grows with the memory there is, and a large array is not made twice."""

from __future__ import annotations

import pytest

from pvsim.circuit import memory
from pvsim.circuit.memory import kept_at_most, memory_bytes


def test_the_memory_is_that_of_the_machine_or_of_its_container(monkeypatch, tmp_path) -> None:
    limit = tmp_path / "memory.max"
    monkeypatch.setattr(memory, "_CONTAINER", limit)
    whole = memory_bytes()
    assert whole > 2**28
    limit.write_text("max\n")
    assert memory_bytes() == whole
    limit.write_text("104857600\n")
    assert memory_bytes() == 100 * 2**20


@pytest.mark.parametrize(("gigabytes", "kept"), [(1, 800), (64, 1024), (640, 10_240)])
def test_a_share_is_kept_and_never_too_little(monkeypatch, gigabytes: int, kept: int) -> None:
    monkeypatch.setattr(memory, "memory_bytes", lambda: gigabytes * 2**30)
    assert kept_at_most(2**20, 800) == kept
