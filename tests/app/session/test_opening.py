"""Whole scenarios, put in place of the one on the bench."""

from __future__ import annotations

from pvsim.app.session.export import export_csv
from pvsim.app.session.state import State
from pvsim.array import change
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import write_scenario

CELL = Place(1, 2, cell=14)


def test_a_file_opens_at_the_place_and_quantity_it_names(state: State) -> None:
    state.set_focus("1/2/14", level="cell")
    state.set_quantity("power")
    text = write_scenario(state.scenario_as_shown())
    other = State(state.scenario)
    other.open_scenario(text, "mine.toml")
    assert other.notice == ""
    assert (other.focus, other.level, other.quantity) == (CELL, "cell", "power")
    assert not other.can_undo


def test_a_scenario_opened_with_a_current_it_cannot_carry_opens_at_its_mpp() -> None:
    cut = read_demo("workshop")
    for number in (1, 2):
        cut = change.add_fault(cut, Fault("cable-open", Place(number)))
    held = change.set_operation(cut, "current", 5.0)
    assert State(held).scenario == cut
    state = State(read_demo("workshop"))
    state.replace(held, fresh=True)
    assert state.scenario == cut
    assert "goes back to its MPP" in state.notice


def test_a_curve_opened_in_the_page_is_told_what_it_is_and_where_it_can_be_used() -> None:
    state = State(read_demo("workshop"))
    before = state.scenario
    state.open_scenario(export_csv(state)["text"], "tracer.csv")
    assert state.scenario is before
    assert state.notice.startswith("“tracer.csv” is a table of a curve, and not a scenario;")
    assert "Open a measured curve…" in state.notice
    assert "TOML)" in state.notice
    assert "line 1" not in state.notice
