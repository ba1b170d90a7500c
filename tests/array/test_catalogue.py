"""The catalogue: invented data in the ranges that crystalline silicon has."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import CATALOGUE, Place, level_curve, set_light, set_weather
from pvsim.array.catalogue import half_of
from pvsim.circuit import operate
from tests.array.samples import scenario

every_type = pytest.mark.parametrize("name", CATALOGUE)


def cells_in_series(name: str) -> int:
    return sum(len(part.chains[0]) for part in CATALOGUE[name].substrings)


@pytest.mark.parametrize(
    ("name", "cells", "diodes"),
    [("full-36", 36, 2), ("full-60", 60, 3), ("full-72", 72, 3), ("full-96", 96, 4), ("half-120", 120, 3),
     ("half-144", 144, 3), ("back-contact-72", 72, 3), ("hetero-120", 120, 3), ("shingled-360", 360, 3),
     ("bare-60", 60, 0)],
)  # fmt: skip
def test_each_type_has_the_cells_and_diodes_its_title_says(name: str, cells: int, diodes: int) -> None:
    kind = CATALOGUE[name]
    assert kind.rows * kind.columns == cells
    assert sum(part.diode is not None for part in kind.substrings) == diodes


@every_type
def test_every_type_says_that_its_data_are_invented(name: str) -> None:
    assert "invented" in CATALOGUE[name].note.lower()


@every_type
def test_voltage_and_fill_factor_are_those_of_crystalline_silicon(name: str) -> None:
    curve = level_curve(scenario(1, type=name), Place(1, 1))
    per_cell = curve.voc_V / cells_in_series(name)
    assert 0.60 <= per_cell <= 0.75  # common practice, no source: some 0.6 V, heterojunction 0.74 V
    assert 0.78 <= curve.fill_factor <= 0.81  # of the data sheets of today; common practice, no source


# Temperature coefficients in % a kelvin, as data sheets print them: common practice, no single
# source. alpha of Isc, beta of Voc, gamma of the greatest power.
MULTI = ((0.04, 0.07), (-0.34, -0.30), (-0.42, -0.38))
MONO = ((0.04, 0.06), (-0.30, -0.27), (-0.37, -0.33))
BACK_CONTACT = ((0.03, 0.06), (-0.27, -0.23), (-0.31, -0.27))
HETEROJUNCTION = ((0.03, 0.055), (-0.25, -0.22), (-0.28, -0.24))
KINDS = {"full-36": MULTI, "back-contact-72": BACK_CONTACT, "hetero-120": HETEROJUNCTION}


@every_type
def test_heat_changes_current_voltage_and_power_as_data_sheets_say(name: str) -> None:
    cold, warm = (
        level_curve(set_weather(scenario(1, type=name), cell_temperature_C=T), Place(1, 1)) for T in (25, 50)
    )
    alpha, beta, gamma = (
        100.0 / 25.0 * (two / one - 1.0)
        for one, two in [
            (cold.isc_A, warm.isc_A),
            (cold.voc_V, warm.voc_V),
            (cold.mpp.power_W, warm.mpp.power_W),
        ]
    )
    for value, (least, most) in zip((alpha, beta, gamma), KINDS.get(name, MONO), strict=True):
        assert least <= value <= most


@every_type
def test_voltage_falls_with_temperature_as_measured_on_modules(name: str) -> None:
    cold, warm = (
        level_curve(set_weather(scenario(1, type=name), cell_temperature_C=T), Place(1, 1)).voc_V
        for T in (15, 35)
    )
    per_cell_mV_per_K = 1000.0 * (warm - cold) / 20.0 / cells_in_series(name)
    # -1.7 to -2.4 mV/K: Wenham et al., Applied Photovoltaics, eq. 3.12; measured -1.78 to -2.08.
    assert -2.4 <= per_cell_mV_per_K <= -1.7


def test_cells_cut_in_two_lose_less_in_their_ribbons() -> None:
    # The same wafers, whole and cut: half the current in ribbons of half the length. Modules of
    # half-cells give 2 to 3 % more; common practice, no single source.
    whole, cut = (level_curve(scenario(1, type=name), Place(1, 1)) for name in ("full-60", "half-120"))
    assert cut.voc_V == pytest.approx(whole.voc_V, rel=1e-4)
    assert cut.isc_A == pytest.approx(whole.isc_A, rel=1e-4)
    assert 1.015 <= cut.mpp.power_W / whole.mpp.power_W <= 1.03
    assert cut.fill_factor > whole.fill_factor


def test_all_that_half_a_cell_gains_is_the_voltage_its_ribbons_no_longer_take() -> None:
    cell = CATALOGUE["full-60"].cell
    half = half_of(cell, 0.45)
    drop_V, half_drop_V = (
        cell.photocurrent_A * cell.series_resistance_ohm,
        half.photocurrent_A * half.series_resistance_ohm,
    )
    ribbons_V = 0.45 * drop_V
    assert half_drop_V == pytest.approx(
        drop_V - 0.75 * ribbons_V, rel=1e-6
    )  # 1/2 of the length, 1/2 of the current
    without = half_of(cell, 0.0)  # nothing in ribbons: the same cell on half the area
    assert without.photocurrent_A * without.series_resistance_ohm == pytest.approx(drop_V, rel=1e-6)


@every_type
def test_a_bypass_diode_leaks_10_to_500_uA_at_work_and_more_when_warm(name: str) -> None:
    curve = level_curve(scenario(1, type=name), Place(1, 1))
    for part in CATALOGUE[name].substrings:
        if part.diode is not None:
            at_work_V = curve.mpp.voltage_V / len(CATALOGUE[name].substrings)
            leak, warm = (
                -operate(replace(part.diode, temperature_K=T), voltage_V=at_work_V).current_A
                for T in (298.15, 348.15)
            )
            assert 10e-6 <= leak <= 500e-6  # common practice, no source
            assert warm > 10.0 * leak
            # A public data sheet: at most 1 mA at 45 V and 25 degrees C, 100 mA at 100 degrees C.
            most = [
                -operate(replace(part.diode, temperature_K=T), voltage_V=45.0).current_A
                for T in (298.15, 373.15)
            ]
            assert most[0] <= 1e-3
            assert most[1] <= 0.1


def test_only_back_contact_cells_break_down_above_minus_5_V() -> None:
    # IEA-PVPS T13-30:2025, sect. 2.4.1: back-contact cells above -5 V, others well below.
    for name, kind in CATALOGUE.items():
        assert (kind.cell.breakdown_voltage_V > -5.0) == (name == "back-contact-72")
        if name != "back-contact-72":
            assert -25.0 <= kind.cell.breakdown_voltage_V <= -12.0


def test_half_cells_and_strips_make_the_current_of_a_whole_module() -> None:
    for name in ("half-120", "half-144", "shingled-360"):
        curve = level_curve(scenario(1, type=name), Place(1, 1))
        assert curve.isc_A == pytest.approx(
            CATALOGUE[name].cell.photocurrent_A * len(CATALOGUE[name].substrings[0].chains),
            rel=1e-3,  # the shunts take a little
        )


def test_the_rear_counts_by_bifaciality() -> None:
    both = set_light(scenario(1, type="half-144"), rear_irradiance_W_m2=200.0)
    one = set_light(scenario(1, type="half-144"), irradiance_W_m2=1140.0)  # 1000 + 0.7 * 200
    assert level_curve(both, Place(1, 1)).isc_A == pytest.approx(
        level_curve(one, Place(1, 1)).isc_A, rel=1e-12
    )
    blind = set_light(scenario(1, type="full-60"), rear_irradiance_W_m2=200.0)
    assert level_curve(blind, Place(1, 1)).isc_A == level_curve(scenario(1), Place(1, 1)).isc_A
