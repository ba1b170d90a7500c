"""Solves that take long leave the event loop; what comes back is what was wished last."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from queue import Queue
from urllib.parse import parse_qs

import pytest

from pvsim.app.session import errand as errands
from pvsim.app.session.address import address_of, open_address
from pvsim.app.session.errand import Errand
from pvsim.app.session.state import State
from pvsim.app.shell.status import StatusView
from pvsim.array import Place, Scenario, Shadow, add_shadow, painted_transmission, set_weather
from pvsim.array.solve import solve_array
from tests.array.samples import faulty, scenario
from tests.loop import run_async

PATIENCE_S = 600.0  # of computing beside the rest of a run
FIRST, SECOND = Place(1, 1, cell=3), Place(1, 1, cell=9)


class Document:
    """What an errand needs of a session's document: turns, taken when the test lets them be."""

    def __init__(self) -> None:
        self.turns: Queue[Callable[[], None]] = Queue()

    def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
        self.turns.put(turn)


@pytest.fixture
def document() -> Document:
    return Document()


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every solve takes long."""
    monkeypatch.setattr(errands, "INLINE_S", 0.0)


@pytest.fixture
def state(document: Document) -> State:
    state = State(scenario(2))
    state.errand = Errand(document)  # type: ignore[arg-type]
    return state


def arrive(state: State, document: Document) -> None:
    """Take turns until nothing is worked out any more."""
    while state.computing:
        document.turns.get(timeout=PATIENCE_S)()


def shade_of(state: State, place: Place) -> float:
    return painted_transmission(state.scenario, place)


def test_a_usual_change_is_there_at_once(state: State) -> None:
    state.paint([FIRST], 0.5)
    assert not state.computing
    assert shade_of(state, FIRST) == 0.5


@pytest.mark.usefixtures("slow")
def test_a_change_that_takes_long_comes_later_and_can_be_undone(state: State, document: Document) -> None:
    before = state.scenario, state.solution
    state.paint([FIRST], 0.5)
    assert state.computing
    assert (state.scenario, state.solution) == before
    arrive(state, document)
    assert shade_of(state, FIRST) == 0.5
    assert state.solution.power_W == solve_array(state.scenario).power_W
    assert "shaded to 50" in state.said
    state.undo()
    arrive(state, document)
    assert state.scenario == before[0]


@pytest.mark.usefixtures("slow")
def test_a_change_to_what_is_still_worked_out_builds_on_it_and_the_last_is_shown(
    state: State, document: Document
) -> None:
    shown: list[Scenario] = []
    first = state.scenario
    state.param.watch(lambda event: shown.append(event.new), "scenario")
    state.paint([FIRST], 0.5)
    state.paint([SECOND], 0.2)
    arrive(state, document)
    assert [shade_of(state, FIRST), shade_of(state, SECOND)] == [0.5, 0.2]
    assert shown == [state.scenario]  # nothing half-way
    state.undo()
    arrive(state, document)
    assert state.scenario == first


@pytest.mark.usefixtures("slow")
def test_a_stroke_is_one_step_however_long_its_solves_take(state: State, document: Document) -> None:
    first = state.scenario
    state.begin_stroke()
    state.paint([FIRST], 0.5)
    arrive(state, document)
    state.paint([SECOND], 0.5)
    state.paint([Place(1, 2, cell=1)], 0.5)
    state.end_stroke()
    arrive(state, document)
    assert shade_of(state, SECOND) == 0.5
    state.undo()
    arrive(state, document)
    assert state.scenario == first
    assert not state.can_undo


@pytest.mark.usefixtures("slow")
def test_undo_lets_go_of_what_is_still_worked_out(state: State, document: Document) -> None:
    first = state.scenario
    state.paint([FIRST], 0.5)
    assert state.can_undo
    state.undo()
    assert not state.computing
    assert state.scenario == first
    assert not state.can_undo
    while not document.turns.empty():  # what came in spite of it changes nothing
        document.turns.get()()
    assert state.scenario == first


@pytest.mark.usefixtures("slow")
def test_what_is_not_solved_in_its_time_is_refused_as_usual(
    state: State, document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(errands, "LONGEST_S", 0.0)
    first = state.scenario
    state.paint([FIRST], 0.5)
    arrive(state, document)
    assert state.notice.startswith("What was asked for is not solved after 0 s; expected")
    assert state.scenario == first
    assert not state.can_undo


@pytest.mark.usefixtures("slow")
def test_a_wrong_wish_is_refused_and_the_one_before_it_still_comes(state: State, document: Document) -> None:
    state.paint([FIRST], 0.5)
    state.break_part(Place(1, 1), "no-such-kind")
    assert "no-such-kind" in state.notice
    arrive(state, document)
    assert shade_of(state, FIRST) == 0.5


@pytest.mark.usefixtures("slow")
def test_an_address_is_looked_at_as_it_says_once_its_array_has_come(document: Document) -> None:
    sender = State(scenario(3))
    sender.paint([FIRST], 0.4)
    sender.keep_before()
    sender.paint([SECOND], 0.4)
    sender.set_level("string")
    sender.set_view("table")
    sent = parse_qs(address_of(sender))
    query = {key: [value.encode() for value in values] for key, values in sent.items()}
    state = State(scenario(2))
    state.errand = Errand(document)  # type: ignore[arg-type]
    open_address(state, query)
    assert state.computing
    arrive(state, document)
    assert state.scenario.array == sender.scenario.array
    assert (state.level, state.view, state.comparison) == ("string", "table", "kept")
    assert state.before is not None
    assert state.before_scenario == sender.before_scenario


@pytest.mark.usefixtures("slow")
def test_the_page_says_that_it_computes(state: State, document: Document) -> None:
    line = StatusView(state).root
    state.paint([FIRST], 0.5)
    assert line.said == "This takes a few seconds to work out …"
    arrive(state, document)
    assert line.said == state.said


def test_after_a_solve_that_took_long_the_next_goes_straight_to_a_thread_until_one_is_short(
    state: State, document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(errands, "INLINE_S", 0.0)
    state.paint([FIRST], 0.5)
    monkeypatch.setattr(errands, "INLINE_S", 1e9)
    state.paint([SECOND], 0.5)
    assert state.computing
    arrive(state, document)
    state.paint([FIRST], 0.1)
    assert not state.computing


def test_the_event_loop_turns_while_a_long_solve_is_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    start = faulty(scenario(8, 8, grounded="negative"), ("earth-fault", "1/2", 5.0), ("earth-fault", "2/4"))
    pole = Shadow(kind="pole", x_m=2.0, y_m=3.0, width_m=0.12, height_m=30.0, angle_deg=15.0)
    heavy = add_shadow(set_weather(start, heat="feedback"), pole)
    state = State(scenario(2))

    async def work() -> int:
        loop, turns = asyncio.get_running_loop(), 0

        class Live:
            def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
                loop.call_soon_threadsafe(turn)

        state.errand = Errand(Live())  # type: ignore[arg-type]
        monkeypatch.setattr(errands, "INLINE_S", 0.0)
        state.replace(heavy, fresh=True)
        while state.computing:
            await asyncio.sleep(0.001)
            turns += 1
        return turns

    turns = run_async(asyncio.wait_for(work(), PATIENCE_S))
    assert state.scenario == heavy
    # Threads take turns every five milliseconds, and this takes hundreds of them.
    assert turns > 15
