"""The surfaces of a roof in the panel of the array."""

from __future__ import annotations

from pvsim.app.session.state import State
from pvsim.app.shell.bar_values import bar_values
from pvsim.app.shell.top_bar import TopBarView
from tests.app.wishes import say


def test_an_array_of_rows_has_no_surfaces_to_show(state: State) -> None:
    assert {"tilt", "surface", "add_surface"} <= set(bar_values(state)["hidden"])
    state.mount_freely()
    assert not {"tilt", "surface", "add_surface"} & set(bar_values(state)["hidden"])
    assert "orientation" in bar_values(state)["hidden"], "each row has its own"


def test_a_surface_is_tilted_and_gets_rows(state: State, bar: TopBarView) -> None:
    state.mount_freely()
    say(bar.root, "tilt", "12,5")
    say(bar.root, "azimuth", "200")
    assert state.scenario.array.surfaces[0].tilt_deg == 12.5
    say(bar.root, "row", "3")
    assert dict(bar_values(state)["options"])["row"][-1][0] == "3", "a new row below"
    say(bar.root, "places", "5")
    say(bar.root, "lies", "landscape")
    say(bar.root, "indent", "0.5 m")
    row = state.scenario.array.surfaces[0].rows[2]
    assert (row.places, row.orientation, row.indent_m) == (5, "landscape", 0.5)
    say(bar.root, "places", "0")
    assert len(state.scenario.array.surfaces[0].rows) == 2


def test_what_a_surface_cannot_be_is_told_at_its_field(state: State, bar: TopBarView) -> None:
    state.mount_freely()
    before = state.scenario
    for name, wrong in (("tilt", "95"), ("above", "-1"), ("places", "2.5"), ("from_left", "left")):
        say(bar.root, name, wrong)
        assert set(bar.root.wrong) == {name}
    say(bar.root, "row", "1")
    say(bar.root, "places", "4")  # eight modules lie in it
    assert "does not exist" in state.notice
    assert state.scenario == before


def test_one_more_surface_is_chosen_and_changed_alone(state: State, bar: TopBarView) -> None:
    state.mount_freely()
    say(bar.root, "add_surface")
    say(bar.root, "surface", "2")
    say(bar.root, "tilt", "5")
    assert [one.tilt_deg for one in state.scenario.array.surfaces] == [30.0, 5.0]
    say(bar.root, "from_left", "0")
    assert "lie on each other" in state.notice, "it would cover the first"
    say(bar.root, "remove_surface")
    assert bar_values(state)["fields"]["surface"] == "1"
