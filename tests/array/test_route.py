"""Cables of an array at their true lengths, in the solver and in files."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import CATALOGUE, module_size, solve_array
from pvsim.array.cables import Cables, turned_point
from pvsim.array.layout import roof_of, turned_rectangles
from pvsim.array.losses import loss_account
from pvsim.array.mounting import Row, Spot, Surface
from pvsim.array.rewire import rewire, turn
from pvsim.array.route import array_terminals, cable_route, lead_resistances_ohm, roof_terminals, route_as
from pvsim.array.scenario import Scenario
from pvsim.errors import ScenarioError
from pvsim.files import read_scenario, write_scenario
from tests.array.samples import scenario
from tests.array.test_mounting import mounted

KIND = "full-60"
WIDTH, HEIGHT = module_size(CATALOGUE[KIND])
GAP = 0.02
ROOF = Surface(type=KIND, rows=(Row(places=6), Row(places=6)), module_gap_m=GAP, row_gap_m=GAP)
CLASS_5_TINNED_4_mm2 = 5.09e-3  # ohm/m at 20 degrees C, IEC 60228:2004 table 3 (two public tables agree)


def row_of_six(cables: Cables | None = None) -> Scenario:
    wiring = " ".join(f"A/1/{k}" for k in range(1, 7))
    return mounted(wiring, surfaces=(ROOF,), cables=cables or Cables(box_x_m=-0.6, box_y_m=0.08))


@pytest.mark.parametrize("turn_deg", [0, 90, 180, 270])
def test_a_point_turns_as_the_cells_around_it_do(turn_deg: int) -> None:
    kind = CATALOGUE["half-144"]
    upright, lying = turned_rectangles(kind, 0), turned_rectangles(kind, turn_deg)
    for cell in (0, 5, 143):
        middle = (upright[cell, :2] + upright[cell, 2:]) / 2
        expected = (lying[cell, :2] + lying[cell, 2:]) / 2
        assert turned_point(tuple(middle), module_size(kind), turn_deg) == pytest.approx(expected)


def test_leads_leave_the_boxes_where_they_lie() -> None:
    upright = array_terminals(row_of_six())
    assert upright.minus_m[:, 1] == pytest.approx(0.08)
    assert np.diff(upright.minus_m[:, 0]) == pytest.approx(WIDTH + GAP)
    turned = array_terminals(turn(row_of_six(), [Spot(1, 1, 2)]))
    assert turned.minus_m[1] == pytest.approx((WIDTH + GAP + WIDTH / 2, HEIGHT - 0.08))
    three_boxes = array_terminals(scenario(1, type="half-144"))
    assert three_boxes.minus_m[0, 0] < three_boxes.plus_m[0, 0], "minus leaves the first box, plus the last"


def test_a_row_costs_the_way_home_and_nothing_between_its_modules() -> None:
    route = cable_route(row_of_six())
    assert route is not None
    (string,) = route.strings
    # By hand: boxes at the middle of each module's upper edge, 1.1 m of lead on each side, 0.1 m of slack
    # and whole steps of 0.1 m. From -0.6 m to the first box, from the last one back to it.
    near, far = 0.6 + WIDTH / 2, 0.6 + 5 * (WIDTH + GAP) + WIDTH / 2
    assert string.extension_m == 0.0
    for run, way in ((string.minus_run, near), (string.plus_run, far)):
        assert run.length_m == pytest.approx(max(0.0, np.ceil((way + 0.1 - 1.1) * 10) / 10), abs=1e-9)
    assert string.joints == 5 + sum(run.length_m > 0 for run in (string.minus_run, string.plus_run))
    (ohm,) = lead_resistances_ohm(row_of_six(Cables(box_x_m=-0.6, box_y_m=0.08, temperature_C=20.0)))
    assert ohm == pytest.approx(string.bought_m * CLASS_5_TINNED_4_mm2 + string.joints * 0.0005, rel=1e-9)


def test_leads_that_do_not_reach_get_an_extension_that_is_counted() -> None:
    hop = mounted("A/1/1 A/1/4 A/1/2 A/1/3", surfaces=(ROOF,), cables=Cables())
    route = cable_route(hop)
    assert route is not None
    (string,) = route.strings
    steps = [hops * (WIDTH + GAP) for hops in (3, 2, 1)]
    lacking = [np.ceil((way + 0.1 - 2.2) * 10) / 10 for way in steps if way + 0.1 > 2.2]
    assert [one.length_m for one in string.extensions] == pytest.approx(lacking)
    assert len(lacking) == 2, "neighbours reach each other"


def test_copper_costs_what_ohm_says_in_the_solved_array() -> None:
    with_cables = row_of_six(Cables(box_x_m=-80.0, box_y_m=0.08))
    ohm = lead_resistances_ohm(with_cables)[0]
    plain = row_of_six()
    (string,) = plain.array.strings
    joints = (len(string.modules) + 1) * string.connector_resistance_ohm
    named = replace(
        plain,
        array=replace(
            plain.array, cables=None, strings=(replace(string, cable_resistance_ohm=ohm - joints),)
        ),
    )
    assert np.array_equal(solve_array(with_cables).cells.power_W, solve_array(named).cells.power_W)
    current = float(solve_array(with_cables).strings.current_A[0])
    in_all = ohm + with_cables.array.main_cable_resistance_ohm
    assert loss_account(solve_array(with_cables)).cable_W == pytest.approx(current**2 * in_all, rel=1e-6)


def test_another_wiring_is_measured_without_being_taken() -> None:
    now = mounted("A/1/1 A/1/2 A/1/3", surfaces=(ROOF,), unwired="A/2/1 A/2/2 A/2/3", cables=Cables())
    wiring = [[Spot(1, 1, 1), Spot(1, 2, 1)], [Spot(1, 1, 2), Spot(1, 2, 2)]]
    route = route_as(now, wiring)
    taken = cable_route(rewire(now, wiring))
    assert taken is not None
    assert route.bought_m == taken.bought_m
    spots, terminals = roof_terminals(now)
    assert spots == tuple(sorted(spots))
    assert len(spots) == 6
    assert terminals.minus_m[0] == pytest.approx(array_terminals(now).minus_m[0])


def test_an_array_of_rows_can_have_cables_too_and_comes_back_from_its_file() -> None:
    rows = scenario(5, 2)
    wired = replace(rows, array=replace(rows.array, cables=Cables(section_mm2=6, tinned=False)))
    assert cable_route(rows) is None
    route = cable_route(wired)
    assert route is not None
    assert len(route.strings) == len(roof_of(wired).index.strings)
    assert read_scenario(write_scenario(wired)) == wired
    assert "format = 2" in write_scenario(wired)
    long = replace(CATALOGUE["half-144"], name="own", minus_lead_m=1.4)
    with_type = replace(rows, module_types=(long,))
    assert read_scenario(write_scenario(with_type)) == with_type


@pytest.mark.parametrize(
    ("field", "value"),
    [("section_mm2", 5.0), ("section_mm2", 0), ("tinned", 1), ("temperature_C", 200.0), ("box_x_m", 1e6)],
)
def test_cables_that_are_not_made_are_refused(field: str, value: object) -> None:
    with pytest.raises(ScenarioError, match=field):
        Cables(**{field: value})
