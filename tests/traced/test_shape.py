"""Healthy noisy curves deviate in nothing, and each planted fault shows the deviation it is known by."""

from __future__ import annotations

import os

import numpy as np
import pytest

from pvsim.array import Place
from pvsim.errors import FileError
from pvsim.traced.shape import LEAST, SHAPES, shape_deviations, thinned
from pvsim.traced.traced_curve import TracedCurve
from tests.traced.samples import MODULE, curve_of_bench, curve_of_poor_junctions, traced

LONG = os.environ.get("PVSIM_HYPOTHESIS") == "long"
SEEDS = range(20 if LONG else 5)
HEALTHY = 100 if LONG else 30
CELLS = [Place(1, 1, k) for k in range(1, 61)]


@pytest.fixture(scope="module")
def healthy():
    return curve_of_bench()


def named(deviations):
    return {one.shape for one in deviations.all if one.named}


@pytest.mark.parametrize("voltage", [0.0, 0.005])
def test_a_healthy_curve_with_half_a_per_cent_of_noise_deviates_in_nothing(healthy, voltage):
    clean = sum(
        not named(shape_deviations(traced(healthy, k, voltage=voltage), healthy)) for k in range(HEALTHY)
    )
    assert clean >= 0.95 * HEALTHY


# What each fault is known by is common practice, no source; how large it is here is our own choice.
PLANTED = {
    "a-shaded-cell": ("steps", {"painted": [(Place(1, 1, 5), 0.5)]}),
    "a-dark-cell": ("steps", {"painted": [(Place(1, 1, 5), 0.1)]}),
    "a-cracked-cell": ("steps", {"faults": [("cell-cracked", Place(1, 1, 5), 0.3)]}),
    "soiling": ("low-current", {"faults": [("soiling", MODULE, 0.06)]}),
    "a-shorted-diode": ("low-voltage", {"faults": [("diode-short", Place(1, 1, diode=1))]}),
    "series-resistance": (
        "slope-at-voc",
        {"faults": [("cell-resistive", cell, 0.4 / 60) for cell in CELLS]},
    ),
    "a-bad-joint": ("slope-at-voc", {"faults": [("cell-resistive", Place(1, 1, 5), 0.5)]}),
    "low-shunts": ("slope-at-isc", {"faults": [("cell-shunt", cell, 1.0) for cell in CELLS]}),
    "induced-shunting": ("slope-at-isc", {"faults": [("induced-shunting", Place(1), 0.25)]}),
    "induced-shunting-of-some": ("rounder-knee", {"faults": [("induced-shunting", Place(1), 0.25)]}),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_shows_the_deviation_it_is_known_by(healthy, fault):
    shape, what = PLANTED[fault]
    curve = curve_of_bench(*what.get("faults", ()), painted=what.get("painted", ()))
    found = [named(shape_deviations(traced(curve, seed), healthy)) for seed in SEEDS]
    assert sum(shape in one for one in found) >= 0.9 * len(SEEDS)


def test_poor_junctions_round_the_knee(healthy):
    curve = curve_of_poor_junctions(1.8)
    found = [named(shape_deviations(traced(curve, seed), healthy)) for seed in SEEDS]
    assert sum("rounder-knee" in one for one in found) >= 0.9 * len(SEEDS)


def test_a_fault_of_one_kind_shows_no_deviation_of_another(healthy):
    for fault, alone in (("soiling", {"low-current"}), ("a-shorted-diode", {"low-voltage"})):
        curve = curve_of_bench(*PLANTED[fault][1]["faults"])
        found = [named(shape_deviations(traced(curve, seed), healthy)) for seed in SEEDS]
        assert sum(one == alone for one in found) >= 0.9 * len(SEEDS)


def test_each_evidence_stands_beside_its_threshold(healthy):
    found = shape_deviations(traced(healthy, 1), healthy)
    assert tuple(one.shape for one in found.all) == SHAPES
    assert all(one.threshold >= LEAST[one.shape] and one.noise > 0.0 for one in found.all)
    assert found.noise.current_A == pytest.approx(0.005 * healthy.isc_A, rel=0.4)  # of 60 points


def test_the_loss_of_current_and_voltage_is_what_was_planted(healthy):
    dirty = curve_of_bench(("soiling", MODULE, 0.06))
    short = curve_of_bench(("diode-short", Place(1, 1, diode=1)))
    by = {one.shape: one.size for one in shape_deviations(traced(dirty), healthy).all}
    assert by["low-current"] == pytest.approx(0.06, abs=0.001)  # Isc follows the light
    by = {one.shape: one.size for one in shape_deviations(traced(short), healthy).all}
    assert by["low-voltage"] == pytest.approx(1.0 / 3.0, abs=0.01)  # one substring of three is gone


def test_a_quieter_curve_shows_smaller_faults(healthy):
    joint = curve_of_bench(("cell-resistive", Place(1, 1, 5), 0.1))
    loud = shape_deviations(traced(joint, 1, voltage=0.005), healthy).all[-1]
    quiet = shape_deviations(traced(joint, 1, current=0.0005, voltage=0.0001), healthy).all[-1]
    assert loud.threshold > quiet.threshold
    assert quiet.named


def test_one_curve_is_judged_in_one_way(healthy):
    curve = traced(healthy, 3)
    assert shape_deviations(curve, healthy).all == shape_deviations(curve, healthy).all


def test_many_points_are_averaged_and_judged_alike(healthy):
    dense = traced(healthy, 1, points=20_000)
    few = thinned(dense, 200)
    assert few.voltage_V.size == 200
    assert few.voltage_V.mean() == pytest.approx(dense.voltage_V.mean(), rel=1e-6)
    assert named(shape_deviations(dense, healthy)) == set()


def test_a_curve_of_nothing_is_refused(healthy):
    flat = TracedCurve(voltage_V=np.linspace(0.0, 40.0, 30), current_A=np.zeros(30))
    with pytest.raises(FileError, match="no short circuit or no open circuit"):
        shape_deviations(flat, healthy)
