"""The field desk without a browser: what it offers, what it has done, what it writes down."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterator
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.view import FieldView
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.field.probe import Probe, true_value
from pvsim.field.search.family import ANSWERS
from pvsim.field.thermogram import Thermogram
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    """Two strings of three modules, the second string with a shorted bypass diode."""
    strings = (String(modules=(Module("full-36"),) * 3),) * 2
    scenario = Scenario(title="A shed", array=Array(strings=strings))
    state = State(add_fault(scenario, Fault("diode-short", Place(2, 2, diode=1))))
    state.open_field()
    return state


@pytest.fixture
def view(state: State) -> Iterator[FieldView]:
    view = FieldView(state)
    yield view
    view.close()


def tools(view: FieldView) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for group in view.root.now.values["kit"] for one in group["tools"]}


def plant(view: FieldView) -> dict[str, str]:
    return {one["title"]: one["now"] for one in view.root.now.values["plant"]}


def lines(view: FieldView) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = view.root.log.values["lines"]
    return found


def act(view: FieldView, name: str, **more: Any) -> dict[str, Any]:
    say(view.root, "act", {"name": name, **more})
    return lines(view)[-1]


def test_an_instrument_goes_to_the_part_in_view(state: State, view: FieldView) -> None:
    state.set_focus(Place(2, 3), "module")
    assert tools(view)["read:voltage"]["at"] == "string 2, module 3"
    assert tools(view)["read:power"]["at"] == "the whole array"
    line = act(view, "read:voltage")
    assert (line["minute"], line["where"]) == ("3", "string 2, module 3")
    reading = state.field.transcript.lines[-1].found[0].reading
    truth = true_value(state.solution, Probe(what="voltage", place=Place(2, 3)))
    assert abs(reading.value - truth) < 1.5 * reading.expanded_uncertainty
    shown = f"{reading.value:.2f}\N{NO-BREAK SPACE}V", f"±{reading.expanded_uncertainty:.2f}"
    assert line["found"] == [["", *shown]]
    state.set_level("string")
    assert act(view, "read:current")["where"] == "string 2"
    state.set_focus(Place(2, 3, cell=5), "cell")
    assert act(view, "read:voltage")["where"] == "string 2, module 3"  # no meter goes to a cell
    assert tools(view)["cover:0"]["at"] == "string 2, module 3, cell 5"  # a cloth does


def test_a_run_of_modules_is_read_as_far_as_is_typed(state: State, view: FieldView) -> None:
    state.set_focus(Place(2, 1), "module")
    tool = tools(view)["read-run"]
    assert (tool["first"], tool["most"]) == (1, 3)
    line = act(view, "read-run", last=3)
    assert line["where"] == "string 2, modules 1 to 3"
    whole = float(line["found"][0][1].split()[0])
    singles = []
    for module in (1, 2, 3):
        state.set_focus(Place(2, module), "module")
        singles.append(float(act(view, "read-run", last=module)["found"][0][1].split()[0]))
    assert whole == pytest.approx(sum(singles), rel=0.01)  # one meter, its gain error in all of them


def test_unsafe_order_is_refused_with_its_hazard_and_written_down(state: State, view: FieldView) -> None:
    state.set_focus(Place(1), "string")
    for unsafe in ("open-switch", "separate", "prove-zero", "trace"):
        line = act(view, unsafe)
        assert line["unsafe"]
        assert line["refused"]
        assert line["minute"] == "0"  # and costs no time
    assert plant(view) == {
        "Inverter": "runs",
        "DC switch": "closed",
        "Zero current": "not proven",
        "String 1": "joined",
    }
    for safe in ("stop", "open-switch", "prove-zero", "separate"):
        assert not act(view, safe)["refused"]
    assert plant(view)["String 1"] == "separated"
    alone = act(view, "trace")
    assert [one[0] for one in alone["found"]] == ["short-circuit current", "open-circuit voltage"]
    state.set_focus(Place(2), "string")
    assert plant(view)["String 2"] == "joined"


def test_a_cloth_is_laid_with_its_caution_and_taken_off(state: State, view: FieldView) -> None:
    assert "slides" in view.root.now.values["caution"]
    state.set_focus(Place(1, 1), "module")
    before = act(view, "read-run", last=1)["found"][0][1]
    act(view, "cover:leak")
    assert "cover:0" not in tools(view)
    assert tools(view)["lift"]["at"] == "string 1, module 1"
    assert view.root.now.values["caution"] == ""
    under = act(view, "read-run", last=1)["found"][0][1]
    # Its diodes carry on.
    assert float(under.replace("\u2212", "-").split()[0]) < 0.0 < float(before.split()[0])
    act(view, "lift")
    assert "lift" not in tools(view)
    assert not state.can_undo  # the bench itself has not changed


def test_the_log_is_a_file_with_time_and_conditions(state: State, view: FieldView) -> None:
    act(view, "read:power")
    act(view, "open-switch")
    answer = say(view.root, "save")
    assert answer["file"].endswith("-log.csv")
    rows = [line for line in answer["text"].splitlines() if not line.startswith("#")]
    [reading, refused] = list(csv.DictReader(rows))
    assert (reading["act"], reading["read"], reading["unit"], reading["irradiance_W_m2"]) == (
        "read", "power", "W", "1000",
    )  # fmt: skip
    assert float(reading["expanded_uncertainty"]) > 0.0
    assert refused["refused"] == "switch-under-load"
    assert any("no design or safety tool" in line for line in answer["text"].splitlines())


def test_another_set_of_meters_errs_in_another_way(state: State, view: FieldView) -> None:
    state.set_focus(Place(1), "string")
    first = act(view, "read:current")["found"][0][1]
    say(view.root, "meters", "2")
    assert lines(view) == []
    assert act(view, "read:current")["found"][0][1] != first
    say(view.root, "meters", "1")
    assert act(view, "read:current")["found"][0][1] == first
    say(view.root, "meters", "1.5")
    assert "whole number" in state.notice
    assert state.field.meters == 1


def test_nothing_is_measured_while_a_prediction_waits(state: State, view: FieldView) -> None:
    state.lock(True, ["values"])
    shown = view.root.now.values
    assert "prediction" in shown["barred"]
    assert shown["kit"] == shown["plant"] == []
    say(view.root, "act", {"name": "read:power"})
    assert lines(view) == []
    assert "prediction" in state.notice
    state.lock(False)
    assert view.root.now.values["kit"]


@pytest.mark.parametrize(
    "wish",
    [
        ("act", {"name": "read:nothing"}),
        ("act", {"name": "fly"}),
        ("act", None),
        ("act", {"name": "read-run", "last": "many"}),
        ("meters", None),
        ("nothing", None),
        ([], None),
        ("act", {"name": "read:power", "last": float("inf")}),
        ("begin", {"seed": "1", "level": float("inf"), "family": ""}),
        ("answer", {"kind": "soiling", "sure": float("nan")}),
        ("put", ["array"]),
    ],
)
def test_what_is_no_wish_of_the_desk_is_told_and_changes_nothing(
    state: State, view: FieldView, wish: tuple[str, Any]
) -> None:
    say(view.root, *wish)
    assert state.notice
    assert lines(view) == []


def test_what_is_done_stays_where_the_desk_is_closed(state: State, view: FieldView) -> None:
    act(view, "read:power")
    say(view.root, "close")
    assert not state.field_open
    assert view.root.now.values == {"open": False, "kept": ""}
    state.open_field()
    assert len(lines(view)) == 1
    say(view.root, "clear")
    assert lines(view) == []


def test_a_change_of_the_bench_is_what_is_measured_next(state: State, view: FieldView) -> None:
    state.set_focus(Place(1), "string")
    sound = float(act(view, "read:current")["found"][0][1].split()[0])
    state.paint([Place(1, 1)], 0.3)
    shaded = float(act(view, "read:current")["found"][0][1].split()[0])
    assert shaded < 0.9 * sound


def test_what_is_not_done_is_called_so_and_what_it_would_have_been(state: State, view: FieldView) -> None:
    state.set_focus(Place(2), "string")
    line = act(view, "separate")
    assert line["what"] == "Not done: separate string 2"
    assert line["where"] == ""


def test_the_range_that_a_meter_chose_is_said(state: State, view: FieldView) -> None:
    state.set_focus(Place(1, 1), "module")
    assert act(view, "read:voltage")["range"] == "range 60\N{NO-BREAK SPACE}V"
    state.set_focus(Place(1), "string")
    assert act(view, "read:voltage")["range"] == "range 60\N{NO-BREAK SPACE}V"  # three modules of 36 cells
    state.set_focus(Place(1, 1), "module")
    act(view, "cover:0")
    assert act(view, "read-run", last=1)["range"] == "range 6\N{NO-BREAK SPACE}V"  # its diodes alone
    assert act(view, "read:irradiance")["range"] == ""  # that sensor has one alone


def test_a_plant_that_is_not_as_the_drawing_shows_it_is_said(state: State, view: FieldView) -> None:
    assert view.root.now.values["altered"] == ""
    act(view, "stop")
    assert "at work" in view.root.now.values["altered"]
    act(view, "start")
    assert view.root.now.values["altered"] == ""
    state.set_focus(Place(1, 1), "module")
    act(view, "cover:0")
    assert view.root.now.values["altered"]


def test_the_log_of_an_array_that_has_gone_is_kept_and_told(state: State, view: FieldView) -> None:
    state.set_focus(Place(2, 2), "module")
    act(view, "read:voltage")
    roof = RoofView(state)
    assert roof.root.now.values["read"]
    assert "\N{PLUS-MINUS SIGN}" in roof.root.now.values["latest"]
    state.build_array(2, 2, "full-60")
    assert view.root.now.values["elsewhere"]
    assert roof.root.now.values["read"] == []
    assert roof.root.now.values["latest"] == ""
    assert len(lines(view)) == 1
    state.undo()
    assert not view.root.now.values["elsewhere"]
    assert roof.root.now.values["read"]
    roof.close()


def test_a_lesson_that_is_opened_has_its_text_in_this_place(state: State, view: FieldView) -> None:
    act(view, "read:power")
    state.lesson = "four-deaths"
    assert not state.field_open
    state.open_field()
    assert len(lines(view)) == 1


def test_hundreds_of_wishes_put_together_at_random_leave_a_desk_that_measures(
    state: State, view: FieldView
) -> None:
    """Seeded; what of them can be done is done, and all else is told in a sentence."""
    chance = random.Random(11)
    odd = [None, True, -1, 7, 1e300, float("nan"), float("inf"), "", "x" * 300, [], {}, [[1]], {"name": []}]
    names = [one["name"] for group in view.root.now.values["kit"] for one in group["tools"]]
    acts = [*names, "stop", "start", "open-switch", "close-switch", "prove-zero", "separate", "join", "hint"]
    kinds = sorted(ANSWERS)

    def value() -> Any:
        return chance.choice(
            (
                chance.choice(odd),
                {"name": chance.choice(acts), "last": chance.choice((0, 2, *odd))},
                {"seed": chance.choice(("3", "x", *odd)), "level": chance.choice((1, 2, *odd)), "family": ""},
                {"kind": chance.choice((*kinds, *odd)), "sure": chance.choice((80, *odd))},
                chance.choice(("array", "module", "bench", "search", "2")),
            )
        )

    wishes = sorted({*FieldView._acts} - {"answer"})  # what an answer sets off is tested by itself
    for _number in range(300):
        state.tell("")
        say(view.root, chance.choice((*wishes, "act", "act", "x")), value())
        assert "Traceback" not in state.notice
    say(view.root, "leave")
    state.open_field()
    before = len(state.field.transcript.lines)
    state.set_focus(Place(1, 1), "module")
    act(view, "read:irradiance")
    assert len(state.field.transcript.lines) == before + 1


def set_range(view: FieldView, meter: str, most: Any) -> None:
    say(view.root, "range", {"meter": meter, "most": most})


def ranges(view: FieldView) -> dict[str, dict[str, Any]]:
    return {one["range"]["meter"]: one["range"] for one in view.root.now.values["kit"] if one["range"]}


def test_a_range_is_set_and_beyond_it_the_meter_shows_no_figure(state: State, view: FieldView) -> None:
    assert {key: len(one["options"]) for key, one in ranges(view).items()} == {
        "voltmeter": 5,  # four ranges, and automatic
        "clamp-meter": 3,
    }
    state.set_focus(Place(1, 1), "module")
    before = act(view, "read:voltage")
    assert (before["set"], ranges(view)["voltmeter"]["value"]) == (False, "0")
    set_range(view, "voltmeter", "6")
    assert ranges(view)["voltmeter"]["value"] == "6"
    beyond = act(view, "read:voltage")
    assert beyond["found"] == [["", "OL", "beyond 6\N{NO-BREAK SPACE}V"]]
    assert (beyond["set"], beyond["range"]) == (True, "range 6\N{NO-BREAK SPACE}V, set")
    assert act(view, "read-run", last=3)["found"][0][1] == "OL"  # the same meter
    set_range(view, "voltmeter", "1500")
    coarse = act(view, "read:voltage")
    wide, narrow = (float(line["found"][0][2].removeprefix("±")) for line in (coarse, before))
    assert wide > 2 * narrow
    assert not act(view, "read:current")["set"]  # the clamp still chooses
    set_range(view, "voltmeter", "0")
    assert not act(view, "read:voltage")["set"]


def test_the_log_file_tells_ranges_and_gives_no_figure_beyond_them(state: State, view: FieldView) -> None:
    state.set_focus(Place(1, 1), "module")
    act(view, "read:voltage")
    set_range(view, "voltmeter", "6")
    act(view, "read:voltage")
    act(view, "read:irradiance")
    text = say(view.root, "save")["text"]
    found = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    assert [(one["range"], one["ranging"], one["over_range"]) for one in found] == [
        ("60", "auto", ""), ("6", "set", "OL"), ("1500", "", ""),
    ]  # fmt: skip
    assert (found[1]["value"], found[1]["expanded_uncertainty"]) == ("", "")
    act(view, "picture")
    text = say(view.root, "save")["text"]
    contrasts = [one.split(",") for one in text.splitlines() if ",contrast," in one]
    assert {one[7] for one in contrasts} == {"K"}, "as on the page"


def test_a_picture_says_that_its_warmest_is_one_pixel(state: State, view: FieldView) -> None:
    """The log's contrasts are of cells, each over all its pixels: noise makes one of them warmer than any."""
    state.set_focus(Place(1, 1), "module")
    act(view, "picture")
    assert state.field.picture is not None
    shown = state.field.picture.shown
    assert isinstance(shown, Thermogram)
    said = str(view.root.picture.values["said"])
    assert said.startswith(f"warmest pixel {shown.temperature_C.max():.1f}")


@pytest.mark.parametrize("most", ["7", "nan", "inf", "-6", None, "x"])
def test_a_range_that_there_is_not_is_told(state: State, view: FieldView, most: Any) -> None:
    set_range(view, "voltmeter", most)
    assert state.notice
    assert state.field.ranges == ()
    set_range(view, "infrared-camera", "350")
    assert state.field.ranges == ()


def test_a_new_log_and_other_meters_keep_the_ranges(state: State, view: FieldView) -> None:
    set_range(view, "clamp-meter", "400")
    say(view.root, "clear")
    say(view.root, "meters", "3")
    assert ranges(view)["clamp-meter"]["value"] == "400"


def test_a_change_of_the_bench_stands_between_the_lines_before_and_after_it(
    state: State, view: FieldView
) -> None:
    state.set_focus(Place(1), "string")
    assert act(view, "read:current")["changed"] == ""
    assert act(view, "read:current")["changed"] == ""
    state.set_focus(Place(1, 1), "module")
    state.paint([Place(1, 1)], 0.3)
    shaded = act(view, "read:voltage")["changed"]
    assert shaded == "shade or soiling"
    state.replace(add_fault(state.scenario, Fault("cable-open", Place(1))), "a cable")
    state.set_light(irradiance_W_m2=600.0)
    told = act(view, "read:voltage")["changed"]
    space = "\N{NO-BREAK SPACE}"
    assert told == f"set: string cable open, string 1; light: 600{space}W/m², before 1000{space}W/m²"
    state.undo()
    state.undo()
    assert "mended: string cable open, string 1" in act(view, "read:voltage")["changed"]
    assert act(view, "read:voltage")["changed"] == ""
    assert [bool(line["changed"]) for line in lines(view)] == [False, False, True, True, True, False]
    say(view.root, "clear")
    assert act(view, "read:voltage")["changed"] == ""  # a new log has no before


def test_the_log_file_has_changes_and_the_light_that_each_line_was_read_in(
    state: State, view: FieldView
) -> None:
    act(view, "read:power")
    state.replace(add_fault(state.scenario, Fault("cable-open", Place(1))), "a cable")
    state.set_light(irradiance_W_m2=600.0)
    act(view, "read:power")
    state.set_light(irradiance_W_m2=300.0)  # nothing was read in that
    text = say(view.root, "save")["text"]
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    assert [(one["minute"], one["act"], one["read"], one["at"], one["irradiance_W_m2"]) for one in rows] == [
        ("1", "read", "power", "array", "1000"),
        ("1", "changed", "set:cable-open", "1", "600"),
        ("1", "changed", "light", "", "600"),
        ("2", "read", "power", "array", "600"),
    ]
    assert {len(one) for one in rows} == {len(rows[0])}
    assert all(None not in one and None not in one.values() for one in rows)


def test_of_many_faults_the_first_are_named(state: State, view: FieldView) -> None:
    act(view, "read:power")
    scenario = state.scenario
    for module in (1, 2, 3):
        for string in (1, 2):
            scenario = add_fault(scenario, Fault("module-reversed", Place(string, module)))
    state.replace(scenario, "all of them")
    told = act(view, "read:power")["changed"]
    assert told.count("set: ") == 4
    assert told.endswith("set: 3 more")
