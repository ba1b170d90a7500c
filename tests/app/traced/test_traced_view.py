"""The measured curve's dialog from the server's side: what is answered, refused, put on the bench."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from queue import Queue
from typing import Any

import pytest

from pvsim.app.page import GUESTS
from pvsim.app.session.address import page_address
from pvsim.app.session.errand import Errand
from pvsim.app.session.state import State
from pvsim.app.shell.frame import FrameView
from pvsim.app.traced.desk import MAX_FILE_BYTES
from pvsim.app.traced.view import TracedView
from pvsim.array import Place
from pvsim.files import read_demo
from pvsim.numbers import NO_BREAK
from pvsim.traced.own import invented_bytes
from pvsim.words import speaking
from tests.app.sheet.test_sheet_view import plain
from tests.app.wishes import message
from tests.patience import PATIENCE_s

CONDITIONS = {"irradiance": "812", "temperature": "38,4", "to_irradiance": "1000", "to_temperature": "25"}
SETTING = CONDITIONS | {"part": "1/4", "procedure": "second", "width": 640}
COLUMNS = [
    {"quantity": "", "unit": ""},
    {"quantity": "voltage", "unit": "V"},
    {"quantity": "current", "unit": "mA"},
]
MAPPED = {"columns": COLUMNS, "sign": "1", "leave_out": False}


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def view(state: State) -> TracedView:
    return TracedView(state)


def ask(view: TracedView, act: str, value: Any = None) -> dict[str, Any]:
    answer = view.obey({"act": act, "value": value}) or {}
    assert plain(answer)
    return answer


def said(answer: dict[str, Any]) -> str:
    return str(answer["laid"]["said"]).replace(NO_BREAK, " ")


def read(view: TracedView, data: bytes, name: str = "roof.csv") -> dict[str, Any]:
    return ask(view, "read", {"name": name, "base64": b64encode(data).decode()})


def confirmed(view: TracedView) -> TracedView:
    ask(view, "example")
    assert ask(view, "confirm", MAPPED)["ready"].startswith("88 points, Isc 8.912")
    return view


def test_the_frame_hands_wishes_on_and_opens_a_scenario_that_was_dropped(state: State) -> None:
    frame = FrameView(state, {name: guest(state).obey for name, guest in GUESTS.items()})
    told: list[dict[str, Any]] = []
    frame.root.tell = told.append
    frame.root._handle_msg(message("traced", {"act": "example"}, number=3))
    assert told[0]["traced"]["found"]["name"] == "invented-module.csv"
    frame.root._handle_msg(message("open", {"name": "x.toml", "text": "no toml"}))
    assert "x.toml" in state.notice
    frame.root._handle_msg(message("open", {"name": "huge.toml", "size": 5_000_000}))
    assert "larger than 1 MB" in state.notice


def test_opening_brings_all_it_is_built_from_and_again_only_what_may_have_changed(view: TracedView) -> None:
    first = ask(view, "open", False)
    assert {"style", "words", "labels", "quantities", "units", "most"} == {*first["dialog"]}
    assert [one for one, _label in first["bench"]["parts"]] == ["array", "1", "1/4"]
    assert first["bench"]["to_irradiance"] == "1000"
    assert {*ask(view, "open", True)} == {"bench", "stale"}


def test_what_was_recognised_is_told(view: TracedView) -> None:
    found = read(view, invented_bytes())["found"]
    facts = dict(found["facts"])
    assert facts["Points"] == "from 89 rows"
    assert facts["Swept"] == "from open circuit to short circuit"
    assert "semicolons, a decimal comma" in facts["Table"]
    assert facts["Irradiance"].startswith("812 W/m²")
    assert facts["1 line"].startswith("at a voltage that was there before")
    assert [(one["quantity"], one["unit"], one["sure"]) for one in found["columns"]] == [
        ("", "", False),
        ("voltage", "V", True),
        ("current", "mA", True),
    ]
    assert found["rows"][0] == ["1", "39,30", "-416"]
    with speaking("de"):
        german = TracedView(State(read_demo("workshop")))
        assert dict(read(german, invented_bytes())["found"]["facts"])["Temperatur"].startswith("38,4")


def test_columns_mapped_by_hand_count_and_the_file_stays(view: TracedView) -> None:
    read(view, b"a,b,c\n" + b"".join(b"%d,%d,7\n" % (k * 100, 9000 - k) for k in range(40)))
    one = {"quantity": "voltage", "unit": "mV"}, {"quantity": "current", "unit": "mA"}
    found = ask(view, "map", {"columns": [*one, {"quantity": "", "unit": ""}], "sign": "1"})["found"]
    assert found["ready"]
    assert [column["unit"] for column in found["columns"]] == ["mV", "mA", ""]
    nothing = ask(view, "map", {"columns": [], "sign": "1"})["found"]
    assert not nothing["ready"]
    twice = ask(view, "map", {"columns": [one[0], one[0], one[1]]})
    assert twice["wrong"].startswith("columns 1 and 2 are both taken for Voltage")
    # As a curve it never comes near open circuit.
    refused = ask(view, "confirm", {"columns": [*one], "sign": "1"})
    assert "no short circuit or no open circuit" in refused["wrong"]
    assert "ready" not in refused


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "holds no table of numbers"),
        (b"\x00\x01\x02" * 50, "is not text"),
        (b"hello\nworld\n", "holds no table of numbers"),
        (b"format = 1\ntitle = 'x'\n", "holds no table of numbers"),
        (b"1,5,2,5\n" * 5 + b"V,A\n", None),
    ],
)
def test_a_file_that_is_no_curve_is_refused_in_a_sentence(
    view: TracedView, data: bytes, words: str | None
) -> None:
    confirmed(view)
    answer = read(view, data)
    if words is None:  # may be read in one way or refused, and nothing else
        assert "found" in answer or answer["told"]
        return
    assert words in answer["told"]
    assert "roof.csv" in answer["told"]
    assert "laid" in ask(view, "lay", SETTING)  # the curve before it is still there


@pytest.mark.parametrize(
    "value",
    [None, {}, {"base64": 5}, {"base64": "%%%"}, {"name": "x", "size": MAX_FILE_BYTES + 1}, [1], "x"],
)
def test_what_no_page_sends_is_answered_and_changes_nothing(view: TracedView, value: Any) -> None:
    assert ask(view, "read", value)["told"]
    for act in ("map", "confirm", "lay", "plant", "stop"):
        assert "laid" not in ask(view, act, value)
    assert "does not know" in (view.obey({"act": "format"}) or {})["told"]
    assert "does not know" in (view.obey(None) or {})["told"]


def test_rows_without_numbers_are_refused_until_they_are_left_out(view: TracedView) -> None:
    found = read(view, invented_bytes().replace(b"\r\n30;", b"\r\n30;nan;5\r\n30;", 1))["found"]
    assert found["broken"] == 1
    assert "no usable number" in ask(view, "confirm", MAPPED)["wrong"]
    assert ask(view, "confirm", MAPPED | {"leave_out": True})["ready"]


def test_the_curve_is_laid_over_the_model_with_figures_shapes_and_faults(view: TracedView) -> None:
    answer = ask(confirmed(view), "lay", SETTING)
    laid = answer["laid"]
    assert answer["working"] == ""
    words = "At 1000 W/m², 25 °C string 1, module 4 gives 236.3 W, its model 353.1 W"
    assert said(answer).startswith(words)
    assert laid["doubt"] == ""
    assert laid["figure"].startswith('<svg class="figure"')
    assert 'role="img" aria-label="Current against voltage.' in laid["figure"]
    assert {role for role, _text in laid["legend"]} == {"more-1", "current", "before"}
    rows = {row[0]: row[1:] for row in laid["figures"]["rows"]}
    assert rows["Pmp, W"] == ["236.3", "353.1", "−116.8", "−33.1"]
    assert [row[0] for row in laid["figures"]["rows"]] == [
        "Isc, A",
        "Voc, V",
        "Imp, A",
        "Vmp, V",
        "Pmp, W",
        "FF",
    ]
    assert "procedure 2" in laid["correction"]["caption"]
    assert "the model of this part" in laid["correction"]["note"]
    assert [one["title"] for one in laid["shapes"]["rows"] if one["named"]] == ["steps in the curve"]
    assert [one["verdict"] for one in laid["shapes"]["rows"]][3] == "not beside steps"
    ranking = answer["ranking"]
    assert not ranking["none"]
    assert ranking["rows"][0]["title"] == "shaded or cracked cells"
    assert [one["rank"] for one in ranking["rows"][:2]] == ["likeliest", "runner-up"]
    assert all(one["sentence"] for one in ranking["rows"])


def test_untranslated_no_coefficients_are_shown(view: TracedView) -> None:
    answer = ask(confirmed(view), "lay", SETTING | {"procedure": "none"})
    assert answer["laid"]["correction"] is None
    assert said(answer).startswith("At 812 W/m², 38.4 °C")


def test_slips_are_told_at_their_fields_and_the_curve_stays(view: TracedView) -> None:
    assert "Confirm first" in ask(view, "lay", SETTING)["wrong"]
    confirmed(view)
    wrong = ask(view, "lay", SETTING | {"irradiance": "bright", "temperature": "", "part": "9/9"})
    assert [one["field"] for one in wrong["problems"]] == ["part", "irradiance", "temperature"]
    dim = ask(view, "lay", SETTING | {"irradiance": "400", "procedure": "first"})
    assert "Use procedure 2" in dim["unlaid"]
    for width in ("wide", float("nan"), -1, None):
        assert "nan" not in ask(view, "lay", SETTING | {"width": width})["laid"]["figure"]


def test_a_curve_of_another_part_is_doubted_and_is_none_of_the_faults(view: TracedView) -> None:
    answer = ask(confirmed(view), "lay", SETTING | {"part": "array"})
    assert "hardly the same part" in answer["laid"]["doubt"]
    assert answer["ranking"]["none"]
    assert answer["ranking"]["said"].startswith("None of these")
    volts_for_millivolts = [COLUMNS[0], {"quantity": "voltage", "unit": "mV"}, COLUMNS[2]]
    ask(view, "confirm", MAPPED | {"columns": volts_for_millivolts})
    assert "hardly the same part" in ask(view, "lay", SETTING | {"procedure": "none"})["laid"]["doubt"]
    assert "Check the columns, their units" in ask(view, "lay", SETTING)["unlaid"]


def test_a_fault_goes_on_the_bench_in_one_step_and_off_again(view: TracedView, state: State) -> None:
    ask(confirmed(view), "lay", SETTING)
    before, address = state.scenario, page_address(state)[0]
    assert ask(view, "plant", 0) == {"used": True}
    assert state.scenario.light.painted
    assert (state.focus, state.level) == (Place(1, 4), "module")
    assert "shaded or cracked cells" in state.said
    assert ask(view, "open", True)["stale"]
    state.undo()
    assert state.scenario == before
    assert page_address(state)[0] == address  # of the curve it never had anything
    assert not ask(view, "open", True)["stale"]
    for number in (99, -1, True, "0"):
        assert "told" in ask(view, "plant", number)


def test_while_a_prediction_is_awaited_nothing_goes_on_the_bench(view: TracedView, state: State) -> None:
    ask(confirmed(view), "lay", SETTING)
    before = state.scenario
    state.lock(True)
    assert "what you expect" in ask(view, "plant", 0)["unplanted"]
    assert state.scenario is before


class Document:
    """What an errand needs of a session's document."""

    def __init__(self) -> None:
        self.turns: Queue[Callable[[], None]] = Queue()

    def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
        self.turns.put(turn)

    def on_session_destroyed(self, _callback: Callable[[Any], None]) -> None:
        pass


def test_long_work_leaves_the_event_loop_and_can_be_stopped(state: State) -> None:
    document = Document()
    state.errand = Errand(document)  # type: ignore[arg-type]
    view = TracedView(state)
    heard: list[Any] = []
    view.say = heard.append
    confirmed(view)
    assert ask(view, "lay", SETTING) == {"problems": [], "working": "lay"}
    document.turns.get(timeout=PATIENCE_s)()
    assert heard[0]["working"] == "rank"
    assert "laid" in heard[0]
    document.turns.get(timeout=PATIENCE_s)()
    assert heard[1]["working"] == ""
    assert heard[1]["ranking"]["rows"][0]["rank"] == "likeliest"
    assert ask(view, "lay", SETTING)["working"] == "lay"
    assert ask(view, "stop")["stopped"]
    assert document.turns.empty()
    assert len(heard) == 2
