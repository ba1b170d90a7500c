"""Debriefs beside the event loop: sessions take turns, hear of what there is, share what is foreseen."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from queue import Queue
from threading import Event
from typing import Any
from weakref import ref

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.session import debrief_errand
from pvsim.app.session.debrief_errand import DebriefErrand
from pvsim.app.session.foreseen import foreseen_in
from pvsim.array.place import Place
from pvsim.errors import ScenarioError
from pvsim.field.search import Act, Answer, Foresight, Transcript, debrief_of, do, search_case
from pvsim.field.search.debrief import Debrief, Verdict
from tests.patience import PATIENCE_s

CASE = search_case(6, 1)
ANSWER = Answer(kind="soiling", place=Place(1, 1), sure_percent=50.0)


class Turns:
    """A document whose turns come when they are asked for."""

    def __init__(self) -> None:
        self.waiting: Queue[Callable[[], None]] = Queue()

    def add_next_tick_callback(self, told: Callable[[], None]) -> None:
        self.waiting.put(told)

    def take(self) -> None:
        self.waiting.get(timeout=PATIENCE_s)()


@pytest.fixture
def turns() -> Turns:
    return Turns()


def errand(turns: Turns | None) -> Any:
    return DebriefErrand(turns)  # type: ignore[arg-type]


def transcript() -> Transcript:
    found = Transcript()
    for last in (1, 2, 3):
        found = do(CASE, found, Act(kind="read-run", place=Place(1, 1), last=last)).transcript
    return found


def parts(name: str, told: list[str], first: Event, count: int = 3) -> Iterator[str]:
    first.wait(PATIENCE_s)
    for number in range(count):
        told.append(f"{name}{number}")
        yield f"{name}{number}"


def test_sessions_take_turns(turns: Turns) -> None:
    told: list[str] = []
    over: list[Any] = []
    both = Event()
    for name in "AB":
        errand(turns)._begin(
            parts(name, told, both), lambda last, _wrong: over.append(last), lambda _part: None
        )
    both.set()
    while len(over) < 2:
        turns.take()
    assert told == ["A0", "B0", "A1", "B1", "A2", "B2"]
    assert over == ["A2", "B2"]


def test_who_gives_up_hears_nothing_and_holds_up_nobody(turns: Turns) -> None:
    told: list[str] = []
    over: list[Any] = []
    both = Event()
    gone, stays = errand(turns), errand(turns)
    for one, name in ((gone, "A"), (stays, "B")):
        one._begin(parts(name, told, both), lambda last, _wrong: over.append(last), lambda _part: None)
    gone.give_up()
    both.set()
    turns.take()
    assert over == ["B2"]
    assert len([one for one in told if one.startswith("A")]) <= 1  # the part that was begun already


def test_what_is_wrong_is_told_in_the_sessions_turn(turns: Turns) -> None:
    over: list[tuple[Any, str]] = []

    def wrong() -> Any:
        raise ScenarioError("no", expected="a yes", mend="Ask again")

    def broken() -> Any:
        raise ZeroDivisionError

    errand(turns).send(wrong, lambda *told: over.append(told))
    turns.take()
    [(found, said)] = over
    assert found is None
    assert "expected a yes" in said
    own = errand(turns)
    own.send(broken, lambda *told: over.append(told))
    with pytest.raises(ZeroDivisionError):  # for whoever keeps the server's log
        turns.take()
    found, said = over[-1]
    assert found is None
    assert own.why == "pvsim itself has an error here (ZeroDivisionError)"
    assert said.startswith(own.why)


def test_lines_are_told_while_the_rest_is_worked_out(turns: Turns, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(debrief_errand, "TELL_s", -1.0)  # each part
    heard: list[Verdict] = []
    over: list[Any] = []
    errand(turns).start(CASE, transcript(), (ANSWER,), lambda *told: over.append(told), so_far=heard.append)
    while not over:
        turns.take()
    [(found, wrong)] = over
    assert wrong == ""
    assert isinstance(found, Debrief)
    assert found == debrief_of(CASE, transcript(), ANSWER)
    assert [len(one.lines) for one in heard] == [1, 2, 3, 3]  # and the best search with the last
    for one in heard:
        assert one.lines == found.lines[: len(one.lines)]
        assert (one.faults, one.judgements, one.minutes) == (found.faults, found.judgements, found.minutes)


def test_without_a_page_it_is_done_at_once() -> None:
    over: list[Any] = []
    errand(None).start(CASE, transcript(), (ANSWER,), lambda *told: over.append(told))
    [(found, wrong)] = over
    assert (found.solved, wrong) == (False, "")


def test_all_who_search_in_one_case_share_what_is_foreseen() -> None:
    mine = foreseen_in(CASE)
    assert foreseen_in(search_case(6, 1)) is mine
    assert foreseen_in(search_case(7, 1)) is not mine
    assert foreseen_in(search_case(6, 1, "diodes")) is not mine
    first = debrief_of(CASE, transcript(), ANSWER, mine)
    solved = len(mine._would_read._solved)
    assert debrief_of(CASE, transcript(), ANSWER, foreseen_in(CASE)) == first
    assert len(mine._would_read._solved) == solved > 0, "the second of a class solves no circuit again"
    assert debrief_of(CASE, transcript(), ANSWER, Foresight(CASE)) == first


def test_what_nobody_searches_in_is_let_go() -> None:
    known = [ref(foreseen_in(search_case(seed, 1))) for seed in range(20, 24)]
    gc.collect()
    assert [one() is not None for one in known] == [False, False, True, True]
