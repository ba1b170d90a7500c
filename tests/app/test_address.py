"""The address: carries the state, opens it, and refuses what it cannot."""

from __future__ import annotations

from urllib.parse import parse_qs

import pytest

from pvsim.app.address import address_of, open_address, own_address, try_address
from pvsim.app.state import State
from pvsim.array.light import Painted
from pvsim.array.place import Place
from pvsim.files.demo import read_demo


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


def test_what_does_not_fit_leaves_no_address(state: State) -> None:
    painted = tuple(
        Painted(Place(1, m, cell=c), (61 * m + c) / 997.0) for m in range(1, 9) for c in range(1, 61)
    )
    state.set_light(painted=painted)
    query, why = try_address(state)
    assert query == ""
    assert "Save the scenario" in why


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
