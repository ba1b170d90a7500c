"""The view of the roof, without a browser: what it sends, what it does with what it hears."""

from __future__ import annotations

import gc
import re
import subprocess
import sys
import weakref
from typing import Any

import pytest

from pvsim.app.assets import STATIC
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.array import Array, Module, Place, Scenario, String
from pvsim.array.place import parse_place
from pvsim.files.demo import read_demo
from tests.patience import PATIENCE_s


class Heard:
    """A view with a pen: messages go in as the browser sends them, answers are kept."""

    def __init__(self, scenario: Scenario) -> None:
        self.state = State(scenario)
        self.view = RoofView(self.state)
        self.answers: list[dict[str, Any]] = []
        self.view.root._send_msg = self.answers.append
        self._number = 0

    def say(self, *wishes: dict[str, Any]) -> dict[str, Any]:
        """Send one message and give back its answer."""
        self._number += 1
        self.view.root._handle_msg({"number": self._number, "wishes": list(wishes)})
        return self.answers[-1]

    @property
    def now(self) -> dict[str, Any]:
        return self.view.root.now.values


@pytest.fixture
def roof() -> Heard:
    """Two strings of three modules of 60 cells."""
    string = String(modules=(Module("full-60"),) * 3, fuse=True)
    return Heard(Scenario(title="A shed", array=Array(strings=(string, string))))


def test_painting_reaches_the_array_and_comes_back(roof: Heard) -> None:
    roof.say({"do": "paint", "of": "cell", "at": [13, 14], "to": 0.2, "stroke": 1})
    assert [one.place for one in roof.state.scenario.light.painted] == [
        Place(1, 1, cell=14),
        Place(1, 1, cell=15),
    ]
    assert roof.now["painted"] == [[13, 1, 0.2], [14, 1, 0.2]]


def test_a_stroke_of_many_messages_is_one_step_to_undo(roof: Heard) -> None:
    for cell in (1, 2, 3):
        roof.say({"do": "paint", "at": [cell], "to": 0.0, "stroke": 7})
    roof.say({"do": "paint", "at": [40], "to": 0.0, "stroke": 8})
    roof.state.undo()
    assert len(roof.state.scenario.light.painted) == 3
    roof.state.undo()
    assert roof.state.scenario.light.painted == ()


def test_what_comes_between_two_messages_of_a_stroke_is_a_step_of_its_own(roof: Heard) -> None:
    roof.say({"do": "paint", "at": [1], "to": 0.0, "stroke": 7})
    roof.state.set_light(irradiance_W_m2=500.0)
    for cell in (2, 3):
        roof.say({"do": "paint", "at": [cell], "to": 0.0, "stroke": 7})
    left = []
    while roof.state.can_undo:
        roof.state.undo()
        left.append((len(roof.state.scenario.light.painted), roof.state.scenario.light.irradiance_W_m2))
    assert left == [(1, 500.0), (1, 1000.0), (0, 1000.0)]


def test_one_message_redraws_once_however_many_wishes_it_holds(roof: Heard) -> None:
    drawn = []
    roof.view.root.param.watch(lambda event: drawn.append(event.name), ["now"])
    roof.say(
        {"do": "show", "focus": "1/2/5", "level": "module"},
        {"do": "paint", "at": [64], "to": 0.2, "stroke": 1},
        {"do": "choose", "quantity": "voltage"},
    )
    assert drawn == ["now"]
    assert roof.now["focus"] == {"string": 1, "module": 2, "cell": 5}
    assert roof.now["quantity"] == "voltage"


def test_the_scene_is_sent_again_only_when_the_array_changes(roof: Heard) -> None:
    first = roof.view.root.scene
    roof.say({"do": "paint", "at": [3], "to": 0.0, "stroke": 1})
    assert roof.view.root.scene == first
    roof.say({"do": "choose", "condition": "diode-open"}, {"do": "apply", "place": "1/2/d3"})
    assert len(roof.state.scenario.faults) == 1
    assert roof.view.root.scene == first
    roof.state.set_array(orientation="landscape")
    assert roof.view.root.scene != first
    assert roof.view.root.scene.values["key"] == roof.now["scene"]


def test_the_condition_is_applied_where_the_message_says(roof: Heard) -> None:
    roof.say({"do": "choose", "condition": "diode-open"}, {"do": "apply", "place": "1/2/d3"})
    assert roof.state.scenario.faults[0].place == Place(1, 2, diode=3)
    assert roof.now["faults"]["diode"] == [[5, "diode-open", None]]
    roof.say({"do": "choose", "condition": "cell-shunt:0.5"}, {"do": "apply", "place": "1/2/9"})
    assert roof.state.scenario.faults[1].size == 0.5


def test_mending_by_a_stroke_mends_shaded_and_broken_cells_alike(roof: Heard) -> None:
    roof.state.paint([Place(1, 1, cell=1), Place(1, 1, cell=2)], 0.0)
    roof.state.break_part(Place(1, 1, cell=3), "cell-open")
    roof.say({"do": "mend", "at": [0, 1, 2], "stroke": 3})
    assert roof.state.scenario.faults == ()
    assert roof.state.scenario.light.painted == ()
    roof.state.undo()
    assert len(roof.state.scenario.light.painted) == 2
    assert len(roof.state.scenario.faults) == 1


def test_modules_painted_and_mended_by_a_stroke_are_whole(roof: Heard) -> None:
    roof.state.paint([Place(1, 2, cell=1)], 0.5)
    roof.state.break_part(Place(1, 3, diode=1), "diode-open")
    before = roof.state.scenario
    for module in (1, 2):
        roof.say({"do": "paint", "of": "module", "at": [module], "to": 0.2, "stroke": 1})
    assert [one.place for one in roof.state.scenario.light.painted] == [Place(1, 2), Place(1, 3)]
    assert roof.state.said.startswith("Two modules of string 1 shaded to 20")
    assert roof.now["painted"] == [[60, 60, 0.2], [120, 60, 0.2]]
    roof.say({"do": "mend", "of": "module", "at": [1, 2], "stroke": 2})
    assert roof.state.scenario.light.painted == ()
    assert roof.state.scenario.faults == ()
    roof.state.undo()
    roof.state.undo()
    assert roof.state.scenario == before


def test_a_cell_of_a_shaded_module_is_cleared_alone(roof: Heard) -> None:
    roof.say({"do": "paint", "of": "module", "at": [1], "to": 0.2, "stroke": 1})
    roof.say({"do": "mend", "of": "cell", "at": [63], "stroke": 2})
    light = roof.state.solution.cells.irradiance_W_m2[60:120]
    assert (light == 1000.0).nonzero()[0].tolist() == [3]


def test_shadows_are_added_moved_stretched_turned_and_removed(roof: Heard) -> None:
    roof.say({"do": "shadow-add", "kind": "pole", "x": 1.5, "y": 0.75})
    changes = {"x": 2.0, "y": 1.0, "width": 0.3, "angle": 30, "through": 0.5}
    roof.say({"do": "shadow", "index": 0, "stroke": 1, **changes})
    (pole,) = roof.state.scenario.light.shadows
    assert (pole.x_m, pole.y_m, pole.width_m, pole.angle_deg, pole.transmission) == (2.0, 1.0, 0.3, 30.0, 0.5)
    roof.say({"do": "shadow-remove", "index": 0})
    assert roof.state.scenario.light.shadows == ()


def test_a_click_is_a_step_of_its_own_after_keys_moved_a_shadow(roof: Heard) -> None:
    roof.say({"do": "shadow-add", "kind": "pole", "x": 1.5, "y": 0.75})
    roof.say({"do": "shadow", "index": 0, "stroke": -1, "x": 2.0})
    roof.say({"do": "apply", "place": "1/2/14"})
    roof.state.undo()
    (pole,) = roof.state.scenario.light.shadows
    assert pole.x_m == 2.0
    assert not roof.state.scenario.light.painted


@pytest.mark.parametrize(
    ("typed", "focus", "level"),
    [
        pytest.param("2/3/14", Place(2, 3, cell=14), "module", id="cell"),
        pytest.param("string 2, module 3, cell 14", Place(2, 3, cell=14), "module", id="in-words"),
        pytest.param("1/2/d3", Place(1, 2, diode=3), "module", id="diode"),
        pytest.param("1/2/s3", Place(1, 2, substring=3), "substring", id="substring"),
        pytest.param("2", Place(2), "string", id="string"),
        pytest.param("array", Place(), "array", id="array"),
    ],
)
def test_the_address_box_goes_anywhere(roof: Heard, typed: str, focus: Place, level: str) -> None:
    answer = roof.say({"do": "go", "text": typed})
    assert answer["address"] == ""
    assert parse_place(answer["place"]) == focus
    assert answer["typed"] == typed
    assert (roof.state.focus, roof.state.level) == (focus, level)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        pytest.param("9/1/1", "a string from 1 to 2", id="no-such-string"),
        pytest.param("1/2/61", "a cell from 1 to 60", id="no-such-cell"),
        pytest.param("the roof", "2/5/14", id="no-place"),
        pytest.param("", "2/5/14", id="nothing"),
    ],
)
def test_an_address_that_is_none_gets_one_sentence_and_changes_nothing(
    roof: Heard, typed: str, sentence: str
) -> None:
    before = roof.state.focus
    assert sentence in roof.say({"do": "go", "text": typed})["address"]
    assert roof.state.notice == "", "it is told twice"
    assert roof.state.focus == before


@pytest.mark.parametrize(
    "wish",
    [
        pytest.param({"do": "fly"}, id="unknown-act"),
        pytest.param({"do": "paint", "at": "all", "to": 0.2}, id="cells-that-are-none"),
        pytest.param({"do": "paint", "at": [10**9], "to": 0.2}, id="a-cell-beyond-the-array"),
        pytest.param({"do": "paint", "at": [0]}, id="no-transmission"),
        pytest.param({"do": "paint", "at": [0], "to": -3}, id="less-than-dark"),
        pytest.param({"do": "show", "focus": "1/1", "level": "galaxy"}, id="unknown-level"),
        pytest.param({"do": "shadow", "index": 7, "x": 1.0}, id="no-such-shadow"),
        pytest.param({"do": "shadow-add", "kind": "ghost", "x": 0, "y": 0}, id="unknown-shadow"),
        pytest.param({"do": "apply", "place": "../../etc"}, id="no-place"),
        pytest.param({"do": "choose", "condition": "<script>"}, id="unknown-condition"),
        pytest.param("paint", id="not-a-wish"),
    ],
)
def test_a_wish_that_makes_no_sense_is_answered_said_and_changes_nothing(roof: Heard, wish: Any) -> None:
    before = roof.state.scenario
    answer = roof.say(wish)
    assert answer["answered"] == 1
    assert roof.state.scenario == before
    assert roof.state.notice


def test_an_answer_is_sent_also_when_something_breaks(roof: Heard, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: object) -> None:
        raise RuntimeError("a bug")

    monkeypatch.setattr(roof.state, "mend_all", broken)
    with pytest.raises(RuntimeError):
        roof.say({"do": "mend-all"})
    assert roof.answers[-1]["answered"] == 1


def test_a_locked_array_stays_as_it_is_and_says_why(roof: Heard) -> None:
    roof.state.locked = True
    before = roof.state.scenario
    roof.say({"do": "paint", "at": [1], "to": 0.0, "stroke": 1})
    assert roof.state.scenario == before
    assert roof.now["locked"] is True
    assert "write down what you expect" in roof.state.notice


def test_the_circuit_of_a_cell_is_sent_at_its_level_only(roof: Heard) -> None:
    roof.say({"do": "show", "focus": "1/1/7", "level": "module"})
    assert "cell" not in roof.now
    roof.say({"do": "show", "focus": "1/1/7", "level": "cell"})
    assert roof.now["cell"]["title"] == "Cell 7"


def test_a_cell_in_a_module_left_out_breaks_nothing(roof: Heard) -> None:
    roof.say({"do": "show", "focus": "1/3/7", "level": "cell"})
    roof.state.break_part(Place(1), "modules-too-few", 1)
    assert roof.now["cell"] is None
    assert "not built" in roof.now["readout"]


def test_a_closed_view_lets_go_of_the_state(roof: Heard) -> None:
    roof.view.close()
    before = roof.view.root.now
    roof.state.paint([Place(1, 1, cell=1)], 0.0)
    assert roof.view.root.now == before


def test_a_view_goes_with_its_session() -> None:
    state = State(read_demo("single-module"))
    view = weakref.ref(RoofView(state))
    assert view() is not None
    del state
    gc.collect()
    assert view() is None


def test_the_scripts_ask_for_nothing_outside_and_read_no_text_as_markup() -> None:
    scripts = [path.read_text(encoding="utf-8") for path in (STATIC / "roof").glob("*.js")]
    assert len(scripts) > 20
    for code in scripts:
        assert set(re.findall(r"https?://[^\"'\s]+", code)) <= {"http://www.w3.org/2000/svg"}
        assert "innerHTML" not in code


def test_the_view_is_imported_without_a_server() -> None:
    code = "import pvsim.app.roof.view, sys; assert 'pvsim.app.server' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, timeout=PATIENCE_s)
