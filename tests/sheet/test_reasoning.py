"""The inference: what each band of voltage allows, excludes and leaves open, and never a false verdict."""

from __future__ import annotations

import re

import pytest

from pvsim.sheet import Coefficient, infer, sentence
from pvsim.sheet.finding import Finding
from pvsim.sheet.kinds import expected_fall_mV_per_K
from pvsim.words import speaking
from tests.sheet.samples import HALVES, sheet


def found(reasoning, about: str) -> list[Finding]:
    return [one for one in reasoning.findings if one.about == about]


def bearing(reasoning, about: str) -> str:
    (one,) = found(reasoning, about)
    return one.bearing


def of_voltage(per_cell: float, **changes):
    """A sheet with this Voc for each of its sixty cells, all else in proportion."""
    voc = 60.0 * per_cell
    return sheet(voc_V=voc, vmp_V=voc * 32.6 / 39.6, **changes)


@pytest.mark.parametrize("per_cell", [0.551, 0.60, 0.66, 0.72, 0.759])
def test_about_0_55_to_0_76_V_a_counted_cell_is_all_in_series(per_cell: float) -> None:
    reasoning = infer(of_voltage(per_cell))
    assert (reasoning.structure.in_series, reasoning.structure.side_by_side) == (60, 1)
    assert bearing(reasoning, "all-in-series") == "allowed"
    assert bearing(reasoning, "two-halves") == "excluded"


@pytest.mark.parametrize("per_cell", [0.271, 0.31, 0.34, 0.379])
def test_about_0_27_to_0_38_V_is_two_halves(per_cell: float) -> None:
    reasoning = infer(of_voltage(per_cell, cell_height_mm=78.4))
    structure = reasoning.structure
    assert (structure.in_series, structure.side_by_side, structure.layout) == (30, 2, "halves")
    assert structure.cell_voc_V == pytest.approx(2.0 * per_cell, rel=1e-12)
    assert structure.cell_isc_A == 9.7 / 2
    assert bearing(reasoning, "two-halves") == "allowed"
    assert bearing(reasoning, "all-in-series") == "excluded"
    assert bearing(reasoning, "cell-shape") == "allowed"


def test_two_halves_of_square_cells_are_allowed_and_left_open() -> None:
    assert bearing(infer(of_voltage(0.33)), "cell-shape") == "open"


@pytest.mark.parametrize("per_cell", [0.15, 0.26, 0.39, 0.46, 0.54, 0.77, 0.9])
def test_between_the_bands_it_asks_to_count_again_and_takes_no_side(per_cell: float) -> None:
    reasoning = infer(of_voltage(per_cell, imp_A=8.8))
    assert reasoning.structure is None
    assert bearing(reasoning, "check-the-count") == "doubt"
    assert not [one for one in reasoning.findings if one.bearing in ("allowed", "excluded")]


def test_counts_that_it_proposes_lie_in_a_band() -> None:
    (doubt,) = found(infer(of_voltage(0.46)), "check-the-count")
    counts = [int(word) for word in dict(doubt.values)["counts"].split(", ")]
    assert counts == sorted(counts)
    assert all(0.27 <= 27.6 / n <= 0.38 or 0.55 <= 27.6 / n <= 0.76 for n in counts)


def test_rows_that_make_no_two_halves_are_doubted() -> None:
    odd = sheet(cells=54, rows=9, voc_V=17.6, vmp_V=14.6, cell_height_mm=78.4)
    reasoning = infer(odd)
    assert reasoning.structure is None
    assert reasoning.findings[-1].bearing == "doubt"
    assert "9 rows" in sentence(reasoning.findings[-1])


@pytest.mark.parametrize(
    ("diodes", "rows", "columns", "n", "usual"),
    [
        (3, 10, 6, 20, True),
        (1, 10, 6, 60, False),
        (3, 12, 6, 24, True),
        (2, 9, 4, 18, True),
        (5, 3, 10, 6, False),
    ],
)
def test_cells_for_each_diode_are_counted(diodes, rows, columns, n, usual) -> None:
    cells = rows * columns
    voc = 0.66 * cells
    made = sheet(
        cells=cells, rows=rows, columns=columns, bypass_diodes=diodes, voc_V=voc, vmp_V=voc * 32.6 / 39.6
    )
    (one,) = found(infer(made), "cells-per-diode")
    assert dict(one.values)["n"].value == n
    assert one.bearing == ("allowed" if usual else "doubt")


def test_without_a_diode_that_is_said_and_no_column_is_joined() -> None:
    reasoning = infer(sheet(bypass_diodes=0))
    assert bearing(reasoning, "cells-per-diode") == "doubt"
    assert not found(reasoning, "columns")


def test_halves_have_their_boxes_in_the_middle_and_whole_cells_theirs_at_an_edge() -> None:
    (whole,) = found(infer(sheet()), "columns")
    (halves,) = found(infer(sheet(**HALVES)), "columns")
    assert "one edge" in sentence(whole)
    assert "in the middle" in sentence(halves)


# S. R. Wenham et al., Applied Photovoltaics, eq. 3.12, with Vg0 1.2 V, gamma 3 at 300 K: -2.259 mV/K at
# 0.60 V, -2.092 at 0.65 V, -1.925 at 0.70 V. Here at 298.15 K: 0.4 % apart.
@pytest.mark.parametrize(("V", "mV"), [(0.60, -2.259), (0.65, -2.092), (0.70, -1.925)])
def test_the_expected_fall_is_the_textbooks(V: float, mV: float) -> None:
    assert expected_fall_mV_per_K(V) == pytest.approx(mV, rel=6e-3)


def with_fall(per_cell: float, mV_per_K: float):
    return of_voltage(per_cell, beta=Coefficient(value=60.0 * mV_per_K, unit="mV/K"))


@pytest.mark.parametrize(
    ("per_cell", "mV_per_K", "expected", "agreeing"),
    [
        (0.62, -2.05, "excluded", True),  # an ordinary module as measured: -2.00 to -2.08 mV/K
        (0.68, -1.95, "excluded", True),
        (0.70, -1.9, "open", True),
        (0.735, -1.785, "allowed", True),  # a heterojunction module as measured
        (0.735, -2.3, "open", False),  # voltage says one thing, its fall another
        (0.61, -1.3, "excluded", False),
    ],
)
def test_high_voltage_types_are_told_apart_only_where_the_numbers_allow(
    per_cell, mV_per_K, expected, agreeing
) -> None:
    # Measured falls: the module data set of B. Marion et al. (2014), 15 to 65 degrees C.
    reasoning = infer(with_fall(per_cell, mV_per_K))
    assert bearing(reasoning, "kind-of-cell") == expected
    assert bearing(reasoning, "fall-with-temperature") == ("allowed" if agreeing else "doubt")


def test_no_sentence_gives_heterojunction_and_back_contact_a_verdict() -> None:
    (kind,) = found(infer(with_fall(0.74, -1.75)), "kind-of-cell")
    text = sentence(kind)
    assert "heterojunction, back-contact" in text
    assert "these numbers do not say" in text


@pytest.mark.parametrize("changes", [{}, HALVES, {"bypass_diodes": 0}, {"voc_V": 60 * 0.7, "vmp_V": 34.6}])
def test_every_sentence_is_written_out_in_german_too_with_its_decimal_mark(changes) -> None:
    findings = infer(sheet(**changes)).findings
    english = [sentence(one) for one in findings]
    with speaking("de"):
        german = [sentence(one) for one in findings]
    assert not any("{" in text or "}" in text for text in english + german)
    assert not set(english) & set(german)
    assert not any(re.search(r"\d\.\d", text) for text in german)
