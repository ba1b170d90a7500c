"""The curve of another module is told as such, in one sentence, and not ranked as a fault."""

from __future__ import annotations

import pytest

from pvsim.array import CATALOGUE, level_curve
from pvsim.sheet.residual import one_module
from pvsim.traced.ranking import rank_faults
from pvsim.traced.stranger import say_stranger
from tests.traced.samples import BENCH, MODULE, curve_of_bench, traced


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        # 72 cells of the same kind have 72/60 of the voltage, by counting.
        ("full-72", "open-circuit voltage is 1.2 times"),
        ("full-36", "times, and its shape is sound"),
        ("hetero-120", "open-circuit voltage is 1.08 times"),
        ("shingled-360", "short-circuit current is 1.2 times"),
    ],
)
def test_the_curve_of_another_module_does_not_belong(kind, says):
    other = level_curve(one_module(CATALOGUE[kind], "another module"), MODULE)
    found = rank_faults(traced(other, 1, voltage=0.005), BENCH, MODULE)
    assert found.none_of_these
    assert say_stranger(found.stranger).startswith("The curve does not belong to this part: ")
    assert says in say_stranger(found.stranger)


def test_a_faulty_part_is_no_stranger():
    for fault in (("diode-short", MODULE), ("soiling", MODULE, 0.3)):
        place = fault[1] if fault[0] == "soiling" else type(MODULE)(1, 1, diode=1)
        curve = curve_of_bench((fault[0], place, *fault[2:]))
        assert rank_faults(traced(curve, 1), BENCH, MODULE).stranger is None


def test_half_cells_of_the_same_module_are_no_stranger():
    half = level_curve(one_module(CATALOGUE["half-120"], "half cells"), MODULE)
    assert rank_faults(traced(half, 1, voltage=0.005), BENCH, MODULE).stranger is None
