"""Numbers with a unit that were typed are found; computed and given ones are not."""

from __future__ import annotations

import pytest

from pvsim.course.text.typed_numbers import joined, typed_numbers
from tests.course.samples import LESSON, line_of, problems, spoilt


@pytest.mark.parametrize(
    "text",
    [
        "It gives 5 W.",
        "It gives 5W.",
        "about 0,68\u202fV each",
        "\u221240.2 W",
        "at 1000 W/m²",
        "a 12-volt battery",
        "65 °C in the sun",
        "2.5 mV/K for each cell",
        "34 % of it",
        "20 per cent of it",
        "a 4 mm2 cable of 30 m",
        "10 kΩ",
        "seventy watts",
        "five kelvin",
    ],
)
def test_a_typed_quantity_is_found(text: str) -> None:
    assert len(list(typed_numbers(text, ()))) >= 1


def test_no_line_ends_between_a_typed_number_and_its_unit() -> None:
    assert joined("from 0,6 V to 20 % at 25 °C") == "from 0,6\u202fV to 20\u202f% at 25\u202f°C"
    same = "cell 14 Verily, 5 per cell, 12 Wires, string 2 and so on"
    assert joined(same) == same


@pytest.mark.parametrize(
    "text",
    [
        "Cell 14 of module 3 in string 1.",
        "Bishop 1988, page 82.",
        "{{ now[array].power_W | W 0 }} and {{ now[1/1].p_mp_W\n | W 1 }}",
        "half a volt, a third of the power, in a year",
        "two strings of eight modules",
        "IEC 62446-1 and T13-30:2025",
        "at 5 o'clock",
        "Version 2 works",
    ],
)
def test_counts_words_and_computed_numbers_pass(text: str) -> None:
    assert list(typed_numbers(text, ())) == []


def test_a_given_quantity_may_stand_however_it_is_spaced() -> None:
    assert list(typed_numbers("at 1000 W/m² and 1000\u202fW/m2", ["1000 W/m2"])) == []


def test_the_reader_names_the_line_of_a_typed_number_in_the_text() -> None:
    text = LESSON.replace("Shade one cell.", "Shade\none cell, it gives 5.7 W.")
    (one,) = problems(text)
    assert one.line == line_of(text, "one cell, it gives")
    assert "'5.7 W' is typed" in one.wrong


def test_the_reader_finds_typed_numbers_in_feedback_and_choices() -> None:
    (one,) = problems(spoilt("Look at the junction box.", "It carries 9 A."))
    assert "'9 A' is typed" in one.wrong
    assert one.line == line_of(LESSON, 'feedback = "Look')


def test_a_given_quantity_that_stands_nowhere_is_refused() -> None:
    (one,) = problems(spoilt("[given]", '[given]\n"7 A" = "why not"'))
    assert "'7 A' is given" in one.wrong
