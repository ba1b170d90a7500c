"""What arrays do: the laws they keep, the hard cases, and the rules of the trade."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from pvsim.array import (
    CATALOGUE,
    Operation,
    Place,
    cell_area_m2,
    level_curve,
    paint,
    parse_place,
    part_curve,
    set_array,
    set_light,
    set_operation,
    set_weather,
    solve_array,
)
from pvsim.circuit import Turned, solve
from pvsim.errors import ScenarioError
from tests.array.samples import faulty, scenario
from tests.array.strategies import random_arrays
from tests.workshop_roof import workshop_roof

SOLVER = 1e-9  # stated bound of the solver's relative residual


def check_laws(solution) -> None:
    """Kirchhoff's laws and the power balance, over all parts of an array."""
    assert solution.residual <= SOLVER
    points = [tracker.point for tracker in solution.trackers]
    powers = [abs(point.leaf_power_W).sum() for point in points]
    for point, scale in zip(points, powers, strict=True):
        assert point.leaf_power_W.sum() == pytest.approx(point.power_W, abs=SOLVER * max(scale, 1.0))
    index, sign = solution.index, np.where(solution.built.reversed_modules, -1.0, 1.0)
    module_V = np.add.reduceat(solution.substrings.voltage_V, index.substring_start[:-1])
    np.testing.assert_allclose(solution.modules.voltage_V, module_V, rtol=1e-12)
    for arrays in (solution.cells, solution.diodes, solution.modules, solution.strings):
        for name in ("voltage_V", "current_A", "power_W"):
            assert np.isfinite(getattr(arrays, name)).all()
    if solution.scenario.array.wiring == "strings" and not solution.built.fault_leaf:
        # The same current through every module of a string.
        string_I = solution.strings.current_A[index.module_string]
        scale = max(float(np.abs(string_I).max()), 1.0)
        np.testing.assert_allclose(sign * solution.modules.current_A, string_I, atol=1e-7 * scale)


def test_modules_in_series_multiply_the_voltage_and_strings_in_parallel_the_current() -> None:
    # Common practice, no source: n modules multiply the voltage, m strings the current.
    one = level_curve(scenario(1), Place(1, 1))
    many = solve_array(scenario(7, 7, 7)).characteristic
    assert many.voc_V == pytest.approx(7 * one.voc_V, rel=SOLVER)
    assert many.isc_A == pytest.approx(3 * one.isc_A, rel=SOLVER)
    assert many.mpp.power_W == pytest.approx(21 * one.mpp.power_W, rel=SOLVER)


def test_an_open_string_takes_its_share_of_the_current_and_leaves_the_voltage() -> None:
    # Common practice, no source: an open string of m takes 1/m of the current and leaves Voc.
    whole = solve_array(scenario(6, 6, 6, 6)).characteristic
    cut = solve_array(faulty(scenario(6, 6, 6, 6), ("cable-open", "3"))).characteristic
    assert cut.isc_A == pytest.approx(0.75 * whole.isc_A, rel=1e-6)  # an open cable still leaks 1e-12 S
    assert cut.voc_V == pytest.approx(whole.voc_V, rel=1e-6)
    assert cut.mpp.power_W == pytest.approx(0.75 * whole.mpp.power_W, rel=1e-6)


@pytest.mark.parametrize("type", CATALOGUE)
def test_every_catalogue_type_makes_an_array_that_keeps_the_laws(type: str) -> None:
    check_laws(solve_array(paint(scenario(3, 3, type=type), [Place(1, 2, 5), Place(2, 1)], 0.3)))


def test_an_open_cell_with_an_open_diode_gives_a_string_without_current() -> None:
    dead = solve_array(faulty(scenario(4), ("cell-open", "1/2/5"), ("diode-open", "1/2/d1")))
    assert abs(dead.strings.current_A[0]) < 1e-6
    assert abs(dead.power_W) < 1e-6
    assert dead.characteristic.isc_A == pytest.approx(0.0, abs=1e-6)
    check_laws(dead)


def test_an_open_cell_with_a_good_diode_costs_its_substring_and_the_diode_s_drop() -> None:
    solution = solve_array(faulty(scenario(4), ("cell-open", "1/2/5")))
    whole = solve_array(scenario(4))
    conducting = np.flatnonzero(solution.diodes.conducting)
    assert conducting.tolist() == [3]
    drop = -solution.diodes.voltage_V[3]
    assert 0.3 < drop < 0.6  # 8 to 11 A through a common Schottky type
    assert solution.power_W == pytest.approx(
        11 / 12 * whole.power_W - drop * solution.strings.current_A[0], rel=2e-3
    )
    check_laws(solution)


def test_one_shorted_diode_of_three_leaves_two_thirds_of_the_voltage() -> None:
    # Two of three substrings remain: physics; IEA-PVPS T13-30:2025, sect. 2.4.2 has the same third.
    curve = solve_array(faulty(scenario(1), ("diode-short", "1/1/d2"))).characteristic
    assert curve.voc_V == pytest.approx(2 / 3 * solve_array(scenario(1)).characteristic.voc_V, rel=1e-6)


def test_an_open_diode_shows_nothing_in_even_light() -> None:
    # IEA-PVPS T13-30:2025, sect. 2.4.2: open diode, unshaded: no symptom.
    whole, open_one = solve_array(scenario(3)), solve_array(faulty(scenario(3), ("diode-open", "1/2/d2")))
    assert open_one.power_W == pytest.approx(whole.power_W, rel=1e-6)  # a diode leaks some microamperes


def test_an_open_diode_beside_a_shaded_cell_makes_it_eat_more() -> None:
    shaded = paint(scenario(4), [Place(1, 2, 25)], 0.3)
    sound, broken = solve_array(shaded), solve_array(faulty(shaded, ("diode-open", "1/2/d2")))
    # Without its diode the cell holds the string back or takes its power, never both spared.
    assert broken.power_W < sound.power_W - 50.0
    sound_V = solve_array(set_operation(shaded, "current", 9.0))
    broken_V = solve_array(set_operation(faulty(shaded, ("diode-open", "1/2/d2")), "current", 9.0))
    at = sound_V.cell_index(Place(1, 2, 25))
    assert broken_V.cells.power_W[at] < sound_V.cells.power_W[at] < 0.0


def test_a_reversed_diode_shorts_its_lit_substring() -> None:
    solution = solve_array(faulty(scenario(3), ("diode-reversed", "1/1/d1")))
    at = solution.diode_index(Place(1, 1, diode=1))
    assert solution.diodes.current_A[at] < -0.05  # against the generator current
    assert not solution.diodes.conducting[at]
    assert solution.substrings.voltage_V[0] < 1.0
    check_laws(solution)


def test_a_reversed_module_takes_twice_its_voltage_from_the_string() -> None:
    whole, turned = solve_array(scenario(6)), solve_array(faulty(scenario(6), ("module-reversed", "1/4")))
    assert turned.characteristic.voc_V == pytest.approx(4 / 6 * whole.characteristic.voc_V, rel=1e-6)
    assert turned.modules.current_A[3] == pytest.approx(-turned.strings.current_A[0], rel=1e-6)
    assert turned.modules.power_W[3] < 0.0
    check_laws(turned)


def test_a_shorted_string_in_parallel_takes_the_others_current() -> None:
    faults = [("diode-short", f"1/{module}/d{diode}") for module in range(1, 4) for diode in range(1, 4)]
    solution = solve_array(faulty(scenario(3, 3), *faults))
    assert solution.characteristic.voc_V < 0.01
    # Whatever lights the shorted cells circulates in their diodes; the string's ends see a wire.
    curve = level_curve(faulty(scenario(3, 3), *faults), Place(1))
    assert abs(curve.voc_V) < 1e-3
    check_laws(solve_array(set_operation(faulty(scenario(3, 3), *faults), "load", 5.0)))


def test_a_shorter_string_is_fed_back_by_the_longer_ones_and_a_blocking_diode_stops_it() -> None:
    short = faulty(scenario(8, 8, 8), ("modules-too-few", "3", 3))
    at = set_operation(short, "current", 0.0)
    assert solve_array(at).strings.current_A[2] < -0.5
    blocked = faulty(scenario(8, 8, 8, string={"blocking_diode": True}), ("modules-too-few", "3", 3))
    solution = solve_array(set_operation(blocked, "current", 0.0))
    assert abs(solution.strings.current_A[2]) < 1e-3
    check_laws(solution)


@pytest.mark.parametrize("temperature_C", [-40.0, 90.0])
@pytest.mark.parametrize("irradiance", [0.0, 1.0, 10.0, 1000.0, 2000.0])
def test_cold_hot_dark_and_bright_arrays_are_solved(temperature_C: float, irradiance: float) -> None:
    start = set_weather(
        set_light(scenario(3, 3), irradiance_W_m2=irradiance), cell_temperature_C=temperature_C
    )
    solution = solve_array(paint(start, [Place(1, 1, 1)], 0.01))
    check_laws(solution)
    if irradiance == 0.0:
        assert solution.power_W == pytest.approx(0.0, abs=1e-9)
        assert solution.characteristic.mpps == ()


def test_a_cell_with_one_percent_of_its_light_is_bypassed() -> None:
    solution = solve_array(paint(scenario(8, 8), [Place(2, 5, 14)], 0.01))
    assert solution.diodes.conducting.sum() == 1
    assert solution.diodes.conducting[solution.diode_index(Place(2, 5, substring=1))]
    at = solution.cell_index(Place(2, 5, 14))
    assert solution.cells.power_W[at] == solution.cells.power_W.min() < 0.0


def test_the_dead_cell_is_four_different_circuits() -> None:
    start = scenario(4)
    dead = {
        "dark": paint(start, [Place(1, 2, 5)], 0.0),
        "open": faulty(start, ("cell-open", "1/2/5")),
        "short": faulty(start, ("cell-short", "1/2/5")),
        "cracked": faulty(start, ("cell-cracked", "1/2/5", 0.5)),
    }
    powers = {name: solve_array(one).power_W for name, one in dead.items()}
    # A short costs one cell of 240, a dark or open one its substring, of which there are 12.
    assert powers["short"] > powers["cracked"] > powers["open"]
    assert len({round(value, 3) for value in powers.values()}) == 4
    assert powers["short"] == pytest.approx(239 / 240 * solve_array(start).power_W, rel=1e-3)


@pytest.mark.parametrize(
    ("operation", "check"),
    [
        (Operation("voltage", 100.0), lambda point: point.voltage_V == pytest.approx(100.0, rel=SOLVER)),
        (Operation("current", 4.0), lambda point: point.current_A == pytest.approx(4.0, rel=SOLVER)),
        (Operation("load", 12.0), lambda p: p.voltage_V == pytest.approx(12.0 * p.current_A, rel=1e-8)),
    ],
)
def test_the_tracker_holds_what_the_operation_asks_for(operation: Operation, check) -> None:
    solution = solve_array(set_operation(scenario(4, 4), operation))
    assert check(solution.trackers[0].point)
    check_laws(solution)


def test_one_tracker_a_string_gives_at_least_what_one_for_all_gives() -> None:
    shaded = paint(scenario(5, 5), [Place(1, k, c) for k in (1, 2, 3) for c in (1, 21, 41)], 0.2)
    together, apart = solve_array(shaded), solve_array(set_array(shaded, tracking="per-string"))
    assert apart.power_W > together.power_W + 10.0
    assert apart.power_W == pytest.approx(sum(tracker.point.power_W for tracker in apart.trackers), rel=1e-12)
    assert [tracker.strings for tracker in apart.trackers] == [(1,), (2,)]
    check_laws(apart)
    with pytest.raises(ScenarioError, match="2 trackers"):
        apart.characteristic


def test_cross_ties_change_nothing_where_all_is_equal_and_help_where_it_is_not() -> None:
    even, tied = scenario(4, 4, 4), scenario(4, 4, 4, wiring="cross-tied")
    assert solve_array(tied).power_W == pytest.approx(solve_array(even).power_W, rel=1e-9)
    shaded = [Place(1, 1), Place(2, 2), Place(3, 3)]
    loose, bound = solve_array(paint(even, shaded, 0.4)), solve_array(paint(tied, shaded, 0.4))
    assert bound.power_W > 1.05 * loose.power_W
    check_laws(bound)


def test_parts_at_work_agree_with_the_curves_of_the_parts() -> None:
    solution = solve_array(paint(scenario(3, 3), [Place(2, 2, 7)], 0.4))
    for text in ("2/2", "2/1", "1"):
        place = parse_place(text)
        curve = part_curve(solution, place)
        arrays, at = (
            (solution.strings, 0)
            if place.module is None
            else (solution.modules, solution.module_index(place))
        )
        on_curve = np.interp(arrays.voltage_V[at], curve.voltage_V, curve.current_A)
        assert arrays.current_A[at] == pytest.approx(on_curve, abs=0.02)  # straight lines between 400 points


def test_the_curve_of_each_level_is_that_of_its_part_alone() -> None:
    start = paint(scenario(2, 2), [Place(1, 1, 3)], 0.5)
    cell = level_curve(start, Place(1, 1, 3))
    assert cell.isc_A == pytest.approx(5.45, abs=0.01)  # half of 10.9 A
    assert level_curve(start, Place(1, 1, substring=2)).voc_V == pytest.approx(20 * 0.68, rel=0.01)
    assert level_curve(start, Place(1, 1, diode=1)).isc_A == pytest.approx(0.0, abs=1e-9)
    assert level_curve(start, Place(2)).voc_V == pytest.approx(
        2 * level_curve(start, Place(2, 1)).voc_V, rel=1e-9
    )
    assert level_curve(start, Place()).mpp.power_W == pytest.approx(solve_array(start).power_W, rel=1e-9)


def test_a_module_in_its_own_curve_is_never_turned() -> None:
    turned = faulty(scenario(2), ("module-reversed", "1/2"))
    assert level_curve(turned, Place(1, 2)).voc_V > 0.0
    assert solve(Turned(level_curve(turned, Place(1, 2)).circuit)).voc_V < 0.0


def test_half_cut_modules_lose_less_to_a_shaded_lower_half() -> None:
    # The two halves are in parallel: shading one leaves the other its current.
    def share(type: str, rows: range) -> float:
        from pvsim.array import cell_positions

        kind = CATALOGUE[type]
        row = cell_positions(kind)[:, 0]
        dark = [Place(1, 1, k + 1) for k in range(len(row)) if row[k] in rows]
        whole = level_curve(scenario(1, type=type), Place(1, 1)).mpp.power_W
        return level_curve(paint(scenario(1, type=type), dark, 0.1), Place(1, 1)).mpp.power_W / whole

    assert share("half-120", range(18, 20)) > 0.45
    assert share("full-60", range(9, 10)) < 0.2


def test_shifting_light_between_equal_cells_of_a_substring_changes_nothing() -> None:
    base = scenario(2)
    first = solve_array(paint(base, [Place(1, 1, 3), Place(1, 1, 9)], 0.5))
    second = solve_array(paint(base, [Place(1, 1, 12), Place(1, 1, 20)], 0.5))
    assert first.power_W == pytest.approx(second.power_W, rel=1e-12)


def test_a_place_that_is_no_cell_has_no_cell_index() -> None:
    with pytest.raises(ScenarioError, match="is not a cell"):
        solve_array(scenario(1)).cell_index(Place(1, 1))


def test_the_demo_works_at_a_plausible_power() -> None:
    solution = solve_array(workshop_roof())
    area = sum(960 * cell_area_m2(CATALOGUE["full-60"]) for _ in range(1))
    assert 0.15 < solution.power_W / (900.0 * area) < 0.22  # efficiency of mono silicon cells
    check_laws(solution)


@given(random_arrays())
def test_random_arrays_with_random_faults_keep_the_laws(start) -> None:
    check_laws(solve_array(start))


def test_work_grows_with_what_differs_and_not_with_what_repeats() -> None:
    faults = [("cell-open", f"{k}/{k}/{k}") for k in range(1, 11)]
    solution = solve_array(faulty(scenario(*([20] * 25), type="half-144"), *faults))
    assert len({id(module) for module in solution.built.modules}) == 11
    check_laws(solution)


def test_strings_with_a_tracker_each_are_shown_joined_as_one_tracker_would_see_them() -> None:
    apart = set_array(workshop_roof(), tracking="per-string")
    apart = paint(apart, [parse_place("1/4/14")], 0.2)
    joined = part_curve(solve_array(apart), Place()).mpp.power_W
    assert joined == pytest.approx(solve_array(set_array(apart, tracking="one")).power_W, rel=1e-9)
    assert joined <= solve_array(apart).power_W
