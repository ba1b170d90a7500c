"""The cables of a mounted array, as they are read at work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import solve_array
from pvsim.array.cables import Cables
from pvsim.array.rewire import on_surfaces
from pvsim.array.route import drawn_route
from pvsim.files.demo import FIRST_DEMO, read_demo
from pvsim.reading.cables import all_cables, string_cables

MOUNTED = on_surfaces(read_demo(FIRST_DEMO))


def wired(**fields: float):
    return replace(MOUNTED, array=replace(MOUNTED.array, cables=Cables(**fields)))


def test_an_array_of_rows_has_no_cables_to_tell_of() -> None:
    assert string_cables(solve_array(read_demo(FIRST_DEMO), points=40)) == ()


def test_drop_and_loss_are_those_of_the_copper_and_its_joints() -> None:
    # IEC 60228:2004, table 3 (class 5, tinned): 5.09 ohm/km at 20 degrees C for 4 mm2; its annex: Kt.
    scenario = wired(section_mm2=4.0, temperature_C=60.0)
    solution = solve_array(scenario, points=60)
    per_metre = 5.09e-3 * (230.0 + 60.0) / 250.0
    for one, string, current in zip(
        string_cables(solution), scenario.array.strings, solution.strings.current_A, strict=True
    ):
        ohm = one.bought_m * per_metre + one.joints * string.connector_resistance_ohm
        assert one.resistance_ohm == pytest.approx(ohm, rel=1e-3)
        assert one.drop_V == pytest.approx(ohm * current, rel=1e-3)
        assert one.loss_W == pytest.approx(ohm * current**2, rel=1e-3)
        assert one.bought_m == pytest.approx(one.extension_m + one.home_run_m)
    thick = string_cables(solve_array(wired(section_mm2=10.0, temperature_C=60.0), points=60))
    assert all_cables(thick).loss_W < all_cables(string_cables(solution)).loss_W


def test_all_cables_are_the_sum_of_the_strings() -> None:
    solution = solve_array(wired(), points=60)
    strings = string_cables(solution)
    together = all_cables(strings)
    route = drawn_route(solution.scenario)
    assert together.bought_m == pytest.approx(route.bought_m)
    assert (together.extensions, together.joints) == (route.extensions, route.joints)
    assert together.loop_area_m2 == max(one.loop_area_m2 for one in strings)
    assert together.modules == 16
