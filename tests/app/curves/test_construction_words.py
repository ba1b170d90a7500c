"""Curves built from their parts: in which words and lines they are shown."""

from __future__ import annotations

import pytest

from pvsim.app.curves.construction_words import DASHES, PART_COLOURS, ledger, part_lines
from pvsim.circuit import Cell, Series, solve
from pvsim.reading import axes_of, stack_at, stages
from tests.reading.shaded_substring import TYPE, substring


def test_the_words_of_the_ledger_say_what_is_drawn() -> None:
    circuit = Series((substring(*[1000.0] * 20), substring(200.0, *[1000.0] * 19), substring(*[1000.0] * 20)))
    (stage,) = stages(circuit, "module")
    sums = stack_at(stage, 9.0)
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
    shown = ledger(stage, stack_at(stage, 0.6), axes_of(solve(cell)), theme="light")
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
