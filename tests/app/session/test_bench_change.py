"""What became another on the bench between two lines of its log."""

from __future__ import annotations

from dataclasses import replace

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.session.bench_change import PARTS, BenchChange, change_between
from pvsim.array import Place, Weather
from pvsim.array.change import add_fault, paint, set_array, set_operation
from pvsim.array.fault import Fault
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import Scenario
from pvsim.files import read_demo

BENCH = read_demo("workshop")
SHORT, OPEN = Fault("diode-short", Place(2, 5, diode=2)), Fault("cable-open", Place(1))


def changed(before: Scenario, after: Scenario) -> BenchChange:
    found = change_between(before, after, 3)
    assert found is not None
    assert found.line == 3
    return found


def test_nothing_that_meters_read_by_is_no_change() -> None:
    assert change_between(None, BENCH, 0) is None
    assert change_between(BENCH, BENCH, 1) is None
    other = replace(
        BENCH, title="Another name", note="x", first_view=replace(BENCH.first_view, quantity="power")
    )
    assert change_between(BENCH, other, 1) is None
    mended = replace(add_fault(BENCH, SHORT), faults=BENCH.faults)
    assert change_between(BENCH, mended, 1) is None  # set, and mended again


def test_faults_are_told_one_by_one() -> None:
    before, after = add_fault(BENCH, OPEN), add_fault(BENCH, SHORT)
    found = changed(before, after)
    assert (found.gone, found.come, found.parts) == ((OPEN,), (SHORT,), ())
    turned = replace(after, faults=(*BENCH.faults, SHORT, OPEN))
    assert changed(after, turned).come == (OPEN,)
    assert change_between(turned, replace(turned, faults=turned.faults[::-1]), 3) is None


@pytest.mark.parametrize(
    ("part", "after"),
    [
        ("light", replace(BENCH, light=replace(BENCH.light, irradiance_W_m2=612.0))),
        ("light", replace(BENCH, light=replace(BENCH.light, rear_irradiance_W_m2=50.0))),
        ("shade", paint(BENCH, [Place(1, 1)], 0.3)),
        ("weather", replace(BENCH, weather=Weather(cell_temperature_C=61.0))),
        ("operation", set_operation(BENCH, "voltage", 200.0)),
        ("cells", replace(BENCH, scatter=Scatter(seed=4))),
        ("array", set_array(BENCH, tracking="per-string")),
    ],
)
def test_each_part_is_told(part: str, after: Scenario) -> None:
    assert changed(BENCH, after).parts == (part,)
    assert part in PARTS


def test_of_another_array_nothing_more_is_told() -> None:
    after = replace(
        paint(add_fault(BENCH, SHORT), [Place(1, 1)], 0.3),
        array=set_array(BENCH, tracking="per-string").array,
    )
    found = changed(BENCH, after)
    assert (found.parts, found.come, found.gone) == (("array",), (), ())
