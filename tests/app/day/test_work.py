"""A day beside the event loop: drawn while it comes, given up, and never in the loop's way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from queue import Queue
from threading import Event, get_ident
from typing import Any

import numpy as np
import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.day import work
from pvsim.app.day.view import DayView
from pvsim.app.day.work import DayPlay, DayWork
from pvsim.app.session import errand as errands
from pvsim.app.session.errand import Errand
from pvsim.app.session.state import State
from pvsim.array import add_fault
from pvsim.array.day import Day
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.rewire import on_surfaces
from pvsim.array.scenario import Scenario
from pvsim.circuit.budget import Budget
from pvsim.day import day_energy
from pvsim.files import read_demo
from pvsim.sky.site import Site
from pvsim.sky.solid import Pole
from tests.app.wishes import say

PATIENCE_S = 600.0
STEP_min = 60.0


class Document:
    """What a session's document does here: turns, taken when the test lets them be."""

    session_context = object()

    def __init__(self) -> None:
        self.turns: Queue[Callable[[], None]] = Queue()
        self.destroyed: list[Callable[[object], None]] = []

    def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
        self.turns.put(turn)

    def on_session_destroyed(self, call: Callable[[object], None]) -> None:
        self.destroyed.append(call)

    def turn(self) -> None:
        self.turns.get(timeout=PATIENCE_S)()


@pytest.fixture(autouse=True)
def hourly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "STEPS_min", (STEP_min,))
    monkeypatch.setattr(work, "EVERY_S", -1.0)  # told after every time, as on a slow machine


@pytest.fixture
def scenario() -> Scenario:
    """Shaded and broken, so that all three films differ."""
    pole = Pole(x_m=4.0, y_m=-5.0, radius_m=0.3, height_m=8.0)
    site = Site(latitude_deg=54.0, longitude_deg=15.0, utc_offset_h=1.0)
    start = on_surfaces(read_demo("workshop"))
    broken = add_fault(start, Fault("cell-open", Place(1, 1, cell=1)))
    return replace(broken, day=Day(site=site, date=date(2026, 6, 21), solids=(pole,)))


def test_what_is_known_grows_time_by_time_and_ends_with_all(scenario: Scenario) -> None:
    play = DayPlay(scenario)
    seen: list[tuple[float, int]] = []

    def told() -> None:
        seen.append((play.share, int(np.isfinite(play.watts["power"]).sum())))

    play.work(Budget(PATIENCE_S), told)
    shares = [share for share, _known in seen]
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    assert {known for _share, known in seen} == {*range(len(play.energy.hour) + 1)}
    found = day_energy(scenario, step_min=STEP_min)
    solved_again = 1e-8  # what was solved before sets where a solution begins
    assert play.energy.power_kWh == pytest.approx(found.power_kWh, rel=solved_again)
    for name in ("power", "shaded", "open", "followed"):
        assert play.watts[name] == pytest.approx(getattr(found, f"{name}_W"), rel=solved_again)


def test_it_is_worked_out_in_another_thread_and_told_in_the_pages_turn(scenario: Scenario) -> None:
    document, here = Document(), get_ident()
    told: list[tuple[int, float]] = []
    days = DayWork(document, lambda: told.append((get_ident(), days.now.share)))  # type: ignore[arg-type]
    days.start(scenario)
    assert told == [], "whoever starts it does not wait"
    while days.now.running:
        document.turn()
    assert {thread for thread, _share in told} == {here}
    shares = [share for _thread, share in told]
    assert shares == sorted(shares)
    assert shares[0] < 1.0


def test_what_is_given_up_is_told_no_more_and_what_comes_next_is(scenario: Scenario) -> None:
    document = Document()
    told: list[DayPlay | None] = []
    days = DayWork(document, lambda: told.append(days.now))  # type: ignore[arg-type]
    days.start(scenario)
    document.turn()
    first = days.now
    days.forget()
    count = len(told)
    days.start(replace(scenario, faults=()))
    second = days.now
    while second.running:
        document.turn()
    assert first.running, "it was left where it was"
    assert {*told[count:]} == {second}


def test_a_day_that_fails_is_told_as_well(scenario: Scenario) -> None:
    document = Document()
    days = DayWork(document, lambda: None)  # type: ignore[arg-type]
    site = replace(scenario.day.site, latitude_deg=89.0)
    days.start(replace(scenario, day=replace(scenario.day, site=site, date=date(2026, 12, 21))))
    while days.now.running:
        document.turn()
    assert "does not rise" in str(days.now.error)


def opened(scenario: Scenario, document: Document) -> tuple[State, DayView]:
    state = State(scenario)
    state.errand = Errand(document)  # type: ignore[arg-type]
    state.open_day()
    return state, DayView(state)


def finish(view: DayView, document: Document) -> None:
    while view.root.now.values["stage"] == "computing":
        document.turn()


def test_the_film_can_be_shown_while_the_day_still_comes(
    scenario: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = Event()

    as_ever = work.play

    def play_once_seen(*args: Any, **options: Any) -> Any:
        assert seen.wait(PATIENCE_S)
        return as_ever(*args, **options)

    monkeypatch.setattr("pvsim.app.day.work.play", play_once_seen)
    document = Document()
    state, view = opened(scenario, document)
    say(view.root, "compute")
    while not view.root.lines.values:
        document.turn()
    say(view.root, "moment", 9)
    assert view.root.now.values["stage"] == "computing"
    assert view.root.now.values["at"] == 9
    seen.set()
    finish(view, document)
    assert view.root.now.values["at"] == 9
    powers = view.root.lines.values["powers"]["power"]
    assert state.shown_solution.power_W == pytest.approx(powers[9], abs=0.01)
    view.close()


def test_a_moment_that_takes_long_comes_later_and_of_several_the_last(
    scenario: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = Document()
    state, view = opened(scenario, document)
    say(view.root, "compute")
    finish(view, document)
    monkeypatch.setattr(errands, "INLINE_S", 0.0)
    for at in (4, 5, 6):
        say(view.root, "moment", at)
    assert state.moment is None, "nobody waits for it"
    shown = []
    while state.moment is None or state.moment.at != 6:
        document.turn()
        if state.moment is not None:
            shown.append(state.moment.at)
    assert 5 not in shown
    view.close()


def test_a_page_that_goes_away_lets_go_of_its_day(scenario: Scenario) -> None:
    document = Document()
    _state, view = opened(scenario, document)
    say(view.root, "compute")
    document.turn()
    for call in document.destroyed:
        call(None)
    assert view._work.now is None


def test_a_strip_that_is_closed_works_no_further(scenario: Scenario) -> None:
    document = Document()
    state, view = opened(scenario, document)
    say(view.root, "compute")
    document.turn()
    say(view.root, "close")
    assert view._work.now is None
    state.open_day()
    assert view.root.now.values["stage"] == "none"
    view.close()
