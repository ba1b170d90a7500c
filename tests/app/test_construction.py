"""Curves built from their parts: what adds up, by how much, and in which words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.views.construction import MOST_ROWS, cell_currents, stack, stages
from pvsim.app.views.construction_words import DASHES, PART_COLOURS, ledger, part_lines
from pvsim.app.views.curve_data import axes_of
from pvsim.array.catalogue import CATALOGUE
from pvsim.circuit import Cell, Parallel, Resistor, Series, Turned, operate, solve

KIND = CATALOGUE["full-60"]
TYPE, DIODE = KIND.cell, KIND.substrings[0].diode
GOOD = Cell(type=TYPE)
assert DIODE is not None


def substring(*irradiance_W_m2: float) -> Parallel:
    cells = tuple(Cell(type=TYPE, irradiance_W_m2=light) for light in irradiance_W_m2)
    return Parallel((Series(cells), DIODE))


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


LIGHT = st.floats(min_value=0.0, max_value=1200.0)


@given(st.lists(LIGHT, min_size=2, max_size=12), st.floats(min_value=0.0, max_value=12.0))
def test_voltages_of_parts_in_series_add_up_to_that_of_the_whole(
    lights: list[float], current_A: float
) -> None:
    stage = stages(substring(*lights), "substring")[0]
    sums = stack(stage, current_A)
    # The parts and the whole are solved apart; 1e-9 of the currents' scale, over the steepest 1e3 ohm.
    assert sums.rows[-1].end == pytest.approx(sums.total, abs=1e-6)
    assert sum(row.count for row in sums.rows) == len(lights)
    for before, after in zip(sums.rows, sums.rows[1:], strict=False):
        assert after.start == before.end


@given(st.lists(LIGHT, min_size=2, max_size=4), st.floats(min_value=-0.6, max_value=2.5))
def test_currents_of_parts_side_by_side_add_up_to_that_of_the_whole(
    lights: list[float], voltage_V: float
) -> None:
    chains = [Series((Cell(type=TYPE, irradiance_W_m2=light), *[GOOD] * 3)) for light in lights]
    circuit = Parallel(tuple(chains))
    (stage,) = stages(circuit, "array")
    sums = stack(stage, voltage_V)
    assert sums.rows[-1].end == pytest.approx(sums.total, rel=1e-8, abs=1e-8)  # stated solver tolerance


@given(LIGHT, st.floats(min_value=-13.0, max_value=0.75))
def test_light_junction_shunt_and_breakdown_make_up_the_current_of_a_cell(
    light: float, voltage_V: float
) -> None:
    cell = Cell(type=TYPE, irradiance_W_m2=light)
    total = operate(cell, voltage_V=voltage_V).current_A
    assert sum(cell_currents(cell, voltage_V)) == pytest.approx(total, rel=1e-7, abs=1e-7)  # solver tolerance


def test_an_open_cell_has_no_parts() -> None:
    assert stages(Cell(type=TYPE, condition="open"), "cell") == ()


def test_many_different_parts_are_folded_and_still_add_up() -> None:
    lights = [1000.0 - 20.0 * k for k in range(20)]
    stage = stages(substring(*lights), "substring")[0]
    sums = stack(stage, 7.0)
    assert len(sums.rows) == MOST_ROWS
    assert sums.rows[-1].each is None
    assert sum(row.count for row in sums.rows) == 20
    assert sums.rows[-1].end == pytest.approx(sums.total, abs=1e-6)  # solver tolerance over a steep cell
    # The cells that do otherwise than most keep rows of their own.
    assert min(row.end - row.start for row in sums.rows[:-1]) < 0.0


def test_the_words_of_the_ledger_say_what_is_drawn() -> None:
    circuit = Series((substring(*[1000.0] * 20), substring(200.0, *[1000.0] * 19), substring(*[1000.0] * 20)))
    (stage,) = stages(circuit, "module")
    sums = stack(stage, 9.0)
    shown = ledger(stage, sums, axes_of(solve(circuit)), theme="light")
    labels = [row["label"] for row in shown["rows"]]
    assert labels[0].startswith("substrings 1, 3: 2 × ")
    assert labels[1].startswith("substring 2: −0.")
    assert all(label in shown["spoken"] for label in labels)
    assert shown["least"] < 9.0 < shown["most"]
    short = [row["short"] for row in shown["rows"]]
    assert short[0].startswith("substrings 1, 3: 2 × ")
    assert "=" not in short[0]
    assert short[1] == labels[1]


def test_the_branches_of_a_cell_are_named_and_signed_as_in_its_circuit() -> None:
    cell = Cell(type=TYPE)
    (stage,) = stages(cell, "cell")
    shown = ledger(stage, stack(stage, 0.6), axes_of(solve(cell)), theme="light")
    light, diode, shunt = (row["label"] for row in shown["rows"][:3])
    assert light.startswith("light: ")
    assert diode.startswith(("minus diode: ", "minus diodes: "))
    assert shunt.startswith("minus shunt: ")
    assert "−" not in diode, "the diode takes what is taken off"


def test_parts_have_lines_that_differ_without_colour() -> None:
    circuit = Series((substring(1000.0), substring(500.0), substring(100.0)))
    (stage,) = stages(circuit, "module")
    lines = part_lines(stage, axes_of(solve(circuit)), theme="dark")
    assert len(set(lines["dash"])) == len(lines["xs"]) == 3
    assert set(lines["colour"]) <= set(PART_COLOURS["dark"])


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    channels = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(("theme", "sheet"), [("light", "#FFFFFF"), ("dark", "#1A2126")])
def test_colours_of_parts_stand_out_and_carry_text(theme: str, sheet: str) -> None:
    assert len(PART_COLOURS[theme]) == len(DASHES)
    ground = luminance(sheet)
    for colour in PART_COLOURS[theme]:
        high, low = max(ground, luminance(colour)), min(ground, luminance(colour))
        assert (high + 0.05) / (low + 0.05) >= 4.5  # WCAG 2.2, 1.4.3: text of ordinary size
