"""Comparisons in words are found where nothing stands beside them, and left alone where something does."""

from __future__ import annotations

import pytest

from pvsim.course.text.claim import open_claims

ENGLISH = [
    "With full cells it costs half as much again.",
    "The gap in the middle is the best place.",
    "A shunt that nobody has ever noticed.",
    "It is *never* reached.",
    "The cell eats twice the power.",
    "The power hardly moves.",
    "Most of it is lost.",
    "Three times as many cells push.",
    "The longer the chain, the worse.",
    "The loss is far smaller.",
    "It gives less power than the others.",
    "The [[hot spot]] is hotter now.",
]
GERMAN = [
    "Es kostet doppelt so viel.",
    "Das ist die beste Stelle.",
    "Niemand hat ihn je bemerkt.",
    "Sie wird nie erreicht.",
    "Die Leistung ändert sich kaum.",
    "Am meisten verliert die letzte.",
    "Es sind dreimal so viele.",
    "Je länger die Kette, desto heißer die Zelle.",
    "Der Verlust ist größer als zuvor.",
    "Das gilt immer.",
]
SILENT = [
    "It costs {{ delta[1].power_W | W 0 }}, half as much again.",
    "It is twice as much{{ holds now[1].power_W > 2 * before[1].power_W }}.",
    "It is twice as much.{{ checked IEC 62446-1, section 6 }} So be it.",
    "At most one cell, at least one diode.",
    "Is that twice as much?",
    'Say: "It is the best. Nobody does better." Then wait.',
    "The cell gets warmer: 30 °C.",
    "The greatest power on the coldest morning stands in the lowest row.",
    "It is no longer there, other than before.",
    "Let everybody write; a cloth must never lie there.",
]
SILENT_GERMAN = [
    "Das sind {{ now[1].power_W | W 0 }}, doppelt so viel.",
    "Mindestens eine, höchstens zwei; das Wichtigste zuerst.",
    "„Niemand ist besser.“ Dann warten.",
    "Immer noch und noch immer, immer wieder.",
    "Ein kleiner Strom am nächsten Morgen.",
    "Ist es doppelt so viel?",
]


@pytest.mark.parametrize(
    ("text", "language"), [*((one, "en") for one in ENGLISH), *((one, "de") for one in GERMAN)]
)
def test_a_comparison_without_a_number_is_found(text: str, language: str) -> None:
    (claim,) = open_claims(text, language)
    assert claim.words


@pytest.mark.parametrize(
    ("text", "language"), [*((one, "en") for one in SILENT), *((one, "de") for one in SILENT_GERMAN)]
)
def test_what_is_computed_warranted_asked_or_quoted_is_left_alone(text: str, language: str) -> None:
    assert list(open_claims(text, language)) == []


def test_each_sentence_answers_for_itself_and_is_named_with_its_line() -> None:
    text = "It gives {{ now[1].cells }}. That\nis the most. Nobody\nhas more.\n\n* never\n* twice {{ 2 }}\n"
    assert [(claim.line, claim.words) for claim in open_claims(text, "en")] == [
        (0, ("most",)),
        (1, ("Nobody",)),
        (4, ("never",)),
    ]


def test_captions_and_asides_are_read_and_the_keys_of_a_figure_are_not() -> None:
    figure = '```figure\nlevels = "hottest"\ncaption = "Half as high."\n```\n'
    text = f"````aside student\nNobody.\n\n{figure}````\n"
    assert [claim.line for claim in open_claims(text, "en")] == [1, 5]


def test_what_others_say_in_emphasis_is_no_claim_in_notes() -> None:
    text = "**Expect:** *twice too much*, from some."
    assert list(open_claims(text, "en", others=True)) == []
    assert len(list(open_claims(text, "en"))) == 1


def test_a_language_without_a_list_has_no_claims() -> None:
    assert list(open_claims("Nobody, never, twice.", "fr")) == []
