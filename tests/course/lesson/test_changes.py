"""Each change of the fixed table does what it says, and leaves the scenario it was given alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from pvsim.array import USUAL_SCATTER, Fault, Scenario, parse_place
from pvsim.array.array import mounted_modules
from pvsim.array.mounting import Spot
from pvsim.array.rewire import spots_of
from pvsim.array.usual_wirings import usual_wirings
from pvsim.course.lesson.changes import CHANGES, apply_all, read_changes
from pvsim.course.table import Report, Table
from pvsim.errors import PvsimError
from tests.course.samples import find


def read(*changes: dict[str, Any]) -> tuple[Any, Report]:
    report = Report(file="trial.md")
    return read_changes(Table({"solution": list(changes)}, (), report), "solution"), report


def applied(*changes: dict[str, Any], start: str = "single-module") -> Scenario:
    found, report = read(*changes)
    assert not report.problems, report.problems
    scenario = find(start)
    before = repr(scenario)
    after = apply_all(scenario, found)
    assert repr(scenario) == before
    return after


SHADE = {"shade": ["1/1/14", "1/1/s2"], "transmission": 0.3}
OPEN = {"break": "1/1/d1", "fault": "diode-open"}


def test_shading_and_taking_it_back() -> None:
    assert [one.transmission for one in applied(SHADE).light.painted] == [0.3, 0.3]
    assert applied(SHADE, {"unshade": ["1/1/14", "1/1/s2"]}) == find("single-module")


def test_breaking_and_mending() -> None:
    assert applied(OPEN).faults == (Fault("diode-open", parse_place("1/1/d1")),)
    assert applied({"break": "1/1/3", "fault": "cell-shunt", "size": 2.5}).faults[0].size == 2.5
    assert applied(OPEN, {"mend": ["1/1/d1"]}) == find("single-module")


def test_clearing() -> None:
    assert applied({"clear": "shadows"}, start="ferry-terminal").light.shadows == ()
    assert applied(SHADE, OPEN, {"clear": "paint"}).light.painted == ()
    assert applied(SHADE, OPEN, {"clear": "faults"}).faults == ()
    assert applied(SHADE, OPEN, {"clear": "all"}) == find("single-module")


def test_light_weather_operation_and_shadow() -> None:
    after = applied(
        {"light": {"irradiance_W_m2": 640}},
        {"weather": {"cell_temperature_C": 61, "heat": "fixed"}},
        {"operate": "load", "value": 3.5},
        {"shadow": "pole", "x_m": 0.3, "y_m": 0.2, "width_m": 0.1, "height_m": 1.0},
    )
    assert after.light.irradiance_W_m2 == 640
    assert after.weather.cell_temperature_C == 61
    assert (after.operation.kind, after.operation.value) == ("load", 3.5)
    assert after.light.shadows[0].width_m == 0.1


def test_laying_the_modules_another_way() -> None:
    assert applied({"lay": "landscape"}).array.orientation == "landscape"
    assert applied({"lay": "landscape"}, {"lay": "portrait"}) == find("single-module")


def test_letting_cells_differ_by_usual_amounts() -> None:
    assert applied({"scatter": 7}).scatter == replace(USUAL_SCATTER, seed=7)


def test_wiring_turning_and_moving_the_box() -> None:
    roof = find("rope-walk")
    usual = usual_wirings(roof, (8,) * 5)
    assert spots_of(applied({"wire": "leapfrog"}, start="rope-walk")) == usual["leapfrog"]
    assert applied({"wire": "leapfrog"}, {"wire": "row by row"}, start="rope-walk") == roof
    four = applied({"wire": "serpentine", "strings": 4}, start="rope-walk")
    assert [len(string) for string in spots_of(four)] == [10] * 4
    drawn = applied({"draw": ["A/1/8-1"], "string": 1}, start="rope-walk")
    assert spots_of(drawn) == (usual["row by row"][0][::-1], *usual["row by row"][1:])
    turned = applied({"turn": ["A/1/1-8", "A/5/2"]}, start="rope-walk")
    found = {module.spot for _at, module in mounted_modules(turned.array) if module.rotated}
    assert found == {*usual["row by row"][0], Spot(1, 5, 2)}
    box = applied({"box": {"x_m": 4.5, "y_m": -1}}, start="rope-walk").array.cables
    assert (box.box_x_m, box.box_y_m, box.section_mm2) == (4.5, -1.0, 4.0)


def test_a_day_and_what_stands_there() -> None:
    mast = {"stand": "pole", "x_m": 4.6, "y_m": -2.9, "radius_m": 0.06, "height_m": 8}
    assert applied({"clear": "solids"}, start="nursery").day.solids == ()
    assert applied({"clear": "solids"}, mast, start="nursery") == find("nursery")
    winter = applied({"day": {"date": "2026-12-21"}}, start="nursery").day
    assert (winter.date, winter.site) == (date(2026, 12, 21), find("nursery").day.site)
    site = {"date": "2026-03-21", "latitude_deg": 54, "longitude_deg": 15, "utc_offset_h": 1}
    assert applied({"day": site}, mast, start="workshop").day.solids == find("nursery").day.solids


def test_every_change_of_the_table_is_tried_here() -> None:
    tried = {"shade", "unshade", "break", "mend", "clear", "shadow", "light", "weather", "operate", "lay"}
    tried |= {"wire", "draw", "turn", "box", "stand", "day", "scatter"}
    assert tried == set(CHANGES)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"shade": ["1/1/14"]}, "'transmission'"),
        ({"shade": ["1/1/14"], "transmission": 1.2}, "1.2"),
        ({"shade": [3], "transmission": 0.2}, "entry 1 of 'shade' is 3"),
        ({"shade": ["somewhere"], "transmission": 0.2}, "somewhere"),
        ({"shade": ["1/1/14"], "break": "1/1/3"}, "keys"),
        ({"paint_it_black": True}, "keys"),
        ({"lay": "upside down"}, "upside down"),
        ({}, "none"),
        ({"break": "1/1/14", "fault": "diode-open"}, "diode-open"),
        ({"operate": "mpp", "value": 3, "extra": 1}, "'extra'"),
        ({"scatter": -1}, "scatter"),
        ({"scatter": "usual"}, "scatter"),
        ({"turn": ["2/5/14"]}, "no place on a roof"),
        ({"draw": ["A/1/1"]}, "'string'"),
        ({"box": {"x_m": 3}}, "'y_m'"),
        ({"box": {"x_m": 3, "y_m": 2, "z_m": 1}}, "'z_m'"),
        ({"stand": "tree"}, "tree"),
        ({"stand": "pole", "x_m": 1, "y_m": 1}, "'radius_m'"),
        ({"stand": "pole", "x_m": 1, "y_m": 1, "radius_m": 0.1, "height_m": -3}, "height_m"),
        ({"day": {"date": "21.12."}}, "is no date"),
        ({"day": {"date": "2026-12-21", "latitude_deg": 54}}, "'longitude_deg'"),
        ({"day": {"date": "2026-12-21", "latitude_deg": 154, "longitude_deg": 3}}, "latitude_deg"),
    ],
)
def test_a_change_that_cannot_be_is_refused_in_words(change: dict[str, Any], said: str) -> None:
    _, report = read(change)
    assert any(said in problem.wrong for problem in report.problems), report.problems


@pytest.mark.parametrize(
    "change",
    [
        {"light": {"brightness": 3}},
        {"light": {"irradiance_W_m2": -5}},
        {"weather": {"heat": "tropical"}},
        {"operate": "mpp", "value": 3},
        {"shade": ["2/1/1"], "transmission": 0.5},
        {"wire": "frog"},
        {"wire": "leapfrog", "strings": 2},
        {"draw": ["A/1/9"], "string": 1},
        {"turn": ["B/1/1"]},
        {"day": {"date": "2026-12-21"}},
        {"stand": "pole", "x_m": 1, "y_m": 1, "radius_m": 0.1, "height_m": 3},
    ],
)
def test_a_change_the_array_refuses_raises_when_applied(change: dict[str, Any]) -> None:
    found, report = read(change)
    assert not report.problems
    with pytest.raises(PvsimError):
        apply_all(find("single-module"), found)
