"""Places: their text forms and what they refuse."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array import WHOLE_ARRAY, Place, describe_place, format_place, level_of, parse_place
from pvsim.errors import ScenarioError
from pvsim.words import speaking

numbers = st.integers(1, 48)
places = st.one_of(
    st.just(WHOLE_ARRAY),
    st.builds(Place, numbers),
    st.builds(Place, numbers, numbers),
    st.builds(lambda s, m, k, kind: Place(s, m, **{kind: k}), numbers, numbers, numbers,
              st.sampled_from(["cell", "diode", "substring"])),
)  # fmt: skip


@given(places)
def test_the_short_text_of_a_place_reads_back_to_the_same_place(place: Place) -> None:
    assert parse_place(format_place(place)) == place


@given(places)
def test_the_words_for_a_place_read_back_to_the_same_place(place: Place) -> None:
    words = describe_place(place).replace("the whole array", "array")
    assert parse_place(words) == place


@pytest.mark.parametrize(
    ("text", "place", "level"),
    [
        ("array", Place(), "array"),
        ("2", Place(2), "string"),
        ("2/5", Place(2, 5), "module"),
        ("2/5/s3", Place(2, 5, substring=3), "substring"),
        ("2/5/14", Place(2, 5, cell=14), "cell"),
        ("2/5/d3", Place(2, 5, diode=3), "diode"),
        ("String 2, module 5, cell 14", Place(2, 5, cell=14), "cell"),
        (" 2 / 5 / 14 ", Place(2, 5, cell=14), "cell"),
    ],
)
def test_each_form_of_place_is_read(text: str, place: Place, level: str) -> None:
    assert parse_place(text) == place
    assert level_of(place) == level


@pytest.mark.parametrize(
    "text", ["", "2/", "2//5", "-1", "2/5/14/3", "a/b", "0", "2/0/3", "2.5", "9" * 5000, "<b>"]
)
def test_a_text_that_is_no_place_is_refused(text: str) -> None:
    with pytest.raises(ScenarioError, match=r"place"):
        parse_place(text)


@pytest.mark.parametrize(
    ("text", "english", "german"),
    [
        ("0/1", "there is no string 0", "Strang 0 gibt es nicht"),
        ("1/0", "there is no module 0", "Modul 0 gibt es nicht"),
        ("1/2/0", "there is no cell 0", "Zelle 0 gibt es nicht"),
        ("1/2/s0", "there is no substring 0", "Teilstrang 0 gibt es nicht"),
        ("1/2/d0", "there is no bypass diode 0", "Bypassdiode 0 gibt es nicht"),
    ],
)
def test_a_number_that_no_place_has_is_named_in_the_words_of_people(
    text: str, english: str, german: str
) -> None:
    for language, said in (("en", english), ("de", german)):
        with speaking(language), pytest.raises(ScenarioError) as caught:
            parse_place(text)
        assert str(caught.value).startswith(said)


def test_a_cell_without_its_module_is_refused() -> None:
    with pytest.raises(ScenarioError, match="not one place"):
        Place(2, cell=3)


def test_a_cell_and_a_diode_at_once_are_refused() -> None:
    with pytest.raises(ScenarioError, match="not one place"):
        Place(2, 5, cell=3, diode=1)


@pytest.mark.parametrize("spoken", ["en", "de"])
@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("module 4", Place(2, 4)),
        ("Modul 4", Place(2, 4)),
        ("Modul 4, Zelle 3", Place(2, 4, cell=3)),
        ("cell 25", Place(2, 5, cell=25)),
        ("Zelle 25", Place(2, 5, cell=25)),
        ("Bypassdiode 2", Place(2, 5, diode=2)),
        ("substring 3", Place(2, 5, substring=3)),
        ("Strang 1, Modul 4", Place(1, 4)),
        ("1/4", Place(1, 4)),
        ("4", Place(4)),
    ],
)
def test_what_somebody_types_is_meant_from_where_they_are(text: str, place: Place, spoken: str) -> None:
    with speaking(spoken):
        assert parse_place(text, near=Place(2, 5, cell=14)) == place


def test_from_the_whole_array_the_first_string_is_meant() -> None:
    assert parse_place("module 4", near=Place()) == Place(1, 4)


def test_in_a_file_a_part_is_named_in_full() -> None:
    for text in ("module 4", "Modul 4", "Strang 1", ""):
        with pytest.raises(ScenarioError, match="not a place"):
            parse_place(text)
    for text in ("", " ", "modul", "module 4 5"):
        with pytest.raises(ScenarioError):
            parse_place(text, near=Place(1))
