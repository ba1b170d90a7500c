"""One strict table, whether it raises its first refusal or notes them all."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from pvsim.course.table import Report
from pvsim.course.table import Table as Noting
from pvsim.errors import FileError
from pvsim.files.source import Source
from pvsim.files.strict import Strict
from pvsim.files.table import Table as Raising

VALUES: dict[str, Any] = {
    "size": 12.5,
    "count": 3,
    "name": "leaf",
    "open": True,
    "list": ["a", "b"],
    "inner": {},
    "day": date(2026, 11, 28),
    "huge": 10**400,
    "nan": float("nan"),
}


def raising() -> Raising:
    return Raising(Source(name="trial.toml", text=""), (), VALUES, tuple(VALUES))


Read = Callable[[Strict], object]
REFUSED: list[tuple[str, Read, str, str, object]] = [
    ("text-for-number", lambda t: t.number("name"), "is 'leaf'", "a number", 0.0),
    ("flag-for-number", lambda t: t.number("open"), "is true", "a number", 0.0),
    ("beyond", lambda t: t.number("size", least=20.0, most=30.0), "is 12.5", "a number from 20 to 30", 20.0),
    ("not-finite", lambda t: t.number("nan"), "is nan", "a finite number, not nan or inf", 0.0),
    ("too-large", lambda t: t.number("huge"), "a number of more than 60 digits", "a finite number", 0.0),
    ("part", lambda t: t.whole("size", least=1, most=9), "is 12.5", "a whole number from 1 to 9", 1),
    ("many", lambda t: t.whole("count", least=5, most=9), "is 3", "a whole number from 5 to 9", 5),
    ("number-for-text", lambda t: t.text("size", longest=9), "is 12.5", "a text in quotes", ""),
    ("date-for-text", lambda t: t.text("day", longest=9), "is 2026-11-28", "a text in quotes", ""),
    ("long", lambda t: t.text("name", longest=3), "has 4 characters", "1 to 3", "leaf"),
    ("text-for-flag", lambda t: t.flag("name"), "is 'leaf'", "true or false", False),
    ("other-word", lambda t: t.word("name", ("root", "stem")), "is 'leaf'", "one of root, stem", "root"),
    ("table-for-list", lambda t: t.entries("inner"), "is a table", "a list in square brackets", []),
    ("long-list", lambda t: t.entries("list", most=1), "has 2 entries", "at most 1", ["a", "b"]),
]


@pytest.mark.parametrize(
    ("read", "said", "expected", "instead"),
    [pytest.param(*rest, id=name) for name, *rest in REFUSED],
)
def test_both_refuse_the_same_in_the_same_words(
    read: Read, said: str, expected: str, instead: object
) -> None:
    with pytest.raises(FileError) as raised:
        read(raising())
    report = Report(file="trial.md")
    assert read(Noting(VALUES, (), report)) == instead
    (noted,) = report.problems
    assert said in raised.value.wrong
    assert said in noted.wrong
    assert noted.expected == raised.value.expected
    assert expected in noted.expected
    assert noted.mend == raised.value.mend


@pytest.mark.parametrize(
    "read",
    [
        lambda t: t.number("gone"),
        lambda t: t.whole("gone", least=1, most=9),
        lambda t: t.text("gone"),
        lambda t: t.word("gone", ("root",)),
        lambda t: t.entries("gone", required=True),
    ],
    ids=["number", "whole", "text", "word", "entries"],
)
def test_both_ask_for_a_key_that_is_missing(read: Read) -> None:
    with pytest.raises(FileError, match="'gone' is missing"):
        read(raising())
    report = Report(file="trial.md")
    read(Noting(VALUES, (), report))
    (noted,) = report.problems
    assert "lacks 'gone'" in noted.wrong


def test_both_take_what_fits_and_the_default_of_what_is_not_there() -> None:
    for table in (raising(), Noting(VALUES, (), report := Report(file="trial.md"))):
        assert (table.number("size"), table.number("count"), table.number("gone", 1.5)) == (12.5, 3.0, 1.5)
        assert (table.text("name"), table.flag("open")) == ("leaf", True)
        assert table.word("name", ("leaf", "root")) == "leaf"
        assert (table.entries("list"), table.entries("gone")) == (["a", "b"], [])
        assert table.whole("count", least=1, most=9) == 3
    assert report.problems == []


def test_a_list_that_holds_something_else_names_the_entry() -> None:
    values = {"list": ["a", 3]}
    with pytest.raises(FileError, match=r"list.*is 3"):
        Raising(Source(name="trial.toml", text=""), (), values, ("list",)).texts("list", most=9)
    report = Report(file="trial.md")
    assert Noting(values, (), report).texts("list") == ()
    (noted,) = report.problems
    assert noted.wrong == "entry 2 of 'list' is 3"
