"""A search at the field desk without a browser: begun, worked at, answered; what the browser never hears."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.debrief_rows import debrief_values
from pvsim.app.field.view import FieldView
from pvsim.app.lecture.view import LectureView
from pvsim.app.lesson.view import LessonView
from pvsim.app.page import VIEWS
from pvsim.app.roof.view import RoofView
from pvsim.app.session import debrief_errand
from pvsim.app.session.address import page_address
from pvsim.app.session.field_work import FieldWork
from pvsim.app.session.state import State
from pvsim.array.fault import Fault
from pvsim.array.place import Place, level_of
from pvsim.errors import PvsimError
from pvsim.field.search.case import SearchCase, search_case
from pvsim.field.search.debrief import Debrief, Verdict, verdict_of
from pvsim.field.search.family import answer_of
from pvsim.files import read_demo, write_scenario
from tests.app.told import told
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    state = State(read_demo("workshop"))
    state.open_field(tab="search")
    return state


@pytest.fixture
def view(state: State) -> Iterator[FieldView]:
    view = FieldView(state)
    yield view
    view.close()


def begin(view: FieldView, seed: int = 4711, level: int = 3, family: str = "") -> None:
    say(view.root, "begin", {"seed": str(seed), "level": str(level), "family": family})


def search(view: FieldView) -> dict[str, Any]:
    found: dict[str, Any] = view.root.now.values["search"]
    return found


def answer(view: FieldView, kind: str, place: Place) -> None:
    state = view._state
    state.set_focus(place, "array")
    say(view.root, "answer", {"kind": kind, "sure": 80})


def test_a_search_has_its_array_on_the_bench_and_gives_back_what_was_there(
    state: State, view: FieldView
) -> None:
    mine = state.scenario
    begin(view)
    case = search_case(4711, 3)
    assert state.scenario.array == case.sound.array
    assert state.scenario.faults == ()
    assert state.scenario.scatter is None
    assert search(view)["title"] == "Search 4711, level 3"
    say(view.root, "leave")
    assert state.scenario == mine
    assert search(view) == {}


def test_meters_are_put_on_the_array_with_its_fault(state: State, view: FieldView) -> None:
    begin(view)
    case = search_case(4711, 3)
    state.set_focus(case.faults[0].place, "array")
    at = Place(case.faults[0].place.string, case.faults[0].place.module)
    if at.module is not None:
        say(view.root, "put", "module")
    say(view.root, "act", {"name": "read:voltage"})
    [line] = state.field.transcript.lines
    assert line.act.place in (at, Place(at.string))
    assert line.found


def told_at_first(case: SearchCase) -> str:
    """All that goes to the browser of a page on which a search has begun."""
    state = State(read_demo("workshop"))
    state._lend_array(FieldWork(case=case), "as it should be")
    with_course = (LessonView, LectureView)
    views = [view(state) for view in VIEWS.values() if view not in with_course] + [FieldView(state)]
    return told(*views)


def test_what_the_browser_hears_does_not_depend_on_the_fault_until_the_end() -> None:
    case = search_case(4711, 3)
    other = replace(case, faults=(Fault("module-reversed", Place(2, 4)),))
    assert case.faults != other.faults
    told_at_first(case)  # tables that a process makes once move a point's last digit, whatever is hidden
    first = told_at_first(case)
    assert first == told_at_first(other)
    assert case.sound.scatter is not None
    assert str(case.sound.scatter.seed) not in first
    assert "Search 4711, level 3" in first


def test_a_link_and_a_file_do_not_depend_on_the_fault(state: State, view: FieldView) -> None:
    told = []
    for family in ("cells", "diodes"):
        say(view.root, "leave")
        begin(view, family=family)
        told.append((write_scenario(state.scenario_as_shown()), page_address(state)[0]))
    assert told[0] == told[1]
    assert search_case(4711, 3, "cells").faults[0].kind not in told[0][0]


def test_an_answer_is_as_fine_as_its_kind_is_asked_for(state: State, view: FieldView) -> None:
    begin(view)
    state.set_focus(Place(2, 3, cell=5), "array")
    kinds = {kind: place for _family, kinds in search(view)["kinds"] for kind, _title, place in kinds}
    assert kinds["soiling"] == "string 2, module 3"
    assert kinds["cable-open"] == "string 2"
    assert "substring" in kinds["diode-short"]
    state.set_focus(Place(), "array")
    kinds = {kind: place for _family, kinds in search(view)["kinds"] for kind, _title, place in kinds}
    assert set(kinds.values()) == {""}  # nothing is pointed at yet


@pytest.mark.parametrize("right", [True, False])
def test_an_answer_ends_the_search_and_is_judged(state: State, view: FieldView, right: bool) -> None:
    begin(view)
    case = search_case(4711, 3)
    mine = answer_of(case.faults[0].kind)
    others = [kind for _family, kinds in search(view)["kinds"] for kind, *_more in kinds if kind != mine]
    kind = mine if right else others[0]
    say(view.root, "reveal")
    assert state.scenario.faults == ()  # not before the answer
    answer(view, kind, case.faults[0].place)
    assert search(view)["over"]
    assert state.field.debrief is not None
    assert state.field.debrief.solved == right
    told = view.root.debrief.values
    assert told["solved"] == right
    assert told["best"]
    assert told["head"] == ("Found." if right else "Not found this time.")
    lines = len(state.field.transcript.lines)
    say(view.root, "act", {"name": "read:power"})
    assert len(state.field.transcript.lines) == lines
    say(view.root, "reveal")
    assert state.scenario.faults == case.faults


@pytest.mark.parametrize(
    ("seed", "told"), [("-1", "0"), ("many", "many"), ("1.5", "whole"), ("99999999999999999999", "")]
)
def test_a_number_that_hides_nothing_is_told_at_its_field(
    state: State, view: FieldView, seed: str, told: str
) -> None:
    mine = state.scenario
    say(view.root, "begin", {"seed": seed, "level": "1", "family": ""})
    assert told in view.root.wrong["seed"]
    assert state.scenario == mine
    begin(view, 1, 1)
    assert view.root.wrong == {}


def test_a_level_or_family_that_is_not_there_is_told(state: State, view: FieldView) -> None:
    begin(view, level=99)
    assert state.notice
    assert state.field.case is None
    begin(view, level=1, family="nothing")
    assert state.field.case is None


def test_another_array_on_the_bench_is_told_and_put_right(state: State, view: FieldView) -> None:
    begin(view)
    assert search(view)["on_bench"]
    state.undo()
    assert not search(view)["on_bench"]
    say(view.root, "again")
    assert search(view)["on_bench"]


def test_the_line_under_the_drawing_says_whose_figures_it_has(state: State, view: FieldView) -> None:
    roof = RoofView(state)

    def readout() -> str:
        return str(roof.root.now.values["readout"])

    begin(view, 6, 1)
    case = state.field.case
    assert case is not None
    assert readout().startswith("as it should be: ")
    state.paint([Place(1, 1)], 0.2)
    assert readout().startswith("as you changed it here: ")
    state.undo()
    answer(view, answer_of(case.faults[0].kind), case.faults[0].place)
    assert state.field.over
    assert readout().startswith("as it should be: "), "the fault is not drawn yet"
    say(view.root, "reveal")
    assert ": " not in readout(), "the array as it is"


def debriefed_of_a_current(state: State, view: FieldView) -> Debrief:
    """The debrief of a search in which one current was read and the right fault named."""
    begin(view, 6, 1)
    case = state.field.case
    assert case is not None
    say(view.root, "act", {"name": "read:current"})
    answer(view, answer_of(case.faults[0].kind), case.faults[0].place)
    debrief = state.field.debrief
    assert debrief is not None
    return debrief


def test_a_better_reading_is_named_only_where_the_figures_beside_it_differ(
    state: State, view: FieldView
) -> None:
    debrief = debriefed_of_a_current(state, view)
    assert debrief.lines[0].better is not None
    for mine, better, says in ((0.001, 0.004, ""), (0.0, 0.4, "0.40"), (0.3, 0.4, "0.40")):
        line = replace(debrief.lines[0], rate_bit_min=mine, better_rate_bit_min=better)
        told = debrief_values(replace(state.field, debrief=replace(debrief, lines=(line,))))
        [shown] = told["lines"]
        assert says in shown["better"]
        assert bool(shown["better"]) == bool(says)


def test_what_is_known_of_a_debrief_is_told_before_the_rest(state: State, view: FieldView) -> None:
    begin(view, 6, 1)
    case = state.field.case
    assert case is not None
    for name in ("read:voltage", "read:current"):
        say(view.root, "act", {"name": name})
    answer(view, answer_of(case.faults[0].kind), case.faults[0].place)
    whole = view.root.debrief.values
    assert not whole["working"]
    debrief = state.field.debrief
    assert debrief is not None
    verdict = verdict_of(case, state.field.transcript, state.field.answers)
    first = replace(verdict, lines=debrief.lines[:1])
    for part, lines in ((verdict, []), (first, whole["lines"][:1])):
        told = debrief_values(replace(state.field, debrief=None, so_far=part))
        assert told["working"]
        assert (told["head"], told["solved"]) == (whole["head"], whole["solved"])
        assert told["lines"] == lines
        assert told["best"] == []
        labels = [label for label, _text in told["rows"]]
        assert "What was hidden" in labels
        assert "Score" not in labels  # it asks what the best search needs


@pytest.mark.parametrize("own", [False, True])
def test_a_debrief_that_fails_says_so_and_keeps_the_answer(
    state: State, view: FieldView, monkeypatch: pytest.MonkeyPatch, own: bool
) -> None:
    """By any failing work, and by an error of pvsim's own; then it is worked out after all."""
    begin(view, 6, 1)
    case = state.field.case
    assert case is not None

    def fails(*_args: Any) -> Iterator[Verdict]:
        raise PvsimError(
            "pvsim itself has an error here" if own else "no solve was reached in 600 s",
            expected="a solve",
            mend="Wait",
        )
        yield

    monkeypatch.setattr(debrief_errand, "debriefing", fails)
    answer(view, answer_of(case.faults[0].kind), case.faults[0].place)
    told = view.root.debrief.values
    assert not told["working"]
    assert told["failed"].count(".") == 1
    assert "pvsim itself" in told["failed"] if own else "600 s" in told["failed"]
    assert "answer is kept" in told["failed"]
    assert told["solved"]
    assert search(view)["over"]
    assert state.pasts == ()
    monkeypatch.undo()
    say(view.root, "debrief")
    told = view.root.debrief.values
    assert (told["failed"], told["working"], told["solved"]) == ("", False, True)
    assert told["best"]
    assert len(state.pasts) == 1


def test_a_reading_that_nothing_explains_is_told_in_words(state: State, view: FieldView) -> None:
    debrief = debriefed_of_a_current(state, view)
    for gained, says in ((0.0, "told nothing"), (1.25, "told 1.25")):
        line = replace(debrief.lines[0], gained_bit=gained, unexplained=0.9)
        told = debrief_values(replace(state.field, debrief=replace(debrief, lines=(line,))))
        [shown] = told["lines"]
        assert says in shown["told"]
        assert "nothing that may be hidden here explains" in shown["told"]
        assert "0.00" not in shown["told"].partition(";")[0]


def test_a_lesson_keeps_its_bench(state: State, view: FieldView) -> None:
    state.lesson = "four-deaths"
    begin(view)
    assert state.field.case is None
    assert "lesson" in state.notice


def test_a_place_of_a_search_is_the_part_pointed_at(state: State, view: FieldView) -> None:
    begin(view)
    state.set_focus(Place(1, 2), "array")
    assert view.root.now.values["level"] == "module"
    say(view.root, "put", "array")
    assert view.root.now.values["place"] == "the whole array"
    state.set_focus(Place(1, 3), "array")
    assert level_of(Place(1, 3)) == view.root.now.values["level"]  # meters come along to another part


def test_a_search_is_gone_on_with_by_a_page_loaded_anew(state: State, view: FieldView) -> None:
    begin(view)
    state.set_focus(Place(1, 2), "array")
    say(view.root, "range", {"meter": "voltmeter", "most": "6"})
    for name in ("read:voltage", "stop", "open-switch", "separate", "hint"):
        say(view.root, "act" if name != "hint" else "hint", {"name": name})
    kept = view.root.now.values["kept"]
    again = State(read_demo("workshop"))
    again.resume_search(kept)
    assert again.field_open
    assert again.field == state.field
    assert again.field.ranges == (("voltmeter", 6.0),)
    assert again.field.transcript.lines[0].found[0].reading.over_range
    assert again.scenario == state.scenario
    case = state.field.case
    assert case is not None
    for secret in (case.faults[0].kind, str(case.sound.scatter.seed if case.sound.scatter else "")):
        assert secret not in kept
    say(view.root, "leave")
    assert view.root.now.values["kept"] == ""


def test_the_first_of_two_answers_outlives_a_page_loaded_anew(state: State, view: FieldView) -> None:
    begin(view, 42, 6)
    answer(view, "soiling", Place(1, 2, cell=5))
    [given] = state.field.answers
    again = State(read_demo("workshop"))
    again.resume_search(view.root.now.values["kept"])
    assert again.field.answers == (given,)
    assert not again.field.over
    seen = FieldView(again)
    assert search(seen)["noted"] == search(view)["noted"] != ""
    seen.close()


@pytest.mark.parametrize(
    "kept",
    [
        "",
        "[]",
        "{",
        '{"case":[1,1,""],"acts":[],"hints":7}',
        '{"case":[1,99,""],"acts":[],"hints":[]}',
        '{"case":[1,1,""],"acts":[["fly","","",0,0]],"hints":[]}',
        '{"case":[1,1,""],"acts":[["read","9/9","voltage",0,0]],"hints":[]}',
        '{"case":[1,1,""],"acts":[["cover","1/1","",0,NaN]],"hints":[]}',
        '{"case":[1,1,""],"acts":[["stop","","",0,0]' + ',["hint","","",0,0]' * 600 + '],"hints":[]}',
        "[" * 100_000,
        '{"case":[1,1,""],"acts":[["read","1/1","voltage",0,0,7]],"hints":[]}',
        '{"case":[1,1,""],"acts":[["stop","","",0,0,6]],"hints":[]}',
        '{"case":[1,1,""],"acts":[],"hints":[],"ranges":{"voltmeter":7}}',
        '{"case":[1,1,""],"acts":[],"hints":[],"ranges":[]}',
        '{"case":[NaN,1,""],"acts":[],"hints":[]}',
        '{"case":[1,6,""],"acts":[],"hints":[],"answers":[["soiling","1/1"]]}',
        '{"case":[1,6,""],"acts":[],"hints":[],"answers":[["witchcraft","1/1",80]]}',
        '{"case":[1,6,""],"acts":[],"hints":[],"answers":[["soiling","9/9",80]]}',
        '{"case":[1,6,""],"acts":[],"hints":[],"answers":[["soiling","1/1",NaN]]}',
        '{"case":[1,1,""],"acts":[],"hints":[],"answers":[["soiling","1/1",80]]}',
    ],
)
def test_what_was_kept_and_spoilt_is_refused_in_one_sentence(kept: str) -> None:
    state = State(read_demo("workshop"))
    mine = state.scenario
    state.resume_search(kept)
    assert state.notice
    assert "\n" not in state.notice
    assert state.field.case is None
    assert state.scenario == mine


def test_what_was_practised_says_what_comes_next_and_is_kept(state: State, view: FieldView) -> None:
    assert view.root.now.values["practice"]["level"] == "1"
    assert view.root.now.values["pasts"] == ""
    first = view.root.now.values["practice"]["family"]
    assert first  # one family by itself first
    begin(view, 1, 1, first)
    case = state.field.case
    assert case is not None
    answer(view, answer_of(case.faults[0].kind), case.faults[0].place)
    say(view.root, "leave")
    kept = view.root.now.values["pasts"]
    assert kept
    assert view.root.now.values["practice"]["family"] != first  # found at once: its block is over
    other = State(read_demo("workshop"))
    other.take_pasts(kept)
    assert other.pasts == state.pasts


@pytest.mark.parametrize(
    "kept", ["", "[", "[[1]]", '[[99,"",1,true,1,1]]', '[[1,"",NaN,true,1,1]]', "[" * 90_000]
)
def test_a_spoilt_memory_of_practice_is_as_if_there_were_none(kept: str) -> None:
    state = State(read_demo("workshop"))
    state.take_pasts(kept)
    assert state.pasts == ()
