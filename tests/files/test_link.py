"""Links: a whole scenario in an address, and what becomes of an address on its way."""

from __future__ import annotations

import json
import random
import zlib
from base64 import urlsafe_b64encode
from contextlib import suppress

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pvsim.array import Painted, Place, paint
from pvsim.errors import FileError
from pvsim.files import demo_names, read_demo
from pvsim.files.document import document_of
from pvsim.files.link import MAX_LINK_LENGTH, pack, unpack
from tests.files.strategies import scenarios
from tests.workshop_roof import workshop_roof

LETTERS = set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.")


def linked(data: bytes) -> str:
    return "1." + urlsafe_b64encode(zlib.compress(data, 9)).decode().rstrip("=")


@given(scenarios())
def test_a_link_opens_the_same_scenario(scenario):
    try:
        word = pack(scenario)
    except FileError as error:
        assume("would have" not in str(error))
        raise
    assert set(word) <= LETTERS
    assert unpack(word) == scenario


@pytest.mark.parametrize("name", demo_names())
def test_every_demo_fits_into_a_short_link(name):
    word = pack(read_demo(name))
    assert len(word) < 1500  # also fits where addresses are kept to 2,000 characters
    assert unpack(word) == read_demo(name)


def test_a_hundred_cells_painted_at_random_still_fit():
    scenario = read_demo("workshop")
    chance = random.Random(5)
    for _ in range(100):
        place = Place(chance.randint(1, 2), chance.randint(1, 8), cell=chance.randint(1, 60))
        scenario = paint(scenario, (place,), round(chance.random(), 2))
    assert unpack(pack(scenario)) == scenario


def test_a_scenario_too_large_for_an_address_asks_for_a_file():
    chance = random.Random(7)
    scenario = read_demo("workshop")
    for string in (1, 2):
        for module in range(1, 9):
            for cell in range(1, 61):
                place = Place(string, module, cell=cell)
                scenario = paint(scenario, (place,), chance.random())
    assert all(isinstance(one, Painted) for one in scenario.light.painted)
    with pytest.raises(FileError, match="Save the scenario as a file"):
        pack(scenario)


@given(st.integers(0, 600))
def test_an_address_cut_anywhere_is_refused_in_one_sentence(end):
    word = pack(read_demo("workshop"))
    assume(end < len(word))
    with pytest.raises(FileError, match="cut short or damaged"):
        unpack(word[:end])


@given(st.integers(0, 10_000), st.sampled_from("AZaz09-_"))
def test_a_damaged_address_never_opens_another_scenario(position, letter):
    word = pack(read_demo("workshop"))
    at = 2 + position % (len(word) - 2)
    assume(word[at] != letter)
    try:
        found = unpack(word[:at] + letter + word[at + 1 :])
    except FileError:
        return
    assert found == read_demo("workshop")  # the last letter has bits that carry nothing


@given(st.text(max_size=200))
def test_any_text_is_refused_or_opened_but_never_fails_otherwise(text):
    for word in (text, "1." + text):
        try:
            unpack(word)
        except FileError as error:
            assert len(str(error)) < 500


@pytest.mark.parametrize(
    ("word", "says"),
    [
        pytest.param("", "cut short", id="empty"),
        pytest.param("1", "cut short", id="one-sign"),
        pytest.param("2.abcd", "does not start", id="later-version"),
        pytest.param("1." + "A" * MAX_LINK_LENGTH, "at most 6,000", id="too-long"),
        pytest.param(linked(b"0" * 2_000_000), "more than 1,000,000 bytes", id="swells"),
        pytest.param(linked(b"[" * 900_000), "damaged", id="deep"),
        pytest.param(linked(b"[1]"), "damaged", id="no-table"),
        pytest.param(linked(b"\xff\xfe"), "damaged", id="no-text"),
        pytest.param(linked(b"{}"), "no format key", id="empty-table"),
        pytest.param(
            linked(b'{"format":1,"title":"a","array":{"strings":[]},"x":1}'), "'x' is not known", id="key"
        ),
        pytest.param(linked(b'{"format":1,"title":NaN}'), "title is nan", id="nan"),
    ],
)
def test_a_hostile_address_is_refused(word, says):
    with pytest.raises(FileError, match=says):
        unpack(word)


def test_links_of_equal_scenarios_are_equal_and_plain_underneath():
    scenario = read_demo("workshop")
    assert pack(scenario) == pack(unpack(pack(scenario)))
    assert json.loads(json.dumps(document_of(scenario)))["title"] == scenario.title


@pytest.mark.parametrize("more", ["x", "AA", "A" * 7])
def test_a_link_with_something_behind_it_is_refused(more):
    with pytest.raises(FileError, match="cut short or damaged"):
        unpack(pack(workshop_roof()) + more)


def test_a_link_with_a_wrong_lost_doubled_or_swapped_character_never_opens_another_scenario():
    scenario = read_demo("single-cell")
    word = pack(scenario)
    damaged: set[str] = set()
    for k, sign in enumerate(word):
        before, after = word[:k], word[k + 1 :]
        damaged |= {before + after, before + sign + word[k:], before + after[:1] + sign + after[1:]}
        damaged |= {before + other + after for other in "A_z5" if other != sign}
    opened = []
    for text in damaged - {word}:
        with suppress(FileError):
            opened.append(unpack(text))
    assert all(one == scenario for one in opened)  # a bit that fills up the last byte says nothing
    assert len(opened) <= 2
