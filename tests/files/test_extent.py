"""Depth is measured without going as deep."""

from __future__ import annotations

import pytest

from pvsim.files.extent import DEEPEST, is_too_deep


@pytest.mark.parametrize(
    "wrap", [lambda one: [one, 2], lambda one: {"a": one, "b": 2}], ids=["lists", "dicts"]
)
def test_the_bound_is_the_last_depth_that_is_allowed(wrap):
    values = 1
    for _ in range(DEEPEST - 1):
        values = wrap(values)
    assert not is_too_deep(values)
    assert is_too_deep(wrap(values))


def test_no_depth_is_too_much_to_measure():
    values = []
    for _ in range(100_000):
        values = [values]
    assert is_too_deep(values)
    while values:  # or Python would take it apart from the outside, as deep as it is
        values = values[0]
