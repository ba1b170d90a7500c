"""The top bar: what it shows agrees with the state, and every message does what it says."""

from __future__ import annotations

from base64 import b64decode
from dataclasses import replace
from typing import Any

import pytest

from pvsim.app.session.state import State
from pvsim.app.shell.bar_actions import ACTIONS
from pvsim.app.shell.bar_layout import bar_layout
from pvsim.app.shell.bar_values import bar_values
from pvsim.app.shell.top_bar import TopBarView
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.light import Painted
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import read_scenario
from tests.app.wishes import say
from tests.exercise.paper.contents import pages_of


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


def fields() -> list[dict[str, Any]]:
    return [field for item in bar_layout()["items"] for field in item.get("fields", [])]


def test_every_field_and_button_has_an_action() -> None:
    quiet = {"strings", "modules", "type"}  # read by "build"
    names = {field["id"] for field in fields() if field["kind"] not in ("note", "rule", "opens")} - quiet
    names |= {item["id"] for item in bar_layout()["items"] if item["kind"] == "button"} - {"help"}
    assert names <= set(ACTIONS)


def test_every_field_shows_a_value(state: State) -> None:
    shown = bar_values(state)
    needed = {field["id"] for field in fields() if field["kind"] in ("number", "choice", "select")}
    assert needed <= set(shown["fields"])
    menus = {item["id"] for item in bar_layout()["items"] if item["kind"] == "menu" and not item.get("icon")}
    assert menus <= set(shown["reads"])


@pytest.mark.parametrize(
    ("act", "value", "held"),
    [
        ("irradiance", "612,5", lambda s: s.light.irradiance_W_m2 == 612.5),
        ("diffuse", "40", lambda s: s.light.diffuse_fraction == 0.4),
        ("rear", "120", lambda s: s.light.rear_irradiance_W_m2 == 120.0),
        ("light_preset", "overcast", lambda s: s.light.diffuse_fraction == 1.0),
        ("heat", "feedback", lambda s: s.weather.heat == "feedback"),
        ("cell_temperature", "-40", lambda s: s.weather.cell_temperature_C == -40.0),
        ("ambient", "35", lambda s: s.weather.ambient_temperature_C == 35.0),
        ("wind", "2.5", lambda s: s.weather.wind_m_s == 2.5),
        ("tracking", "per-string", lambda s: s.array.tracking == "per-string"),
        ("wiring", "cross-tied", lambda s: s.array.wiring == "cross-tied"),
        ("orientation", "landscape", lambda s: s.array.orientation == "landscape"),
        ("main_cable", "0,2", lambda s: s.array.main_cable_resistance_ohm == 0.2),
        ("voltage", "200", lambda s: (s.operation.kind, s.operation.value) == ("voltage", 200.0)),
        ("current", "3", lambda s: (s.operation.kind, s.operation.value) == ("current", 3.0)),
        ("load", "10", lambda s: (s.operation.kind, s.operation.value) == ("load", 10.0)),
        ("demo", "mountain-hut", lambda s: s == read_demo("mountain-hut")),
        (
            "build",
            {"strings": "3", "modules": "2", "type": "full-72"},
            lambda s: [[m.type for m in one.modules] for one in s.array.strings] == [["full-72"] * 2] * 3,
        ),
    ],
)
def test_a_message_changes_the_scenario(state: State, act: str, value: Any, held: Any) -> None:
    view = TopBarView(state)
    assert not held(state.scenario)
    say(view.root, act, value)
    assert state.notice == ""
    assert held(state.scenario)


@pytest.mark.parametrize(
    ("act", "value", "name", "held"),
    [
        ("factor", "80", "irradiance_factor", 0.8),
        ("cable", "0,4", "cable_resistance_ohm", 0.4),
        ("connector", "0.01", "connector_resistance_ohm", 0.01),
        ("fuse", "yes", "fuse", True),
        ("blocking", "yes", "blocking_diode", True),
    ],
)
@pytest.mark.parametrize("level", ["array", "string"])
def test_what_a_string_is_fitted_with_is_set_for_the_one_in_focus_or_all(
    state: State, act: str, value: str, name: str, held: object, level: str
) -> None:
    start = state.scenario
    state.set_focus(Place(2), level)
    say(TopBarView(state).root, act, value)
    first, second = (getattr(one, name) for one in state.scenario.array.strings)
    assert second == held
    assert (first == held) is (level == "array")
    state.undo()
    assert state.scenario == start


def test_strings_differ_in_length_and_modules_in_type_and_turn(state: State) -> None:
    view = TopBarView(state)
    state.set_focus(Place(2, 3), "module")
    say(view.root, "length", "5")
    say(view.root, "module_type", "half-144")
    say(view.root, "turned", "yes")
    one, two = state.scenario.array.strings
    assert (len(one.modules), len(two.modules)) == (8, 5)
    changed = [(k, module.type, module.rotated) for k, module in enumerate(two.modules, 1) if k == 3]
    assert changed == [(3, "half-144", True)]
    assert {module.type for module in one.modules} == {"full-60"}
    shown = bar_values(state)["fields"]
    assert (shown["length"], shown["module_type"], shown["turned"]) == ("5", "half-144", "yes")


def test_a_string_without_a_fuse_says_in_words_of_the_page_why_none_can_blow(state: State) -> None:
    state.break_part(Place(1), "fuse-blown")
    assert "Give the string a fuse first" in state.notice
    assert "=" not in state.notice
    state.set_focus(Place(1), "string")
    say(TopBarView(state).root, "fuse", "yes")
    state.break_part(Place(1), "fuse-blown")
    assert state.notice == ""
    assert state.solution.strings.current_A[0] == pytest.approx(0.0, abs=1e-6)


def test_module_types_of_the_opened_scenario_are_offered_and_can_be_built(state: State) -> None:
    own = replace(CATALOGUE["full-60"], name="invented", title="Invented of sixty")
    state.replace(replace(state.scenario, module_types=(own,)), fresh=True)
    for name in ("type", "module_type"):
        assert bar_values(state)["options"][name][0] == ["invented", "Invented of sixty (of this scenario)"]
    say(TopBarView(state).root, "build", {"strings": "1", "modules": "2", "type": "invented"})
    assert [module.type for module in state.scenario.array.strings[0].modules] == ["invented"] * 2
    assert bar_values(state)["fields"]["type"] == "invented"


@pytest.mark.parametrize("kind", ["voltage", "current", "load"])
def test_holding_the_array_another_way_starts_where_it_is(state: State, kind: str) -> None:
    power = state.solution.power_W
    say(TopBarView(state).root, "operation", kind)
    assert state.scenario.operation.kind == kind
    assert state.solution.power_W == pytest.approx(power, rel=0.01)  # the value is rounded for the field
    assert kind not in bar_values(state)["hidden"]


@pytest.mark.parametrize(
    ("act", "value"),
    [
        ("irradiance", "much"),
        ("irradiance", "2001"),
        ("wind", "1,000"),
    ],
)
def test_a_number_that_cannot_be_used_is_answered_beside_its_field(
    state: State, act: str, value: Any
) -> None:
    view = TopBarView(state)
    kept = state.scenario
    say(view.root, act, value)
    assert view.root.wrong[act]
    assert state.scenario is kept
    say(view.root, "irradiance", "500")
    assert view.root.wrong == {}


@pytest.mark.parametrize("typed", ["-3", "1e9", "abc", "2,5", "0", "", None])
def test_each_count_that_cannot_be_built_is_answered_beside_its_own_field(state: State, typed: Any) -> None:
    view = TopBarView(state)
    kept = state.scenario
    say(view.root, "build", {"strings": typed, "modules": "3", "type": "full-60"})
    assert list(view.root.wrong) == ["strings"]
    say(view.root, "build", {"strings": typed, "modules": typed, "type": "full-60"})
    assert list(view.root.wrong) == ["strings", "modules"]
    assert all("from 1 to" in sentence for sentence in view.root.wrong.values())
    assert state.scenario is kept
    say(view.root, "build", {"strings": "3,0", "modules": "2", "type": "full-60"})
    assert view.root.wrong == {}
    assert len(state.scenario.array.strings) == 3


@pytest.mark.parametrize("do", ["", "eval"])
def test_a_wish_that_the_bar_does_not_know_changes_nothing_and_is_told(state: State, do: str) -> None:
    view = TopBarView(state)
    kept = state.scenario
    say(view.root, do)
    assert state.scenario is kept
    assert "Reload the page" in state.notice


def test_a_saved_file_opens_as_the_page_looks(state: State) -> None:
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.set_focus("2/3/9", level="cell")
    reply = ACTIONS["save"](state, None)
    assert reply is not None
    assert reply["file"] == "boat-builders-training-workshop.toml"
    opened = read_scenario(reply["text"], reply["file"])
    assert opened == state.scenario_as_shown()


def test_a_scenario_too_large_for_a_link_says_to_save_it(state: State) -> None:
    view = TopBarView(state)
    painted = tuple(
        Painted(Place(1, m, cell=c), (61 * m + c) / 997.0) for m in range(1, 9) for c in range(1, 61)
    )
    state.set_light(painted=painted)
    assert say(view.root, "link") == {}
    assert "Save the scenario as a file" in view.root.wrong["link"]


def test_a_work_sheet_and_its_solution_are_of_the_part_shown(state: State) -> None:
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.set_focus(Place(1, 4, cell=14))
    state.set_level("module")
    replies = [ACTIONS[name](state, None) for name in ("export_sheet", "export_solution")]
    sheet, solution = (" ".join(pages_of(b64decode(one["base64"]))) for one in replies if one is not None)
    for text in (sheet, solution):
        assert "string 1, module 4" in text
        assert "no design or safety tool" in text
    assert "Five levels" in solution
    assert "Five levels" not in sheet


def test_exports_name_version_scenario_and_limits(state: State) -> None:
    state.paint([Place(1, 4, cell=14)], 0.2)
    csv, svg = (ACTIONS[name](state, None) for name in ("export_csv", "export_svg"))
    assert csv is not None
    assert svg is not None
    for reply in (csv, svg):
        assert "pvsim" in reply["text"]
        assert "Boat-builders" in reply["text"]
        assert "design" in reply["text"]
    assert "before" in svg["text"]
