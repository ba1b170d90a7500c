"""A class that votes at the field desk, through the store: asked, counted, done; what it never hears."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")
pytest.importorskip("sqlalchemy", reason="a class needs the extra pvsim[class]")

from pvsim.app.field.view import FieldView
from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.app.room.phone import phone_view
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import Part, compose
from pvsim.field.search import ANSWERS, answer_of, candidates_of, search_case
from pvsim.field.search.offer import best_of
from pvsim.files import read_demo
from tests.app.wishes import say

SEED, LEVEL = 4711, 1


class Desk:
    """A page with a search on, and its class."""

    def __init__(self, hub: Hub) -> None:
        self.hub = hub
        self.state = State(read_demo("workshop"))
        self.room = self.state.classroom = Classroom(hub)
        self.state.open_field(tab="search")
        self.view = FieldView(self.state)
        say(self.view.root, "begin", {"seed": str(SEED), "level": str(LEVEL), "family": ""})

    def press(self, act: str, value: Any = None) -> dict[str, Any]:
        say(self.view.root, act, value)
        return self.shown()

    def shown(self) -> dict[str, Any]:
        values: dict[str, Any] = self.view.root.room.values
        return values

    def vote(self, *places: int) -> list[str]:
        """Phones vote, each for one."""
        store = self.hub.store()
        kept = [str(store.answer(self.room.poll, 1, f"phone-{k}", place)) for k, place in enumerate(places)]
        self.room._hear(store.look(self.room.code))  # as the hub tells it
        return kept


@pytest.fixture
def hub(tmp_path: Path) -> Iterator[Hub]:
    hub = Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}")
    hub.address = "http://192.0.2.7:5610"
    yield hub
    hub.close()


@pytest.fixture
def desk(hub: Hub) -> Iterator[Desk]:
    desk = Desk(hub)
    yield desk
    desk.view.close()


def test_without_a_classroom_the_desk_has_no_class() -> None:
    state = State(read_demo("workshop"))
    state.open_field(tab="search")
    view = FieldView(state)
    say(view.root, "begin", {"seed": "1", "level": "1", "family": ""})
    assert view.root.room.values == {}
    view.close()


def test_a_class_is_opened_asked_and_what_most_want_is_done(desk: Desk) -> None:
    assert desk.shown() == {"open": False}
    assert desk.press("class", True)["code"] == desk.room.code
    vote = desk.press("ask")["vote"]
    assert vote["asking"]
    assert [one["letter"] for one in vote["choices"]] == list("ABCDE")[: len(vote["choices"])]
    told = phone_view(desk.hub.store().look(desk.room.code))["poll"]
    assert told["vote"] is True
    assert len(told["choices"]) == len(vote["choices"])

    offer = desk.state.field.ballot.offer  # type: ignore[union-attr]
    wanted = best_of(offer)
    other = (wanted + 1) % len(offer)
    assert desk.vote(wanted, wanted, other) == ["kept"] * 3
    vote = desk.press("end-vote")["vote"]
    assert not vote["asking"]
    assert desk.vote(other) == ["closed"]
    assert vote["most"] == wanted
    assert [one["votes"] for one in vote["choices"]] == [
        {wanted: 2, other: 1}.get(place, 0) for place in range(len(offer))
    ]
    last = desk.press("voted", wanted)["last"]
    line = desk.state.field.transcript.lines[-1]
    assert line.act == offer[wanted].act
    assert last["found"]
    assert last["wanted"] == "2 of 3 wanted this"
    assert desk.shown()["vote"] == {}
    assert desk.press("ask")["vote"]["asking"], "and so on"


def test_the_unsafe_one_is_refused_in_front_of_all_and_costs_nothing(desk: Desk) -> None:
    desk.press("class", True)
    desk.press("ask")
    offer = desk.state.field.ballot.offer  # type: ignore[union-attr]
    unsafe = next(place for place, one in enumerate(offer) if one.sort == "unsafe")
    last = desk.press("voted", unsafe)["last"]
    assert last["unsafe"]
    assert "separate the string first" in last["refused"]
    assert desk.state.field.transcript.minutes == 0.0


def test_a_choice_that_was_not_put_to_the_class_is_not_done(desk: Desk) -> None:
    desk.press("voted", 0)
    assert desk.state.notice
    desk.press("class", True)
    desk.press("ask")
    desk.press("voted", 99)
    assert desk.state.notice == "No such choice was put to the class."
    assert desk.state.field.transcript.lines == ()


def test_a_second_press_on_what_most_want_is_no_mistake(desk: Desk) -> None:
    desk.press("class", True)
    desk.press("ask")
    desk.press("voted", 0)
    lines = desk.state.field.transcript.lines
    desk.press("voted", 0)
    assert desk.state.notice == ""
    assert desk.state.field.transcript.lines == lines


def test_the_class_and_its_store_hear_nothing_of_what_is_hidden(desk: Desk, hub: Hub, tmp_path: Path) -> None:
    desk.press("class", True)
    for place in (0, 1):
        desk.press("ask")
        desk.vote(place)
        desk.press("voted", place)
    desk.press("ask")
    desk.press("class", False)
    with closing(sqlite3.connect(tmp_path / "classes.sqlite")) as connection:
        rooms = connection.execute("SELECT title, scene FROM pvsim_rooms").fetchall()
        sheets = [json.loads(text) for (text,) in connection.execute("SELECT sheet FROM pvsim_polls")]
    texts = json.dumps([rooms, sheets])
    fault = search_case(SEED, LEVEL).fault
    assert str(SEED) not in texts, "from the number everything could be worked out"
    assert fault.kind not in texts
    assert ANSWERS[answer_of(fault.kind)].title.lower() not in texts.lower()
    assert len(sheets) == 3
    assert all((one["lesson"], one["step"]) == ("", "") for one in sheets)


def test_the_same_is_asked_whatever_is_hidden(desk: Desk, hub: Hub) -> None:
    """Of two cases with the same number and level, in which other faults are hidden."""
    desk.press("class", True)
    desk.press("ask")
    first = phone_view(hub.store().look(desk.room.code))["poll"]["choices"]
    work = desk.state.field
    assert work.case is not None
    other = next(
        one for one in reversed(candidates_of(work.case)) if one.faults[0].place != work.case.fault.place
    )
    desk.press("drop-vote")
    desk.state.field = replace(work, case=replace(work.case, faults=other.faults), ballot=None)
    desk.press("ask")
    assert phone_view(hub.store().look(desk.room.code))["poll"]["choices"] == first


def test_at_the_end_the_room_s_search_stands_beside_the_best(desk: Desk) -> None:
    desk.press("class", True)
    desk.press("ask")
    offer = desk.state.field.ballot.offer  # type: ignore[union-attr]
    poor = next(place for place, one in enumerate(offer) if one.sort == "poor")
    desk.vote(poor, poor, poor, best_of(offer))
    desk.press("voted", poor)
    assert desk.view.root.debrief.values == {}, "not before the answer"
    desk.state.set_focus(Place(1, 1), "array")
    say(desk.view.root, "answer", {"kind": answer_of(search_case(SEED, LEVEL).fault.kind), "sure": 50})
    votes = desk.view.root.debrief.values["votes"]
    [row] = votes["rows"]
    assert row["voted"] == "1 of 4 (25\u00a0%)"
    assert row["best_share"] == 1.0
    assert row["done_share"] <= 0.5
    assert "In 0 of 1 vote" in votes["lead"][1]


def test_a_reload_finds_the_class_and_its_votes_again(desk: Desk, hub: Hub) -> None:
    desk.press("class", True)
    desk.press("ask")
    desk.vote(0, 1)
    desk.press("voted", 1)
    desk.press("ask")
    kept = desk.view.root.now.values["kept"]
    state = State(read_demo("workshop"))
    room = state.classroom = Classroom(hub)
    state.resume_search(kept)
    assert room.code == desk.room.code
    assert not room.asking, "what it was asked has gone with the page"
    assert state.field.votes == desk.state.field.votes
    assert state.field.transcript == desk.state.field.transcript
    spoilt = json.loads(kept)
    spoilt["votes"][0][1] = 99
    state = State(read_demo("workshop"))
    state.resume_search(json.dumps(spoilt))
    assert state.field.case is None
    assert "cannot be read" in state.notice


def test_in_a_lecture_a_search_begins_where_nothing_more_is_done_on_the_bench(hub: Hub) -> None:
    course = own_course()
    state = State(read_demo("workshop"))
    state.lecture = compose("Tuesday", [Part(lesson="five-levels", minutes=10.0)], course)
    moments = [cue.moment for cue in state.lecture.cues]
    state.cue = moments.index("act")
    state.begin_search(1, 1)
    assert state.field.case is None
    assert state.notice
    state.cue = moments.index("closing")
    state.begin_search(1, 1)
    assert state.field.case is not None
