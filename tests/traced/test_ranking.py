"""The family of a planted fault comes first; what is none of the families is said to be none."""

from __future__ import annotations

import os
from dataclasses import replace
from functools import cache

import pytest

from pvsim.array import Fault, Place, add_fault, level_curve, paint, set_light, set_weather
from pvsim.errors import FileError
from pvsim.files import read_demo
from pvsim.traced.family import FAMILIES, families_of
from pvsim.traced.ranking import rank_faults
from tests.traced.samples import BENCH, MODULE, curve_of_bench, curve_of_poor_junctions, traced

CELLS = [Place(1, 1, k) for k in range(1, 61)]
# Each curve is ranked with other noise; a random search that runs long tries more of them.
SEEDS = range(20 if os.environ.get("PVSIM_HYPOTHESIS") == "long" else 8)
NINE_IN_TEN = 0.9 * len(SEEDS)


@cache
def workshop():
    return read_demo("workshop")


# Faults of pvsim's own bench, planted in another way than the families make them: other cells, other
# diodes, resistance cell by cell.
PLANTED = {
    "healthy": {},
    "soiling": {"faults": [("soiling", MODULE, 0.06)]},
    "shaded-cell": {"painted": [(Place(1, 1, 25), 0.5)]},
    "bypassed": {"faults": [("diode-short", Place(1, 1, diode=2))]},
    "series-resistance": {"faults": [("cell-resistive", cell, 0.2 / 60) for cell in CELLS]},
    "shunt": {"faults": [("cell-shunt", cell, 1.0) for cell in CELLS]},
}


@pytest.mark.parametrize("family", PLANTED)
def test_a_planted_fault_comes_first_and_fits(family):
    what = PLANTED[family]
    curve = curve_of_bench(*what.get("faults", ()), painted=what.get("painted", ()))
    found = [rank_faults(traced(curve, seed), BENCH, MODULE) for seed in SEEDS]
    right = [one.ranked[0].family.name == family and not one.none_of_these for one in found]
    assert sum(right) >= NINE_IN_TEN


def test_the_size_that_was_planted_is_found():
    dirty = rank_faults(traced(curve_of_bench(("soiling", MODULE, 0.06)), 1), BENCH, MODULE)
    assert dirty.ranked[0].size == pytest.approx(0.06, abs=0.005)
    shaded = rank_faults(traced(curve_of_bench(painted=[(Place(1, 1, 25), 0.5)]), 1), BENCH, MODULE)
    assert shaded.ranked[0].size == pytest.approx(0.5, abs=0.01)
    # 0.2 ohm at 9 A or so are a share of Voc that the solver's key figures tell.
    healthy = curve_of_bench()
    wired = curve_of_bench(*PLANTED["series-resistance"]["faults"])
    found = rank_faults(traced(wired, 1), BENCH, MODULE).ranked[0]
    assert found.size == pytest.approx(0.2 * healthy.isc_A / healthy.voc_V, rel=0.05)


@pytest.mark.parametrize(
    "curve",
    [
        pytest.param(lambda: curve_of_bench(painted=[(CELLS[4], 0.3), (CELLS[24], 0.6)]), id="two-cells"),
        pytest.param(lambda: curve_of_poor_junctions(1.8), id="poor-junctions"),
    ],
)
def test_what_is_none_of_the_families_is_said_to_be_none(curve):
    solved = curve()
    found = [rank_faults(traced(solved, seed), BENCH, MODULE) for seed in SEEDS]
    assert sum(one.none_of_these for one in found) >= NINE_IN_TEN


@pytest.mark.parametrize("axis", ["current", "voltage"])
def test_poor_junctions_are_none_of_the_families_with_noise_on_either_axis(axis):
    solved = curve_of_poor_junctions(1.8)
    noise = {"current": 0.001, "voltage": 0.001, axis: 0.005}
    found = [rank_faults(traced(solved, seed, **noise), BENCH, MODULE) for seed in SEEDS]
    assert sum(one.none_of_these for one in found) >= NINE_IN_TEN


def test_shunts_of_some_cells_are_shunts_or_none_of_these():
    solved = curve_of_bench(("induced-shunting", Place(1), 0.25))
    found = [rank_faults(traced(solved, seed), BENCH, MODULE) for seed in SEEDS]
    meant = [one.none_of_these or one.ranked[0].family.name == "shunt" for one in found]
    assert sum(meant) >= NINE_IN_TEN


@pytest.mark.parametrize(
    ("place", "fault", "family"),
    [
        (Place(1), Fault("diode-short", Place(1, 3, diode=2)), "bypassed"),
        (Place(1), Fault("modules-too-few", Place(1), 1.0), "module-missing"),
        (Place(), Fault("cable-open", Place(2)), "string-open"),
        (Place(), None, "healthy"),
    ],
)
def test_faults_of_strings_and_arrays_come_first(place, fault, family):
    scenario = workshop() if fault is None else add_fault(workshop(), fault)
    solved = level_curve(scenario, place)
    found = [rank_faults(traced(solved, seed), workshop(), place) for seed in range(5)]
    assert all(one.ranked[0].family.name == family and not one.none_of_these for one in found)


def test_the_ranking_is_one_of_shares_with_a_runner_up():
    found = rank_faults(traced(curve_of_bench(), 1), BENCH, MODULE)
    shares = [one.share for one in found.ranked]
    assert sum(shares) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)
    assert len(found.ranked) == len(families_of(BENCH, MODULE)) >= 2


def test_a_curve_that_noise_hides_leaves_the_runner_up_a_share():
    small = curve_of_bench(("soiling", MODULE, 0.04))
    found = rank_faults(traced(small, 1, current=0.02, voltage=0.01), BENCH, MODULE)
    assert found.ranked[1].share > 0.02
    quiet = rank_faults(traced(curve_of_bench(("soiling", MODULE, 0.2)), 1), BENCH, MODULE)
    assert quiet.ranked[1].share < 1e-6


def test_light_and_warmth_are_those_of_the_scenario():
    dim = set_weather(set_light(BENCH, irradiance_W_m2=600.0), cell_temperature_C=40.0)
    shaded = level_curve(paint(dim, [Place(1, 1, 30)], 0.4), MODULE)
    found = rank_faults(traced(shaded, 1), dim, MODULE)
    assert found.ranked[0].family.name == "shaded-cell"
    assert found.ranked[0].size == pytest.approx(0.6, abs=0.02)


def test_paint_that_is_there_stays_there():
    leafy = paint(BENCH, [MODULE], 0.8)
    found = rank_faults(traced(level_curve(paint(BENCH, [MODULE], 0.6), MODULE), 1), leafy, MODULE)
    assert found.ranked[0].family.name == "soiling"
    assert found.ranked[0].size == pytest.approx(0.25, abs=0.01)


def test_parts_have_the_families_they_can_have():
    names = {
        level: {one.name for one in families_of(workshop(), level)} for level in (Place(), Place(1), MODULE)
    }
    every = {one.name for one in FAMILIES}
    assert names[Place()] == every - {"module-missing"}
    assert names[Place(1)] == every - {"string-open"}
    assert names[MODULE] == every - {"string-open", "module-missing"}
    assert "module-missing" not in {one.name for one in families_of(BENCH, Place(1))}


def test_cells_without_photocurrent_explain_nothing():
    kind = BENCH.module_types[0]
    dark = replace(BENCH, module_types=(replace(kind, cell=replace(kind.cell, photocurrent_A=0.0)),))
    assert rank_faults(traced(curve_of_bench(), 1), dark, MODULE).none_of_these


def test_a_cell_alone_is_refused():
    with pytest.raises(FileError, match="a module, a string or the array"):
        rank_faults(traced(curve_of_bench(), 1), BENCH, Place(1, 1, 1))
