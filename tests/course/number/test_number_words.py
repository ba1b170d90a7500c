"""Computed numbers follow the language of the text around them."""

from __future__ import annotations

import pytest

from pvsim.course.number.evaluation import Readings, parse_number, show
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import PLAIN, find_unit, parse_format, unit_for, write_number
from pvsim.errors import LessonError
from pvsim.words import speaking
from tests.course.samples import find


@pytest.mark.parametrize(
    ("value", "how", "english", "german"),
    [
        (1.25, "V 2", "1.25\u202fV", "1,25\u202fV"),
        (-0.5, "% 1 signed", "\u221250.0\u202f%", "\u221250,0\u202f%"),
        (1234.5, "V 1", "1234.5\u202fV", "1234,5\u202fV"),
        (0.0, "word", "no", "kein"),
        (1.0, "word", "one", "ein"),
        (12.0, "word", "twelve", "zwölf"),
        (13.0, "word", "13", "13"),
        (1.0, "word:eine", "eine", "eine"),
        (0.0, "word:einen", "no", "keinen"),
        (2.0, "word:einen", "two", "zwei"),
    ],
)  # fmt: skip
def test_a_number_is_written_the_way_of_its_language(
    value: float, how: str, english: str, german: str
) -> None:
    form = parse_format(how)
    unit = form.unit or unit_for(PLAIN)
    assert write_number(value, unit, form) == english
    assert write_number(value, unit, form, "de") == write_number(value, unit, form, "de-AT") == german
    with speaking("de"):
        assert write_number(value, unit, form) == german
        assert write_number(value, unit, form, "en") == english


def test_what_stands_in_place_of_a_number_is_translated() -> None:
    with speaking("de"):
        assert write_number(3.0, find_unit("times"), parse_format("times 0")) == "3\u202fmal"
        assert write_number(float("nan"), find_unit("W"), parse_format("W")) == "kein Wert"


def test_a_language_that_is_not_known_gets_digits() -> None:
    assert write_number(1.0, unit_for(PLAIN), parse_format("word"), "xx") == "1"
    assert write_number(1.5, unit_for(PLAIN), parse_format("1"), "fr") == "1,5"


def test_a_computed_number_takes_the_language_it_is_shown_in() -> None:
    here = solved(find("workshop"))
    number = parse_number("now[array].power_W | kW 2")
    english, german = (show(number, Readings(here, here), language) for language in ("en", "de"))
    assert german == english.replace(".", ",") != english


@pytest.mark.parametrize("how", ["word:", "word:1", "word:a b", "words"])
def test_a_form_that_is_no_word_is_refused(how: str) -> None:
    with pytest.raises(LessonError):
        parse_format(how)
