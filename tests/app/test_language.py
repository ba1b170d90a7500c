"""Which language a page speaks, by what its request carries."""

from __future__ import annotations

import pytest

from pvsim.app.language import KEPT, asked_language, session_language
from pvsim.app.number_field import read_number
from pvsim.app.session.address import address_of, open_address, own_address
from pvsim.app.session.state import State
from pvsim.app.shell.keys import key_name
from pvsim.app.words import speaking
from pvsim.array.place import Place, describe_place, parse_place
from pvsim.course.lesson.lesson import NumberQuestion
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.units import UNITS
from pvsim.course.play.answers import NumberAnswer, read_answer
from pvsim.errors import PvsimError, ScenarioError
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import read_scenario
from pvsim.numbers import format_fixed, format_setting

LIKES_GERMAN = {"Accept-Language": "de-CH,de;q=0.9,en;q=0.8"}


@pytest.mark.parametrize(
    ("query", "cookies", "headers", "usual", "code"),
    [
        pytest.param({"lang": [b"de"]}, {KEPT: "en"}, {}, "en", "de", id="the address first"),
        pytest.param({}, {KEPT: "de"}, {"accept-language": "en"}, "en", "de", id="then what was chosen"),
        pytest.param({}, {}, {"accept-language": "en"}, "de", "de", id="then what the server is told"),
        pytest.param({}, {}, LIKES_GERMAN, "", "de", id="then what the browser likes"),
        pytest.param({}, {}, {}, "", "en", id="then English"),
        pytest.param({"lang": [b"\xff"]}, {KEPT: "<x>"}, {"Accept-Language": ";;"}, "", "en", id="nonsense"),
        pytest.param({"lang": [b"qps"]}, {}, {}, "", "qps", id="the pseudo-language when asked for"),
        pytest.param({"lang": [b"en", b"de"]}, {}, {}, "", "de", id="the last of several"),
    ],
)
def test_a_page_speaks(query, cookies, headers, usual, code) -> None:
    assert session_language(query, cookies, headers, usual) == code


def test_only_the_pages_own_address_carries_a_language() -> None:
    state = State(read_demo("workshop"))
    assert own_address(state) == address_of(state)
    open_address(state, {"lang": [b"de"]})
    assert own_address(state) == address_of(state) + "&lang=de"
    assert "lang" not in address_of(state)
    assert own_address(state, "en").endswith("&lang=en")
    assert asked_language({}) == ""


@pytest.mark.parametrize(
    ("text", "english", "german"),
    [
        ("1.5", 1.5, 1.5),
        ("1,5", 1.5, 1.5),
        ("0,125", 0.125, 0.125),
        ("0.125", 0.125, 0.125),
        ("1,125", None, 1.125),
        ("1.125", 1.125, None),
        (1.125, 1.125, 1.125),
    ],
)
def test_a_number_is_read_with_either_mark_unless_it_could_be_thousands(text, english, german) -> None:
    for code, value in (("en", english), ("de", german)):
        with speaking(code):
            if value is None:
                with pytest.raises(ScenarioError):
                    read_number(text, name="x", least=0.0, most=2000.0)
            else:
                assert read_number(text, name="x", least=0.0, most=2000.0) == value


def test_what_a_german_page_shows_it_reads_again() -> None:
    with speaking("de"):
        for value in (0.15, 1.125, 12.5, 999.125, 0.0, 1234.5):
            assert read_number(format_setting(value), name="x", least=0.0, most=2000.0) == value
        assert format_fixed(12345.678, "W", decimals=1) == "12\u202f345,7\u00a0W"


def test_an_answer_is_read_with_either_mark() -> None:
    question = NumberQuestion(
        answer=parse_expression("0"),
        unit=UNITS["V"],
        tolerance=0.1,
        relative_tolerance=0.0,
        mistakes=(),
    )
    for code in ("en", "de"):
        with speaking(code):
            for text in ("0,65", "0.65", "0,65 V", "650 mV"):
                answer = read_answer(question, text)
                assert isinstance(answer, NumberAnswer)
                assert answer.number == pytest.approx(0.65)


@pytest.mark.parametrize(
    "place",
    [Place(), Place(2), Place(2, 5), Place(2, 5, cell=14), Place(2, 5, substring=3), Place(2, 5, diode=3)],
)
@pytest.mark.parametrize("code", ["en", "de"])
def test_a_place_is_read_back_from_its_words_in_every_language(place: Place, code: str) -> None:
    with speaking(code):
        said = describe_place(place)
        assert parse_place(said) == place
        assert parse_place("string 2, module 5, cell 14") == Place(2, 5, cell=14)


def test_a_refusal_is_told_in_the_language_of_the_page() -> None:
    state = State(read_demo("workshop"))
    with speaking("de"):
        state.set_focus("3/1")
        assert state.notice.startswith("Strang 3, Modul 1 gibt es nicht; erwartet: ein Strang von 1 bis 2.")
        state.undo()
        state.paint([Place(1, 1, cell=1)], 0.2)
    assert state.said.startswith("Strang 1, Modul 1, Zelle 1 auf 20\u00a0% verschattet: der Generator fällt")


def test_what_is_wrong_in_a_file_is_told_in_the_language_of_its_keys() -> None:
    state = State(read_demo("workshop"))
    with speaking("de"):
        state.open_scenario("format = 1\ntitle = 3\n", "x.toml")
    with pytest.raises(PvsimError) as caught:
        read_scenario("format = 1\ntitle = 3\n", "x.toml")
    assert state.notice.lower() == str(caught.value).lower()


def test_keys_are_called_as_they_are_printed() -> None:
    assert key_name("Ctrl+Shift+Z") == "Ctrl+Shift+Z"
    with speaking("de"):
        assert key_name("Ctrl+Shift+Z") == "Strg+Umschalt+Z"
