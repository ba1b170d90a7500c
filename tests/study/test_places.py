"""Places of a study: all parts of a level, and the part that goes with a place."""

from __future__ import annotations

import pytest

from pvsim.array import format_place, parse_place
from pvsim.errors import PvsimError, ScenarioError, StudyError
from pvsim.study.places import Every, at_level, format_every, parse_every, places_of
from tests.array.samples import faulty, scenario

ROOF = scenario(3, 2)


@pytest.mark.parametrize(
    ("text", "count", "first", "last"),
    [
        ("every cell", 300, "1/1/1", "2/2/60"),
        ("every module", 5, "1/1", "2/2"),
        ("every string", 2, "1", "2"),
        ("every array", 1, "array", "array"),
        ("every substring of 2", 6, "2/1/s1", "2/2/s3"),
        ("every diode of 1/3", 3, "1/3/d1", "1/3/d3"),
        ("every cell of 1/2/s2", 20, "1/2/21", "1/2/40"),
        ("every module of 1/2", 1, "1/2", "1/2"),
    ],
)
def test_every_part_is_found_in_order(text, count, first, last):
    found = places_of(ROOF, parse_every(text))
    assert len(set(found)) == len(found) == count
    assert (format_place(found[0]), format_place(found[-1])) == (first, last)
    assert format_every(parse_every(text)) == text


def test_only_substrings_with_a_diode_have_one():
    assert places_of(scenario(1, type="bare-60"), Every("diode")) == ()


def test_the_array_as_built_counts():
    assert len(places_of(faulty(ROOF, ("modules-too-few", "1", 2)), Every("module"))) == 3


@pytest.mark.parametrize(
    "text", ["all cells", "every cel", "every cell of 2/x", "every string of 1/2", "every", ""]
)
def test_what_names_no_parts_is_refused(text):
    with pytest.raises(PvsimError, match="expected"):
        parse_every(text)


def test_a_place_the_array_lacks_holds_no_parts():
    with pytest.raises(ScenarioError, match="string 3"):
        places_of(ROOF, parse_every("every cell of 3"))


@pytest.mark.parametrize(
    ("place", "level", "found"),
    [
        ("1/2/25", "cell", "1/2/25"),
        ("1/2/25", "substring", "1/2/s2"),
        ("1/2/25", "diode", "1/2/d2"),
        ("1/2/25", "module", "1/2"),
        ("1/2/25", "string", "1"),
        ("1/2/25", "array", "array"),
        ("1/2/d3", "substring", "1/2/s3"),
        ("1/2/d3", "cell", "1/2/41"),
        ("1/2/s3", "diode", "1/2/d3"),
        ("2", "module", "2/1"),
        ("2", "cell", "2/1/1"),
        ("array", "diode", "1/1/d1"),
        ("2/2", "substring", "2/2/s1"),
    ],
)
def test_the_part_that_holds_a_place_or_is_its_first(place, level, found):
    assert format_place(at_level(ROOF, parse_place(place), level)) == found


@pytest.mark.parametrize("place", ["1/2/61", "1/2/s4", "1/2/d4", "1/9"])
def test_parts_of_a_place_the_array_lacks_are_refused(place):
    with pytest.raises(ScenarioError):
        at_level(ROOF, parse_place(place), "cell" if place != "1/2/61" else "substring")


def test_a_level_that_is_none_is_refused():
    with pytest.raises(StudyError, match="one of array"):
        Every("roof")
