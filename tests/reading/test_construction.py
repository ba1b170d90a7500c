"""Curves built from their parts: which steps there are, and which parts."""

from __future__ import annotations

from pvsim.circuit import Cell, Resistor, Series, Turned
from pvsim.reading import stages
from tests.reading.shaded_substring import TYPE, substring


def test_equal_parts_stand_in_one_row_with_their_numbers() -> None:
    good, bad = substring(*[1000.0] * 20), substring(200.0, *[1000.0] * 19)
    (stage,) = stages(Series((good, bad, good)), "module")
    assert stage.series
    assert [(group.numbers, group.count) for group in stage.groups] == [((1, 3), 2), ((2,), 1)]


def test_equal_parts_are_equal_by_value_and_not_by_identity() -> None:
    (stage,) = stages(Series((substring(500.0), substring(500.0), substring(400.0))), "module")
    assert [group.count for group in stage.groups] == [2, 1]


def test_a_substring_is_built_in_two_steps() -> None:
    first, second = stages(substring(*[1000.0] * 19, 200.0), "substring", first=21)
    assert (first.key, second.key) == ("series", "parallel")
    assert first.groups[0].numbers == tuple(range(21, 40))
    assert first.groups[1].numbers == (40,)
    assert [group.kind[0] for group in second.groups] == ["chain of cells", "bypass diode"]


def test_cable_and_reversed_module_are_parts_of_a_string() -> None:
    one = Series((substring(1000.0), substring(1000.0)))
    (stage,) = stages(Series((one, Turned(one), Resistor(resistance_ohm=0.3))), "string")
    assert [group.kind[0] for group in stage.groups] == ["module", "module", "cable"]
    assert [group.numbers for group in stage.groups] == [(1,), (2,), ()]


def test_an_open_cell_has_no_parts() -> None:
    assert stages(Cell(type=TYPE, condition="open"), "cell") == ()
