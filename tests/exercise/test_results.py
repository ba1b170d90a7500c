"""Results of a class: rows, what a corrected key changes, a table that no program takes for formulas."""

from __future__ import annotations

import csv
from dataclasses import replace

import pytest

from pvsim.errors import FileError
from pvsim.exercise import (
    AnswerSheet,
    ExerciseCase,
    GivenAnswer,
    mark_sheet,
    remark,
    seal_of,
    summarise,
    write_results,
)
from pvsim.exercise.results import CSV_COLUMNS
from tests.exercise.samples import choice_item, number_item

ITEMS = {one.id: one for one in (number_item(), choice_item())}


def handed_in(who, number=(), choice=(), language="en"):
    case = ExerciseCase(seed=7)
    answers = (GivenAnswer(item="a/fresh/b", texts=number), GivenAnswer(item="a/fresh/c", texts=choice))
    return AnswerSheet(
        name=f"{who}.toml",
        lesson="a",
        language=language,
        who=who,
        seed=7,
        seal=seal_of("a", who, case),
        answers=answers,
    )


def rows_of(text):
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def test_the_last_attempt_counts_and_all_are_counted():
    rows = mark_sheet(handed_in("Ada", ("150", "104", "100 W"), ("a",)), ITEMS)
    assert [(one.attempts, one.answer, one.mark.points) for one in rows] == [(3, "100 W", 2.0), (1, "a", 0.0)]
    empty = mark_sheet(handed_in("Bob"), ITEMS)
    assert [(one.attempts, one.mark.verdict) for one in empty] == [(0, "empty"), (0, "empty")]


def test_the_table_has_a_row_for_each_student_and_question_with_decimal_points():
    rows = [
        *mark_sheet(handed_in("Ada", ("104,0",), ("c",), "de"), ITEMS),
        *mark_sheet(handed_in("Bob"), ITEMS),
    ]
    found = rows_of(write_results(rows))
    assert len(found) == 4
    assert tuple(found[0]) == CSV_COLUMNS
    assert (found[0]["who"], found[0]["points"], found[0]["of"], found[0]["answer"]) == (
        "Ada",
        "1",
        "2",
        "104,0",
    )
    assert (found[1]["points"], found[1]["misconception"]) == ("0.5", "nothing changes")
    assert found[0]["feedback"] == "Nahe, aber nicht nahe genug."


@pytest.mark.parametrize("typed", ["=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "=HYPERLINK(1)"])
def test_a_text_is_no_formula_to_a_table_program(typed):
    rows = mark_sheet(handed_in(typed, (typed,)), ITEMS)
    for row in rows_of(write_results(rows)):
        assert row["who"][:1] not in "=+-@"
        assert not row["answer"] or row["answer"][:1] not in "=+-@"


def test_a_negative_number_stays_one():
    (row, _other) = rows_of(write_results(mark_sheet(handed_in("Ada", ("-100.5",)), ITEMS)))
    assert row["answer"] == "-100.5"


def test_a_summary_counts_verdicts_points_and_ideas():
    sheets = [
        handed_in("Ada", ("100",)),
        handed_in("Bob", ("150",)),
        handed_in("Cem", ("151",)),
        handed_in("Dana"),
    ]
    number, _choice = summarise(row for sheet in sheets for row in mark_sheet(sheet, ITEMS))
    assert number.counts == {"right": 1, "part": 2, "empty": 1}
    assert (number.points, number.of) == (3.0, 8.0)
    assert number.ideas == (("forgot the diode", 2),)


def test_a_corrected_key_says_what_it_changes_and_no_more():
    corrected = {**ITEMS, "a/fresh/b": number_item(value=104.0, bands=())}
    sheets = [
        handed_in("Ada", ("100",), ("b",)),
        handed_in("Bob", ("104",), ("b",)),
        handed_in("Cem", ("7",), ("b",)),
    ]
    changes = [remark(sheet, ITEMS, corrected)[1] for sheet in sheets]
    assert [len(one) for one in changes] == [1, 1, 0]
    assert [(one.before.mark.points, one.after.mark.points) for (one,) in changes[:2]] == [
        (2.0, 0.0),
        (1.0, 2.0),
    ]
    assert changes[1][0].after.answer == "104"


def test_other_points_for_the_same_answer_are_a_change():
    corrected = {**ITEMS, "a/fresh/b": replace(ITEMS["a/fresh/b"], points=3.0)}
    rows, changed = remark(handed_in("Ada", ("7",)), ITEMS, corrected)
    assert (rows[0].mark.of, changed[0].before.mark.of) == (3.0, 2.0)


def test_a_question_that_the_key_does_not_have_is_refused():
    with pytest.raises(FileError, match="a/fresh/c"):
        mark_sheet(handed_in("Ada", ("100",)), {"a/fresh/b": ITEMS["a/fresh/b"]})
