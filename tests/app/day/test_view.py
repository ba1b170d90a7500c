"""The day's strip without a browser: what it is told, what it shows, what becomes of the array."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.day import work
from pvsim.app.day.report import energy_sentence
from pvsim.app.day.view import DayView
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.day import day_energy
from pvsim.files import read_demo, read_scenario, write_scenario
from pvsim.files.demo import demo_names
from pvsim.words import speaking
from tests.app.wishes import say


@pytest.fixture(autouse=True)
def hourly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Days in steps of an hour, so that they are soon played."""
    monkeypatch.setattr(work, "STEPS_min", (60.0,))


@pytest.fixture
def state() -> State:
    state = State(read_demo("workshop"))
    state.open_day()
    return state


@pytest.fixture
def view(state: State) -> Iterator[DayView]:
    view = DayView(state)
    yield view
    view.close()


def shown(view: DayView) -> dict:
    return view.root.now.values


def field(view: DayView, name: str) -> str:
    return next(one["value"] for one in view.root.form.values["fields"] if one["field"] == name)


def wrong(view: DayView) -> dict[str, str]:
    return dict(view.root.wrong)


def with_pole(view: DayView) -> None:
    say(view.root, "add", "pole")


# Setting up


def test_what_is_opened_first_changes_nothing_of_the_array(state: State, view: DayView) -> None:
    assert state.scenario.day is None
    assert not state.can_undo
    assert shown(view)["stage"] == "none"
    assert field(view, "latitude_deg") == "54"


def test_a_field_that_is_set_puts_the_array_on_a_surface_and_is_one_step(state: State, view: DayView) -> None:
    before = state.scenario
    say(view.root, "set", {"field": "latitude_deg", "to": "47,5"})
    assert state.scenario.day.site.latitude_deg == 47.5
    assert len(state.scenario.array.surfaces) == 1
    assert "on a surface of its own" in state.said
    assert field(view, "latitude_deg") == "47.5"
    assert view.root.form.values["place"] == "own"
    say(view.root, "set", {"field": "longitude_deg", "to": "9"})
    assert "surface" not in state.said
    state.undo()
    state.undo()
    assert state.scenario == before


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("latitude_deg", "95", "cannot be 95"),
        ("longitude_deg", "-200", "cannot be"),
        ("height_m", "9000", "cannot be 9000"),
        ("utc_offset_h", "15", "cannot be 15"),
        ("ground", "120", "cannot be 120"),
        ("latitude_deg", "north", "is not a number"),
        ("date", "31 June", "no date"),
        ("date", "1492-10-12", "1950 to 2050"),
        ("date", "", "no date"),
    ],
)
def test_what_cannot_be_is_told_at_its_field_and_the_day_stays(
    state: State, view: DayView, name: str, typed: str, said: str
) -> None:
    say(view.root, "set", {"field": "ground", "to": "30"})
    before = state.scenario
    say(view.root, "set", {"field": name, "to": typed})
    assert list(wrong(view)) == [name]
    assert said in wrong(view)[name]
    assert state.scenario is before
    say(view.root, "set", {"field": "ground", "to": "40"})
    assert wrong(view) == {}


@pytest.mark.parametrize("kind", ["pole", "box", "parapet", "row"])
@pytest.mark.parametrize("name", demo_names())
def test_every_kind_of_thing_can_be_put_before_every_demo_array(name: str, kind: str) -> None:
    state = State(read_demo(name))
    state.open_day()
    view = DayView(state)
    say(view.root, "add", kind)
    assert state.notice == ""
    thing = state.scenario.day.solids[-1]
    assert view.root.form.values["things"][-1]["kind"] == kind
    assert read_scenario(write_scenario(state.scenario)) == state.scenario
    assert len(view.root.form.values["plan"]["things"]) == len(state.scenario.day.solids)
    assert thing.foot_m >= 0.0
    view.close()


def test_things_are_changed_field_by_field_and_taken_away(state: State, view: DayView) -> None:
    with_pole(view)
    say(view.root, "add", "parapet")
    say(view.root, "thing", {"index": 0, "field": "height_m", "to": "8"})
    assert state.scenario.day.solids[0].height_m == 8.0
    say(view.root, "remove", 0)
    assert [one["kind"] for one in view.root.form.values["things"]] == ["parapet"]
    state.undo()
    assert len(state.scenario.day.solids) == 2


@pytest.mark.parametrize("typed", ["-3", "0", "tall", "1e9"])
def test_a_pole_of_a_height_that_cannot_be_is_told_at_its_field(
    state: State, view: DayView, typed: str
) -> None:
    with_pole(view)
    before = state.scenario
    say(view.root, "thing", {"index": 0, "field": "height_m", "to": typed})
    assert "Height" in wrong(view)["thing-0-height_m"]
    assert state.scenario is before


def test_a_wall_that_ends_where_it_begins_is_told_at_the_field_that_made_it_so(view: DayView) -> None:
    say(view.root, "add", "parapet")
    fields = {one["field"]: one["value"] for one in view.root.form.values["things"][0]["fields"]}
    say(view.root, "thing", {"index": 0, "field": "to_x_m", "to": fields["x_m"]})
    assert "another point" in wrong(view)["thing-0-to_x_m"]


@pytest.mark.parametrize(
    ("do", "value"),
    [
        ("fly", None),
        ("set", None),
        ("set", {"field": "__class__", "to": "1"}),
        ("thing", {"index": 7, "field": "height_m", "to": "1"}),
        ("thing", {"index": "x"}),
        ("add", "castle"),
        ("remove", 3),
        ("remove", None),
        ("moment", "noon"),
        ("export", "exe"),
    ],
)
def test_what_no_script_of_ours_says_does_nothing(
    state: State, view: DayView, do: str, value: object
) -> None:
    before = state.scenario
    assert say(view.root, do, value) == {}
    assert state.scenario is before
    assert state.moment is None


def test_an_array_that_cannot_lie_on_a_surface_says_why(view: DayView, state: State) -> None:
    state.break_part(Place(1), "modules-too-few")
    assert state.notice == ""
    say(view.root, "compute")
    assert "fault changes how many modules a string has" in state.notice
    assert state.scenario.day is None
    assert shown(view)["stage"] == "none"


# Playing it


def test_a_day_is_played_and_told_in_a_table_and_in_words(state: State, view: DayView) -> None:
    with_pole(view)
    state.break_part(Place(1, 2, cell=3), "cell-open")
    say(view.root, "compute")
    now = shown(view)
    assert now["stage"] == "done"
    assert now["share"] == 1.0
    found = day_energy(state.scenario, step_min=60.0)
    assert [row[0] for row in now["rows"]] == ["open", "shaded", "power", "followed"]
    values = [float(row[2]) for row in now["rows"]]
    expected = [found.open_kWh, found.shaded_kWh, found.power_kWh, found.followed_kWh]
    assert values == pytest.approx(expected, abs=0.005)
    assert f"{found.power_kWh:.2f}" in now["said"]
    assert "shadow costs" in now["said"]
    assert "Faults" in now["said"]
    powers = view.root.lines.values["powers"]
    assert powers["power"] == pytest.approx(found.power_W.tolist(), abs=0.01)
    assert powers["open"] == pytest.approx(found.open_W.tolist(), abs=0.01)


def test_a_loss_too_small_to_be_written_is_not_said_to_be_none(state: State) -> None:
    state.set_day(date=date(2026, 6, 21))
    energy = day_energy(state.scenario, step_min=60.0)
    barely = replace(energy, shaded_kWh=energy.open_kWh - 1e-4)
    assert "less than" not in energy_sentence(energy)
    said = energy_sentence(replace(barely, power_kWh=barely.shaded_kWh, followed_kWh=barely.shaded_kWh))
    assert "Shadows, faults and trackers cost less than 0.01\u00a0kWh each." in said


def test_a_day_without_shadow_and_fault_loses_nothing_and_says_so(view: DayView) -> None:
    say(view.root, "compute")
    assert "Nothing of it is lost" in shown(view)["said"]
    assert [row[3] for row in shown(view)["rows"]] == ["–", "0", "0", "0"]


def test_a_night_that_lasts_all_day_is_refused_where_it_was_asked_for(view: DayView) -> None:
    say(view.root, "set", {"field": "latitude_deg", "to": "85"})
    say(view.root, "set", {"field": "date", "to": "2026-12-21"})
    say(view.root, "compute")
    assert shown(view)["stage"] == "failed"
    assert "does not rise" in shown(view)["told"]
    say(view.root, "set", {"field": "date", "to": "2026-06-21"})
    say(view.root, "compute")
    assert shown(view)["stage"] == "done"
    assert len(view.root.lines.values["hour"]) == 24, "the sun does not set either"


CHANGES = {
    "a thing": (lambda state: state.add_solid("box"), "stale"),
    "a fault": (lambda state: state.break_part(Place(1, 1, cell=1), "cell-open"), "stale"),
    "paint": (lambda state: state.paint([Place(1, 1)], 0.5), "stale"),
    "the temperature": (lambda state: state.set_weather(cell_temperature_C=60.0), "stale"),
    "the trackers": (lambda state: state.set_array(tracking="per-string"), "stale"),
    "where it is held": (lambda state: state.set_operation("voltage", 200.0), "done"),
    "light that is not the day's": (lambda state: state.set_light(irradiance_W_m2=300.0), "done"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_makes_the_picture_stale_unless_a_day_is_the_same_with_it(
    state: State, view: DayView, change: str
) -> None:
    with_pole(view)
    say(view.root, "compute")
    before = shown(view)["rows"]
    make, stage = CHANGES[change]
    make(state)
    assert shown(view)["stage"] == stage
    assert shown(view)["rows"] == before, "what is known stays, and is said to be of before"
    state.undo()
    assert shown(view)["stage"] == "done"


def test_what_a_day_does_not_depend_on_leaves_its_energy_as_it_is(state: State, view: DayView) -> None:
    with_pole(view)
    first = day_energy(state.scenario, step_min=60.0)
    state.set_operation("voltage", 200.0)
    state.set_light(irradiance_W_m2=300.0, diffuse_fraction=0.9, rear_irradiance_W_m2=50.0)
    state.set_weather(ambient_temperature_C=40.0)
    again = day_energy(state.scenario, step_min=60.0)
    assert again.power_kWh == pytest.approx(first.power_kWh, rel=1e-12)
    assert again.open_kWh == pytest.approx(first.open_kWh, rel=1e-12)


def test_an_array_too_large_for_the_page_is_sent_to_the_command(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "MOST_VALUES", 2400)
    state = State(read_demo("workshop"))
    view = DayView(state)
    say(view.root, "compute")
    assert "960 cells" in state.notice
    assert "pvsim day" in state.notice
    view.close()


def test_larger_arrays_are_played_in_longer_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "STEPS_min", (5.0, 15.0, 60.0))
    scenario = read_demo("workshop")
    for most, step in ((960 * 288, 5.0), (960 * 288 - 1, 15.0), (960 * 24, 60.0)):
        monkeypatch.setattr(work, "MOST_VALUES", most)
        assert work.step_for(scenario) == step


# The film


def test_moments_show_the_array_at_their_time_and_are_no_steps(state: State, view: DayView) -> None:
    with_pole(view)
    say(view.root, "compute")
    scenario, solution, before = state.scenario, state.solution, state.before
    powers = view.root.lines.values["powers"]["power"]
    for at in (0, 5, 8):
        say(view.root, "moment", at)
        assert shown(view)["at"] == at
        assert state.shown_solution.power_W == pytest.approx(powers[at], abs=0.01)
        assert state.shown_before is None
    assert (state.scenario, state.solution, state.before) == (scenario, solution, before)
    say(view.root, "leave")
    assert state.moment is None
    assert state.shown_solution is solution
    assert state.shown_before is before
    assert shown(view)["at"] is None
    state.undo()
    assert state.scenario.day is None, "the pole alone is undone"


def test_times_beyond_the_day_are_its_first_and_its_last(state: State, view: DayView) -> None:
    say(view.root, "compute")
    last = len(view.root.lines.values["hour"]) - 1
    for asked, at in ((-5, 0), (10**9, last)):
        say(view.root, "moment", asked)
        assert shown(view)["at"] == at


def test_whatever_changes_the_array_ends_the_film(state: State, view: DayView) -> None:
    say(view.root, "compute")
    for change in (
        lambda: state.paint([Place(1, 1)], 0.5),
        state.undo,
        lambda: state.set_operation("voltage", 200.0),
        lambda: state.lend(read_demo("single-module"), "a lesson"),
        state.give_back,
        lambda: state.choose_demo("workshop"),
    ):
        say(view.root, "compute")
        say(view.root, "moment", 6)
        assert state.moment is not None
        change()
        assert state.moment is None
        assert state.shown_solution is state.solution


def test_of_a_day_that_is_stale_no_moment_is_shown(state: State, view: DayView) -> None:
    say(view.root, "compute")
    state.paint([Place(1, 1)], 0.5)
    say(view.root, "moment", 6)
    assert state.moment is None


def test_closing_the_day_ends_its_film(state: State, view: DayView) -> None:
    say(view.root, "compute")
    say(view.root, "moment", 6)
    say(view.root, "close")
    assert not state.day_open
    assert state.moment is None
    state.open_day()
    assert shown(view)["stage"] == "done", "what was played is still there"


# A lesson


def test_while_a_prediction_is_asked_for_no_day_is_shown(state: State, view: DayView) -> None:
    say(view.root, "compute")
    say(view.root, "moment", 6)
    state.lock(True, ("curves",))
    assert state.moment is None
    now = shown(view)
    assert (now["stage"], now["rows"], now["said"]) == ("barred", [], "")
    assert "prediction" in now["barred"]
    assert view.root.lines.values == {}
    say(view.root, "moment", 6)
    say(view.root, "compute")
    assert state.moment is None
    assert shown(view)["stage"] == "barred"
    assert say(view.root, "export", "svg") == {}
    state.lock(False)
    assert shown(view)["stage"] == "done"
    assert view.root.lines.values["hour"]


def test_what_puts_the_page_right_closes_a_day_that_the_array_does_not_bring(
    state: State, view: DayView
) -> None:
    state.put_right()
    assert not state.day_open
    state.open_day()
    say(view.root, "compute")
    say(view.root, "moment", 6)
    state.put_right()
    assert state.day_open
    assert state.moment is None
    assert shown(view)["stage"] == "done"


# Out of the page


def test_the_day_leaves_the_page_as_svg_and_png(state: State, view: DayView) -> None:
    assert say(view.root, "export", "svg") == {}, "nothing is played yet"
    say(view.root, "compute")
    found = say(view.root, "export", "svg")
    assert found["file"].endswith("-day.svg")
    assert "<svg" in found["text"]
    assert "2026-06-21" in found["text"]
    assert say(view.root, "export", "png")["base64"]


def test_figures_of_the_curves_name_the_time_that_is_shown(state: State, view: DayView) -> None:
    from pvsim.app.session.export import export_csv, export_svg

    say(view.root, "compute")
    say(view.root, "moment", 8)
    clock = view.root.lines.values["clock"][8]
    assert clock in export_svg(state)["text"]
    assert clock in export_csv(state)["text"]
    say(view.root, "leave")
    assert clock not in export_csv(state)["text"]


def test_it_speaks_german_with_a_comma(state: State) -> None:
    with speaking("de"):
        view = DayView(state)
        say(view.root, "compute")
        assert "kWh" in shown(view)["said"]
        assert "," in shown(view)["rows"][0][2]
        assert "Generator" in shown(view)["said"]
        view.close()
