"""The data sheet's dialog from the server's side: what is answered, and what goes on the roof."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import Any

import pytest

from pvsim.app.page import GUESTS
from pvsim.app.session.state import State
from pvsim.app.sheet.form import typed_values
from pvsim.app.sheet.outcome import QUESTIONS, outcome_of
from pvsim.app.sheet.view import SheetView
from pvsim.app.shell.frame import FrameView
from pvsim.array.array import Array, Module, String
from pvsim.array.scenario import Scenario
from pvsim.sheet import (
    all_findings,
    module_from_sheet,
    own_sheets,
    read_own_sheet,
    read_sheet,
    sentence,
    write_sheet,
)
from pvsim.words import speaking
from tests.app.wishes import message
from tests.patience import PATIENCE_s

SLIPWAY = read_own_sheet("slipway-halves")


@pytest.fixture
def state() -> State:
    return State(Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-60"),) * 3),))))


@pytest.fixture
def view(state: State) -> SheetView:
    return SheetView(state)


def fields(name: str = "slipway-halves", **changes: str) -> dict[str, str]:
    return typed_values(read_own_sheet(name)) | changes


def types(state: State) -> set[str]:
    return {module.type for string in state.scenario.array.strings for module in string.modules}


def plain(value: Any) -> bool:
    """Whether a browser can be sent it as it stands."""
    if isinstance(value, dict):
        return all(isinstance(key, str) for key in value) and all(map(plain, value.values()))
    if isinstance(value, list | tuple):
        return all(map(plain, value))
    return value is None or type(value) in (str, int, float, bool)


def ask(view: SheetView, act: str, value: Any = None) -> dict[str, Any]:
    return view.obey({"act": act, "value": value}) or {}


def test_a_page_that_does_not_open_it_has_nothing_of_it() -> None:
    code = (
        "import sys; from pvsim.app.page import create_page; from pvsim.files.demo import read_demo\n"
        "create_page(read_demo('single-cell'))\n"
        "assert {'pvsim.app.sheet.view', 'pvsim.app.traced.view'} <= {*sys.modules}\n"
        "assert not any(name.startswith(('pvsim.sheet', 'pvsim.traced')) for name in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )
    assert done.returncode == 0, done.stderr


def test_the_frame_hands_wishes_on_and_tells_what_comes_back(state: State) -> None:
    frame = FrameView(state, {name: guest(state).obey for name, guest in GUESTS.items()})
    told: list[dict[str, Any]] = []
    frame.root.tell = told.append
    frame.root._handle_msg(message("sheet", {"act": "example", "value": "slipway-halves"}, number=3))
    assert told == [{"sheet": {"values": fields()}}, {"answered": 3}]


def test_opening_brings_all_it_is_built_from_and_again_only_what_may_have_changed(view: SheetView) -> None:
    first = ask(view, "open", False)
    assert {"style", "words", "form", "values", "most"} == {*first["dialog"]}
    assert [name for name, _title in first["dialog"]["form"]["examples"]] == list(own_sheets())
    assert first["use"]["strings"] == "1"
    assert first["use"]["modules"] == "3"
    assert plain(first)
    assert {*ask(view, "open", True)} == {"use"}


@pytest.mark.parametrize("name", own_sheets())
@pytest.mark.parametrize("language", ["en", "de"])
def test_every_finding_is_told_in_one_step_in_order(name: str, language: str) -> None:
    file = read_own_sheet(name)
    with speaking(language):
        steps, made, refusal = outcome_of(file)
        assert refusal is None
        assert made is not None
        told = [one["text"] for step in steps for one in step["findings"]]
        assert sorted(told) == sorted(map(sentence, all_findings(made)))
        assert [step["id"] for step in steps] == [one for one, _question, _about in QUESTIONS]
        assert plain(steps)


def test_a_sheet_that_is_worked_out_has_scales_ways_and_tables(view: SheetView) -> None:
    answer = ask(view, "work", fields())
    steps = {one["id"]: one for one in answer["outcome"]["steps"]}
    assert answer["problems"] == []
    assert answer["outcome"]["module"] == "Slipway 415, two halves"
    assert [one["read"] for one in steps["voltage"]["scale"]["marks"]] == ["0.346\u00a0V"]
    assert steps["voltage"]["scale"]["bands"] == []  # that would answer the next question
    low, high = ((one["from"], one["to"]) for one in steps["series"]["scale"]["bands"])
    assert (low, high) == ((0.27, 0.38), (0.55, 0.76))
    ways = {one["name"]: one for one in steps["columns"]["ways"]["ways"]}
    assert steps["columns"]["ways"]["chosen"] == "halves"
    assert [name for name, one in ways.items() if one["good"]] == ["halves"]
    assert all(len(one["shape"]["cells"]) == 4 * 108 for one in ways.values())
    parameters = steps["cell"]["table"]
    assert [parameters["rows"][k][0] for k in parameters["marked"]] == ["Rsh", "a", "Vbr", "m"]
    assert "assumed" in parameters["rows"][4]
    residuals = {row[0]: row[1:] for row in steps["module"]["table"]["rows"]}
    assert residuals["Voc, V"] == ["37.40", "37.400", "0", "0"]
    assert "not fitted" in [*residuals][-1]
    assert [one["kind"] for one in steps["shaded"]["scale"]["marks"]] == ["found", "found", "assumed"]
    assert "burn" in steps["shaded"]["caution"]


def test_a_residual_that_is_there_is_shown() -> None:
    file = read_own_sheet("boathouse-whole-cells")
    steps, made, _refusal = outcome_of(file)
    assert made is not None
    gamma = next(one for one in made.reproduced if one.name == "gamma")
    row = next(step for step in steps if step["id"] == "module")["table"]["rows"][-1]
    assert float(row[4].replace("−", "-")) == pytest.approx(100 * (gamma.found / gamma.given - 1), abs=1e-3)


def test_where_no_way_fits_the_reasoning_is_shown_as_far_as_it_goes(view: SheetView) -> None:
    answer = ask(view, "work", fields(cells="72", rows="12", voc_V="30", vmp_V="24"))
    assert [one["id"] for one in answer["outcome"]["steps"]] == ["voltage", "series"]
    assert answer["outcome"]["module"] == ""
    (problem,) = answer["problems"]
    assert problem["field"] == "cells"
    assert problem["beside"] == ["voc_V"]


def test_where_no_cell_can_be_fitted_the_joining_is_shown_and_the_mend_told(view: SheetView) -> None:
    wrong = {"imp_A": "8.4", "vmp_V": "32.5", "shunt": "high", "shunt_ohm_cm2": "100000"}
    answer = ask(view, "work", fields("boathouse-whole-cells", **wrong))
    assert [one["id"] for one in answer["outcome"]["steps"]][-1] == "kind"
    assert [one["field"] for one in answer["problems"]] == ["shunt"]
    assert "Ω cm² would do" in answer["problems"][0]["text"]
    used = ask(view, "use", {"fields": fields("boathouse-whole-cells", **wrong), "array": "now"})
    assert used == {"problems": answer["problems"]}


@pytest.mark.parametrize(
    "counts",
    [
        {"cells": "40", "rows": "8", "columns": "5", "bypass_diodes": "0"},
        {"cells": "36", "rows": "9", "columns": "4", "bypass_diodes": "2"},
        {"cells": "36", "rows": "1", "columns": "36", "bypass_diodes": "18"},
        {"cells": "4", "rows": "2", "columns": "2", "bypass_diodes": "1"},
        {"cells": "1", "rows": "1", "columns": "1", "bypass_diodes": "0"},
    ],
)
def test_modules_of_any_shape_are_reasoned_through_and_drawn(view: SheetView, counts: dict[str, str]) -> None:
    cells = int(counts["cells"])
    points = {
        "voc_V": f"{0.635 * cells:.4g}",
        "vmp_V": f"{0.515 * cells:.4g}",
        "beta": "-0.32",
        "beta_unit": "%/K",
    }
    answer = ask(view, "work", fields("boathouse-whole-cells", **counts, **points))
    steps = {one["id"]: one for one in answer["outcome"]["steps"]}
    assert answer["problems"] == []
    assert len(steps) == len(QUESTIONS)
    for way in steps["columns"]["ways"]["ways"]:
        assert len(way["shape"]["cells"]) == 4 * cells
        assert len(way["shape"]["substrings"]) == max(int(counts["bypass_diodes"]), 1)


def test_slips_are_answered_and_nothing_else_changes(view: SheetView, state: State) -> None:
    before = state.scenario
    wrong = fields(isc_A="x")
    for act in ("work", "save", "use"):
        answer = ask(view, act, {"fields": wrong} if act == "use" else wrong)
        assert [one["field"] for one in answer["problems"]] == ["isc_A"]
        assert "outcome" not in answer
    assert state.scenario == before


def test_a_sheet_goes_into_a_file_and_comes_from_one(view: SheetView) -> None:
    saved = ask(view, "save", fields(title="Möwe 300 / A"))
    assert saved["file"] == "möwe-300-a.toml"
    file = read_sheet(saved["text"])
    assert file.sheet.title == "Möwe 300 / A"
    assert ask(view, "read", {"name": "a.toml", "text": saved["text"]}) == {"values": typed_values(file)}
    assert ask(view, "example", "slipway-halves") == {"values": fields()}


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ({"name": "a.toml", "text": "title = 3"}, "a.toml"),
        ({"name": "a.toml", "text": write_sheet(SLIPWAY).replace("37.4", "30.4")}, "vmp_V"),
        ({"name": "big.toml", "size": 10**9}, "larger than 64 kB"),
        (None, "expected"),
    ],
)
def test_a_file_that_is_no_sheet_is_told_and_the_fields_stay(view: SheetView, value: Any, said: str) -> None:
    answer = ask(view, "read", value)
    assert said in answer["told"]
    assert "values" not in answer


def test_a_module_is_used_for_all_or_for_a_new_array(view: SheetView, state: State) -> None:
    before = state.scenario
    assert ask(view, "use", {"fields": fields(), "array": "now"}) == {"used": True}
    assert types(state) == {"sheet-slipway-415-two-halves"}
    state.undo()
    assert state.scenario == before
    new = {"fields": fields(), "array": "new", "strings": "2", "modules": "5"}
    assert ask(view, "use", new) == {"used": True}
    assert [len(one.modules) for one in state.scenario.array.strings] == [5, 5]


def test_counts_of_a_new_array_that_cannot_be_are_told_together(view: SheetView, state: State) -> None:
    before = state.scenario
    answer = ask(view, "use", {"fields": fields(), "array": "new", "strings": "99", "modules": "1.5"})
    assert [one["field"] for one in answer["problems"]] == ["strings", "modules"]
    assert state.scenario == before


def test_another_module_of_the_same_name_is_asked_about(view: SheetView, state: State) -> None:
    name = "sheet-slipway-415-two-halves"
    first = {"fields": fields(), "array": "now"}
    other = {"fields": fields(vmp_V="31.2"), "array": "now"}
    ask(view, "use", first)
    one = state.scenario
    assert "Slipway 415, two halves" in ask(view, "use", other)["taken"]
    assert state.scenario == one
    assert ask(view, "use", other | {"name": "both"}) == {"used": True}
    assert [kind.name for kind in state.scenario.module_types] == [name, f"{name}-2"]
    assert types(state) == {f"{name}-2"}
    assert state.scenario.module_types[1].title.endswith("(2)")
    state.undo()
    assert ask(view, "use", other | {"name": "replace"}) == {"used": True}
    assert [kind.name for kind in state.scenario.module_types] == [name]
    assert types(state) == {name}


def test_the_same_module_once_more_asks_nothing(view: SheetView, state: State) -> None:
    for _time in range(2):
        assert ask(view, "use", {"fields": fields(), "array": "now"}) == {"used": True}
    assert len(state.scenario.module_types) == 1


def test_what_the_array_refuses_is_told_in_the_dialog(view: SheetView, state: State) -> None:
    state.locked = True
    assert "write down" in ask(view, "use", {"fields": fields(), "array": "now"})["told"]
    state.locked = False
    kind = module_from_sheet(read_own_sheet("slipway-halves").sheet).module_type
    many = tuple(replace(kind, name=f"own-{k}") for k in range(20))
    state.replace(replace(state.scenario, module_types=many))
    before = state.scenario
    assert "20" in ask(view, "use", {"fields": fields(), "array": "now"})["told"]
    assert state.scenario == before


@pytest.mark.parametrize("value", [None, 3, "x", [], {"fields": 3}, {"fields": {"isc_A": {}}}])
@pytest.mark.parametrize("act", ["open", "work", "example", "read", "save", "use", "fly"])
def test_what_no_script_of_ours_says_is_answered(view: SheetView, state: State, act: str, value: Any) -> None:
    before = state.scenario
    assert ask(view, act, value)
    assert state.scenario == before


@pytest.mark.parametrize("wish", [None, 3, [], {}, {"act": ["open"]}, {"value": 3}])
def test_a_wish_that_is_none_is_answered(view: SheetView, wish: Any) -> None:
    assert "Reload" in view.obey(wish)["told"]
