"""The address: carries the state, opens it, and refuses what it cannot."""

from __future__ import annotations

from urllib.parse import parse_qs

import pytest

from pvsim.app.session.address import address_of, open_address, own_address, page_address
from pvsim.app.session.state import State
from pvsim.app.shell.frame import FrameView
from pvsim.array.light import Painted
from pvsim.array.place import Place
from pvsim.errors import FileError
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import read_scenario
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


def request(query: str) -> dict[str, list[bytes]]:
    return {key: [value.encode() for value in values] for key, values in parse_qs(query).items()}


def test_an_address_opens_the_same_state(state: State) -> None:
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.break_part(Place(2, 5, diode=3), "diode-open")
    state.set_focus("2/5/50", level="substring")
    state.set_quantity("voltage")
    state.lesson = "one-cell/3"
    other = State(read_demo("mountain-hut"))
    open_address(other, request(address_of(state)))
    assert other.notice == ""
    assert other.scenario == state.scenario_as_shown()
    assert (other.focus, other.level, other.quantity) == (state.focus, "substring", "voltage")
    assert other.lesson == "one-cell/3"


def test_an_address_carries_what_is_compared_and_shown(state: State) -> None:
    state.keep_before()
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.set_view("difference")
    state.unfold()
    other = State(read_demo("mountain-hut"))
    open_address(other, request(address_of(state)))
    assert (other.view, other.unfolded, other.comparison) == ("difference", True, "kept")
    assert other.before_scenario == state.before_scenario
    other.paint([Place(1, 4, cell=15)], 0.2)
    assert other.before_scenario == state.before_scenario
    state.compare_nothing()
    third = State(read_demo("mountain-hut"))
    open_address(third, request(address_of(state)))
    assert (third.comparison, third.before) == ("off", None)


def test_a_kept_state_that_is_damaged_is_told_and_the_rest_opens(state: State) -> None:
    state.keep_before()
    state.paint([Place(1, 4, cell=14)], 0.2)
    query = request(address_of(state))
    query["before"] = [query["before"][0][:-5]]
    other = State(read_demo("mountain-hut"))
    open_address(other, query)
    assert other.scenario == state.scenario_as_shown()
    assert other.comparison == "last"
    assert "kept state" in other.notice
    assert "cut short" in other.notice


def test_no_address_opens_nothing(state: State) -> None:
    kept = state.scenario
    open_address(state, {})
    assert state.scenario is kept
    assert state.notice == ""


@pytest.mark.parametrize(
    "query", ["s=1.abc", "s=", "s=%FF%FE", "level=roof", "s=<script>", "s=" + "x" * 9000]
)
def test_a_spoilt_address_leaves_the_scenario(state: State, query: str) -> None:
    kept = state.scenario
    open_address(state, request(query))
    assert state.scenario is kept
    assert state.level == "module"


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.99])
def test_an_address_cut_anywhere_is_told_in_one_sentence(state: State, share: float) -> None:
    query = address_of(state).split("&")[0]
    open_address(state, request(query[: int(len(query) * share)]))
    assert state.notice
    assert "\n" not in state.notice


def paint_all(state: State) -> None:
    """Far more than any address holds."""
    painted = tuple(
        Painted(Place(1, m, cell=c), (61 * m + c) / 997.0) for m in range(1, 9) for c in range(1, 61)
    )
    state.set_light(painted=painted)


def test_what_does_not_fit_into_an_address_is_given_to_the_tab(state: State) -> None:
    paint_all(state)
    state.set_focus("1/4/14", level="cell")
    state.set_view("parts")
    with pytest.raises(FileError, match="Save the scenario"):
        address_of(state)
    query, kept = page_address(state, "de")
    assert request(query) == {"kept": [b"1"], "level": [b"cell"], "view": [b"parts"], "lang": [b"de"]}
    other = State(read_demo("mountain-hut"))
    open_address(other, request(query))
    other.open_kept(kept)
    assert other.scenario_as_shown() == state.scenario_as_shown()
    assert (other.level, other.view, other.notice) == ("cell", "parts", "")


def test_what_fits_again_is_given_to_the_address_again(state: State) -> None:
    paint_all(state)
    assert page_address(state)[1]
    state.undo()
    assert page_address(state) == (own_address(state), "")


def test_a_tab_that_has_kept_nothing_says_so_and_what_it_spoilt_is_refused(state: State) -> None:
    mine = state.scenario
    state.open_kept("")
    assert "only the tab it was made in" in state.notice
    for spoilt in ("x", "format = 1", "[" * 9000):
        state.open_kept(spoilt)
        assert "hat this tab kept" in state.notice
    assert state.scenario == mine


def test_what_lies_aside_for_a_lesson_and_does_not_fit_is_given_to_the_tab(state: State) -> None:
    paint_all(state)
    mine = state.scenario_as_shown()
    state.lend(read_demo("single-module"), "a step")
    state.lesson = "cell-to-array/1"
    query, kept = page_address(state)
    assert request(query)["lesson"] == [b"cell-to-array/1"]
    assert "kept" in request(query)
    other = State(read_demo("mountain-hut"))
    open_address(other, request(query))
    other.lend(read_demo("single-module"), "a step")
    other.open_kept(kept)
    assert other.scenario == state.scenario, "the lesson's own array stays on the bench"
    other.give_back()
    assert other.scenario_as_shown() == mine


def test_the_frame_tells_once_where_a_large_array_is_kept(state: State) -> None:
    frame = FrameView(state)
    assert say(frame.root, "address", None)["bench"] == ""
    paint_all(state)
    reply = say(frame.root, "address", None)
    assert "kept=1" in reply["address"]
    assert read_scenario(reply["bench"]) == state.scenario_as_shown()
    assert "This tab keeps it" in state.notice
    state.tell("")
    assert say(frame.root, "address", None) == reply
    assert state.notice == ""
    say(frame.root, "unkept", "array")
    assert "save it as a file" in state.notice
    say(frame.root, "unkept", "rest")
    assert "keeps nothing for pvsim" in state.notice
    state.tell("")
    say(frame.root, "unkept", "rest")
    assert state.notice == ""
    again = State(read_demo("mountain-hut"))
    assert say(FrameView(again).root, "bench", "format = 1") == {}  # the tab keeps what was refused
    again.tell("")
    assert say(FrameView(again).root, "bench", reply["bench"]) == reply
    assert again.scenario == state.scenario
    assert again.notice == ""


def test_a_page_loaded_again_in_a_lesson_still_has_what_lies_aside(state: State) -> None:
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.set_focus("1/4/14", level="cell")
    mine = state.scenario_as_shown()
    state.lend(read_demo("single-module"), "a step")
    state.lesson = "cell-to-array/1"
    other = State(read_demo("mountain-hut"))
    open_address(other, request(own_address(state)))
    assert (other.scenario, other.level, other.lesson) == (mine, "cell", "cell-to-array/1")
    assert "own" not in request(address_of(state)), "nobody else is handed it"
