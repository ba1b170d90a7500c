"""The searches that a course gives, at the desk: begun by a press, and what was done of each."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.search_form import set_values
from pvsim.app.field.view import FieldView
from pvsim.app.session.field_pasts import pasts_kept
from pvsim.app.session.state import State
from pvsim.app.words import speaking
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.step_search import SetSearch
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import search_case
from pvsim.field.search.family import answer_of
from pvsim.files.demo import read_demo
from tests.app.wishes import say

SET = (
    SetSearch(seed=3, level=1, family="cells"),
    SetSearch(seed=4, level=1, family="cells"),
    SetSearch(seed=5, level=1),
)


@pytest.fixture
def state() -> State:
    state = State(read_demo("workshop"))
    state.open_field(tab="search")
    return state


@pytest.fixture
def view(state: State) -> Iterator[FieldView]:
    view = FieldView(state, SET)
    yield view
    view.close()


def rows(view: FieldView) -> list[dict[str, Any]]:
    return [one for block in view.root.now.values["practised"] for one in block["searches"]]


def end(state: State, view: FieldView, number: int, *, right: bool) -> None:
    """Begin one of the set as its button does, and answer it."""
    row = rows(view)[number]
    say(view.root, "begin", {name: row[name] for name in ("seed", "level", "family")})
    case = state.field.case
    assert case == search_case(SET[number].seed, SET[number].level, SET[number].family)
    fault = case.fault
    kind = answer_of(fault.kind) if right else "earth-fault"
    state.answer_search(Answer(kind=kind, place=fault.place, sure_percent=90))
    say(view.root, "leave")


def test_the_set_stands_in_blocks_of_one_family(view: FieldView) -> None:
    blocks = view.root.now.values["practised"]
    assert [(block["title"], len(block["searches"])) for block in blocks] == [
        ("cells", 2),
        ("all families, mixed", 1),
    ]
    assert [row["state"] for row in rows(view)] == ["", "", ""]
    assert rows(view)[0]["said"] == "cells, level 1, no. 3: not done yet"


def test_what_was_done_of_the_set_is_told_and_the_best_counts(state: State, view: FieldView) -> None:
    end(state, view, 0, right=False)
    assert [row["state"] for row in rows(view)] == ["missed", "", ""]
    end(state, view, 0, right=True)
    end(state, view, 0, right=False)
    found = rows(view)[0]
    assert found["state"] == "found"
    points = max(past.points for past in state.pasts if past.solved)
    assert f"{points:.0f} of 100" in found["said"]
    assert rows(view)[1]["state"] == ""


def test_a_browser_that_comes_again_knows_what_was_done(state: State, view: FieldView) -> None:
    end(state, view, 1, right=True)
    kept = view.root.now.values["pasts"]
    other = State(read_demo("workshop"))
    other.open_field(tab="search")
    again = FieldView(other, SET)
    say(again.root, "pasts", kept)
    assert [row["state"] for row in rows(again)] == ["", "found", ""]
    again.close()


def test_what_an_older_page_has_kept_is_known_without_its_number() -> None:
    [past] = pasts_kept(json.dumps([[1, "cells", 80.0, True, 9.0, 8.0]]))
    assert past.seed is None
    assert past.points == 80.0


def test_a_course_without_a_set_shows_none(state: State) -> None:
    view = FieldView(state)
    assert view.root.now.values["practised"] == []
    view.close()


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_search_has_a_name_of_its_own(state: State, language: str) -> None:
    """Two of one family and level are told apart by their number, on the button and for a screen reader."""
    for searches in (SET, own_course().searches):
        with speaking(language):
            blocks = set_values(state, searches)
        said = [one["said"] for block in blocks for one in block["searches"]]
        assert len(set(said)) == len(said) == len(searches)
        for block in blocks:
            texts = [one["text"] for one in block["searches"]]
            assert len(set(texts)) == len(texts)
            assert all(one["text"] in one["said"] for one in block["searches"])
