"""Commands of measuring: what they promise where the bench changes meanwhile, and where work takes long."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from queue import Queue
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.session import errand as errands
from pvsim.app.session import field_taken
from pvsim.app.session.errand import Errand
from pvsim.app.session.field_acts import KIT, act_of
from pvsim.app.session.field_kept import MOST_KEPT, kept_text
from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit import budget
from pvsim.field.search import plant
from pvsim.field.search.act import Act
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.transcript import MAX_LINES, plant_after
from pvsim.field.trace import trace_curve
from pvsim.files import read_demo, write_scenario
from tests.patience import PATIENCE_s

SAFELY = (Act(kind="stop"), Act(kind="open-switch"), Act(kind="prove-zero"))
VOLTAGE = Act(kind="read", what="voltage", place=Place(1, 1))


def shed(strings: int = 2, modules: int = 2, kind: str = "full-36", **more: Any) -> Scenario:
    each = String(modules=(Module(kind),) * modules)
    return Scenario(title="A shed", array=Array(strings=(each,) * strings, **more))


class Document:
    """What an errand needs of a session's document: turns, taken when the test lets them be."""

    def __init__(self) -> None:
        self.turns: Queue[Callable[[], None]] = Queue()

    def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
        self.turns.put(turn)

    def take(self) -> None:
        self.turns.get(timeout=PATIENCE_s)()


@pytest.fixture
def state() -> State:
    return State(shed())


@pytest.fixture
def document() -> Document:
    return Document()


def on_a_page(scenario: Scenario, document: Document) -> State:
    state = State(scenario)
    state.errand = Errand(document)  # type: ignore[arg-type]
    return state


def kept(*acts: list[Any], level: int = 1) -> str:
    return json.dumps({"case": [7, level, ""], "acts": list(acts), "hints": []})


def test_measuring_changes_nothing_of_the_bench(state: State) -> None:
    before = state.scenario, state.solution
    for act in (VOLTAGE, *SAFELY, Act(kind="separate", place=Place(2)), Act(kind="cover", place=Place(1, 2))):
        state.measure(act)
    assert (state.scenario, state.solution) == before
    assert not state.can_undo
    assert plant_after(state.field.transcript).separated == (2,)


@pytest.mark.parametrize(
    ("acts", "then"),
    [
        pytest.param((*SAFELY, Act(kind="separate", place=Place(2))), shed(1), id="separated-string"),
        pytest.param((Act(kind="cover", place=Place(1, 2)),), shed(2, 1), id="covered-module"),
        pytest.param(
            (Act(kind="cover", place=Place(1, 1, cell=50)),), shed(2, 2, "full-36"), id="covered-cell"
        ),
    ],
)
def test_what_the_log_speaks_of_and_the_array_has_no_more_is_told_with_a_way_on(
    acts: tuple[Act, ...], then: Scenario
) -> None:
    state = State(shed(2, 2, "full-60"))
    for act in acts:
        state.measure(act)
    lines = len(state.field.transcript.lines)
    assert state.barred_from_measuring() == ""
    state.open_scenario(write_scenario(then))
    state.measure(VOLTAGE)
    assert len(state.field.transcript.lines) == lines
    assert "no longer there" in state.notice
    assert "new log" in state.notice
    state.clear_log()
    state.measure(VOLTAGE)
    assert [line.act for line in state.field.transcript.lines] == [VOLTAGE]


def test_undo_that_brings_the_part_back_lets_the_log_go_on(state: State) -> None:
    for act in (*SAFELY, Act(kind="separate", place=Place(2))):
        state.measure(act)
    state.build_array(1, 2, "full-36")
    assert state.barred_from_measuring()
    state.undo()
    assert not state.barred_from_measuring()
    state.measure(Act(kind="read", what="open-voltage", place=Place(2)))
    assert state.field.transcript.lines[-1].found


@pytest.mark.parametrize(
    "bench",
    [
        pytest.param(shed(2, 2, tracking="per-string"), id="a-tracker-for-each-string"),
        pytest.param(shed(2, 2, "bare-60"), id="no-bypass-diode"),
        pytest.param(read_demo("rope-walk"), id="surfaces"),
    ],
)
def test_every_instrument_reads_or_says_why_not(bench: Scenario) -> None:
    state = State(bench)
    state.set_focus(Place(1, 1), "module")
    names = [name for _title, names in KIT for name in names if name != "lift"]
    for act in (None, *SAFELY, Act(kind="separate", place=Place(1))):
        if act is not None:
            state.measure(act)
        for name in names:
            lines = len(state.field.transcript.lines)
            state.measure(act_of(state, name, Place(1, 1)))
            [line] = state.field.transcript.lines[lines:]
            assert line.found or line.refused or line.act.kind == "cover"
            if line.act.kind == "cover" and not line.refused:
                state.measure(Act(kind="lift"))


def test_a_search_of_before_is_done_again_beside_the_event_loop(document: Document) -> None:
    state = on_a_page(shed(), document)
    mine = state.scenario
    text = kept(["read", "1/1", "voltage", 0, 0.0], ["stop", "array", "", 0, 0.0])
    state.resume_search(text)
    assert state.field.case is None  # nothing was done in the turn of the wish
    assert state.scenario == mine
    assert state.kept_search() == text  # and nothing of it is forgotten meanwhile
    document.take()
    assert state.field.case is not None
    assert len(state.field.transcript.lines) == 2
    assert json.loads(state.kept_search())["acts"] == json.loads(text)["acts"]


def test_whoever_begins_another_search_meanwhile_has_that_one(document: Document) -> None:
    state = on_a_page(shed(), document)
    state.resume_search(kept(["stop", "", "", 0, 0]))
    state.begin_search(11, 1)
    state.resume_search(kept(["stop", "", "", 0, 0]))
    assert state.field.case is not None
    assert state.field.case.seed == 11
    assert document.turns.empty()
    assert state.field.transcript.lines == ()


def test_a_page_that_has_gone_waits_for_no_search(document: Document) -> None:
    state = on_a_page(shed(), document)
    state.resume_search(kept(["stop", "", "", 0, 0]))
    state.drop_debrief()
    assert state.kept_search() == ""
    while not document.turns.empty():
        document.take()
    assert state.field.case is None


def test_a_reading_that_takes_long_comes_later_and_the_log_stands_till_then(
    document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = on_a_page(shed(3, 3), document)
    monkeypatch.setattr(errands, "INLINE_S", 0.0)
    state.measure(VOLTAGE)
    assert state.computing
    assert state.field.transcript.lines == ()
    state.measure(VOLTAGE)  # nobody presses twice
    while state.computing:
        document.take()
    assert len(state.field.transcript.lines) == 1


def test_a_curve_whose_time_runs_out_after_its_line_was_read_comes_later_with_its_line(
    document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[int] = []

    def slow_at_first(*asked: Any, **how: Any) -> Any:
        begun.append(1)
        while len(begun) == 1:
            budget.check()
        return trace_curve(*asked, **how)

    monkeypatch.setattr(field_taken, "trace_curve", slow_at_first)
    state = on_a_page(shed(), document)
    for act in (*SAFELY, Act(kind="separate", place=Place(1)), Act(kind="trace", place=Place(1))):
        state.measure(act)
        while state.computing:
            document.take()
    line = state.field.transcript.lines[-1]
    assert line.act.kind == "trace"
    assert not line.refused
    assert state.field.curve is not None
    assert len(begun) == 2


def test_the_longest_search_that_can_be_kept_fits_what_is_read_again(state: State) -> None:
    state.begin_search(7, 5)
    act = Act(kind="read", what="open-voltage", place=Place(3, 1))
    refused = state.field.transcript
    state.measure(act)
    [line] = state.field.transcript.lines
    full = replace(state.field, transcript=replace(refused, lines=(line,) * MAX_LINES))
    assert len(kept_text(full)) < MOST_KEPT


def test_large_arrays_leave_little_of_what_was_solved_for_the_next_meter() -> None:
    """A thousand people may measure on a server; each plant of 2,500 modules would be tens of MB."""
    bench = shed(20, 50, "full-72")
    plant._KEPT.clear()
    for cell in range(1, 5):
        plant.solved(bench, Plant(cloth=Place(1, 1, cell=cell)))
    cells = sum(len(one.cells.temperature_K) for one in plant._KEPT.values())
    assert cells <= plant._MOST_CELLS
    last = plant.solved(bench, Plant(cloth=Place(1, 1, cell=4)))
    assert plant.solved(bench, Plant(cloth=Place(1, 1, cell=4))) is last
    plant._KEPT.clear()
    small = shed()
    assert plant.solved(small, AS_FOUND) is plant.solved(small, AS_FOUND)
