"""The part of the strings' panel that holds an array against limits."""

from __future__ import annotations

import pytest

from pvsim.app.session.state import State
from pvsim.app.shell.bar_layout import bar_layout
from pvsim.app.shell.bar_values import bar_values
from pvsim.app.shell.top_bar import TopBarView
from pvsim.array.place import Place, parse_place
from pvsim.files.demo import read_demo
from pvsim.safety import Ratings, cold_voltages, earth_voltages
from pvsim.safety.sentences import CAUTIONS
from pvsim.words import speaking
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    return State(read_demo("rope-walk"))


def shown(state: State, name: str) -> str:
    text: str = bar_values(state)["fields"][name]
    return text.replace("\u00a0", " ")


def test_cautions_stand_before_what_they_are_about() -> None:
    fields = next(one["fields"] for one in bar_layout()["items"] if one["id"] == "string")
    order = [field.get("text") or field.get("id") for field in fields]
    assert order.index(CAUTIONS[0]) < order.index("limits")
    assert order.index(CAUTIONS[1]) < order.index("earth_minus")


def test_the_strings_are_held_against_what_was_typed_and_nothing_of_the_array_changes(state: State) -> None:
    view, before = TopBarView(state), state.scenario
    assert shown(state, "limits_found") == ""
    for field, typed in (
        ("lowest_C", "-20"),
        ("system_V", "380"),
        ("module_fuse", "25"),
        ("string_fuse", "16,0"),
    ):
        say(view.root, field, typed)
    assert state.ratings == Ratings(
        lowest_C=-20.0, system_voltage_V=380.0, module_fuse_A=25.0, string_fuse_A=16.0
    )
    say(view.root, "limits")
    told = shown(state, "limits_found")
    assert "ABOVE 380 V" in told
    assert f"{cold_voltages(before, state.ratings)[0].cold_V:.0f} V by their cells" in told
    assert "does NOT fit" in told
    assert (state.scenario, state.can_undo, state.notice) == (before, False, "")
    say(view.root, "lowest_C", "-10")
    assert "press once more" in shown(state, "limits_found")
    say(view.root, "limits")
    state.paint([parse_place("1/1")], 0.2)
    assert "press once more" in shown(state, "limits_found")


def test_an_earth_fault_that_was_made_shows_its_voltages(state: State) -> None:
    view = TopBarView(state)
    state.break_part(parse_place("2/5"), "earth-fault", 1000.0)
    say(view.root, "limits")
    assert "With the earth fault of string 2, module 5 a voltmeter" in shown(state, "limits_found")


def test_a_number_that_cannot_be_is_told_at_its_field(state: State) -> None:
    view = TopBarView(state)
    say(view.root, "lowest_C", "-90")
    assert "lowest_C" in view.root.wrong
    say(view.root, "earth_minus", "12")
    assert "earth_minus" in view.root.wrong
    assert state.ratings == Ratings()
    assert state.earth_readings == {}


def test_two_voltages_tell_where_the_fault_is(state: State) -> None:
    view = TopBarView(state)
    state.set_level("array")
    read = earth_voltages(state.scenario, 3, 5, resistance_ohm=3e5)
    say(view.root, "earth_minus", read.minus_V)
    assert shown(state, "earth_found") == ""
    say(view.root, "earth_plus", read.plus_V)
    assert shown(state, "earth_found").count("Between modules 5 and 6") == 5
    state.set_focus(Place(3))
    state.set_level("string")
    assert shown(state, "earth_found").startswith("Between modules 5 and 6 of string 3")
    assert shown(state, "earth_found").count("string") == 2
    with speaking("de"):
        assert "zwischen" in shown(state, "earth_found").lower()
    say(view.root, "earth_plus", "900")
    assert "add up to" in shown(state, "earth_found")
    state.set_light(irradiance_W_m2=300.0)
    assert "once more" in shown(state, "earth_found")
