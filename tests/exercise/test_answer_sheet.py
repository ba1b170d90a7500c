"""Sheets: what is handed out holds no key; what is handed in is not trusted."""

from __future__ import annotations

import json
import re
import tomllib

import pytest

from pvsim.errors import FileError
from pvsim.exercise import (
    ExerciseCase,
    NumberItem,
    check_seal,
    given_of,
    read_answer_sheet,
    seal_of,
    seed_for,
    write_answer_sheet,
)
from tests.exercise.samples import LESSONS, shipped

CASE = ExerciseCase(seed=4711)
SHEET = f"""\
format = 1
lesson = "diode"
language = "en"
who = "Ada"
seed = 4711
seal = "{seal_of("diode", "Ada", CASE)}"

[[question]]
id = "diode/fresh/one-in-the-shade"
answer = "91 W"
earlier = ["182 W", 5.5]

[[question]]
id = "cell-to-array/fresh/measured-power"
answer = 1974
readings = {{ U = "272,2 V", I = 7.125 }}
"""


def sheet_of(seed, language="en", lesson=""):
    items = {name: one for name, one in shipped(seed, language).items() if name.startswith(lesson)}
    questions = [given_of(one) for one in items.values()]
    case = ExerciseCase(seed=seed)
    return write_answer_sheet(questions, lesson="diode", language=language, who="Ada", case=case), items


def test_a_sheet_that_was_handed_out_is_read_back_with_its_case():
    text, items = sheet_of(3)
    sheet = read_answer_sheet(text)
    assert (sheet.lesson, sheet.who, sheet.seed, sheet.language) == ("diode", "Ada", 3, "en")
    assert [one.item for one in sheet.answers] == [*items]
    assert all(one.texts == () for one in sheet.answers)
    assert check_seal(sheet) == ExerciseCase(seed=3)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("lesson", LESSONS)
def test_no_answer_stands_on_a_sheet(lesson, language):
    for seed in (1, 2, 3, 12):
        text, items = sheet_of(seed, language, lesson)
        plain = text.replace(",", ".").replace("\u202f", "").replace("\u00a0", "")
        numbers = {float(one) for one in re.findall(r"\d+(?:\.\d+)?", plain)}
        assert numbers  # of what is given
        for item in items.values():
            for secret in (item.solution, *(one.feedback for one in getattr(item, "choices", ()))):
                assert not secret or secret not in text
            if isinstance(item, NumberItem):
                # With the decimals it is shown with, and more; what is given may lie near by chance.
                shown = [round(abs(item.value), digits) for digits in range(item.decimals, 7)]
                assert not {*shown} & numbers, (seed, item.id)
                for wrong in item.misconceptions:
                    assert wrong.feedback not in text
                    assert wrong.idea not in text


def test_a_sheet_has_a_few_keys_and_no_others():
    values = tomllib.loads(sheet_of(3)[0])
    assert {*values} == {"format", "lesson", "language", "who", "seed", "seal", "question"}
    assert {key for one in values["question"] for key in one} <= {"id", "answer", "earlier", "readings"}
    assert not any(one["answer"] or one["earlier"] for one in values["question"])


def test_attempts_are_kept_in_their_order_and_numbers_need_no_quotes():
    shade, power = read_answer_sheet(SHEET).answers
    assert shade.texts == ("182 W", "5.5", "91 W")
    assert power.texts == ("1974",)
    assert power.readings == {"U": "272,2 V", "I": "7.1250"}  # a point in TOML means decimals


def test_json_with_the_same_keys_is_read_as_well():
    assert read_answer_sheet(json.dumps(tomllib.loads(SHEET))).answers == read_answer_sheet(SHEET).answers


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        pytest.param("format = 1", "format = 9", "format", id="format"),
        pytest.param("format = 1\n", "", "format", id="no-format"),
        pytest.param('"91 W"', "nan", "line 10", id="nan"),
        pytest.param('"91 W"', "inf", "line 10", id="inf"),
        pytest.param('"91 W"', "true", "line 10", id="truth"),
        pytest.param('"91 W"', '["91 W"]', "line 10", id="list"),
        pytest.param('"91 W"', '"' + "9" * 201 + '"', "201 characters", id="long-answer"),
        pytest.param('"91 W"', '"91 W', "line 10", id="open-quote"),
        pytest.param("5.5]", f"{[1] * 30}]", "earlier", id="nested-list"),
        pytest.param('"182 W", 5.5', ", ".join(["1"] * 21), "21 entries", id="too-many-attempts"),
        pytest.param("answer =", "anwser =", "answer", id="unknown-key"),
        pytest.param("seed = 4711", "seed = -1", "line 5", id="seed-below-nothing"),
        pytest.param("seed = 4711", "seed = 1e3", "line 5", id="seed-with-a-point"),
        pytest.param("seed = 4711", f"seed = {10**400}", "digits", id="seed-without-end"),
        pytest.param('who = "Ada"', f'who = "{"A" * 81}"', "line 4", id="long-name"),
        pytest.param('lesson = "diode"', 'lesson = "../../etc"', "line 2", id="path"),
        pytest.param(
            "cell-to-array/fresh/measured-power", "diode/fresh/one-in-the-shade", "twice", id="twice"
        ),
        pytest.param('seal = "', 'seal = "x', "seal", id="seal-of-no-seal"),
    ],
)
def test_a_broken_sheet_is_refused_in_one_sentence(old, new, says):
    assert old in SHEET
    with pytest.raises(FileError) as refused:
        read_answer_sheet(SHEET.replace(old, new, 1), "ada.toml")
    assert says in str(refused.value)
    assert "ada.toml" in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "x", "{}" * 9, "\x00", '{"format": NaN}', '{"a": ' * 5_000, "[" * 5_000, "#" * 400_000,
     '{"format": 1, "format": 1}'],
    ids=range(11),
)  # fmt: skip
def test_whatever_is_handed_in_ends_in_a_sentence(text):
    with pytest.raises(FileError):
        read_answer_sheet(text)


@pytest.mark.parametrize(
    ("old", "new"),
    [('"Ada"', '"Bob"'), ("4711", "4712"), ('lesson = "diode"', 'lesson = "one-cell"'),
     (seal_of("diode", "Ada", CASE), seal_of("diode", "Bob", CASE))],
)  # fmt: skip
def test_another_name_number_lesson_or_seal_is_refused(old, new):
    assert check_seal(read_answer_sheet(SHEET)) == CASE
    with pytest.raises(FileError, match="was not handed out"):
        check_seal(read_answer_sheet(SHEET.replace(old, new, 1)))


def test_a_seal_without_the_secret_word_does_not_open_a_sheet_with_one():
    with pytest.raises(FileError, match="secret"):
        check_seal(read_answer_sheet(SHEET), "tide")
    sealed = SHEET.replace(
        seal_of("diode", "Ada", CASE), seal_of("diode", "Ada", ExerciseCase(seed=4711, secret="tide"))
    )
    assert check_seal(read_answer_sheet(sealed), "tide").secret == "tide"


def test_a_sheet_without_a_name_takes_any():
    seal = seal_of("diode", "", CASE)
    named = SHEET.replace(seal_of("diode", "Ada", CASE), seal)
    assert check_seal(read_answer_sheet(named)) == CASE


def test_names_get_numbers_that_a_secret_changes():
    names = [f"student {k}" for k in range(300)]
    seeds = [seed_for(name) for name in names]
    assert len(set(seeds)) > 295
    assert seeds != [seed_for(name, "tide") for name in names]
    assert seeds == [seed_for(name) for name in names]


def test_what_is_read_back_does_not_turn_lines_or_writing():
    text = SHEET.replace('"Ada"', '"A\\u202eda\\u0007"').replace('"91 W"', '"91\\u202e W"')
    sheet = read_answer_sheet(text)
    assert sheet.who == "A da"
    assert sheet.answers[0].texts[-1] == "91 W"
