"""The catalogue: invented data in the ranges that crystalline silicon has."""

from __future__ import annotations

import pytest

from pvsim.array import CATALOGUE, Place, level_curve, set_light, set_weather
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
    assert 0.70 <= curve.fill_factor <= 0.83  # measured modules have 0.69 to 0.76, good cells more


@every_type
def test_voltage_falls_with_temperature_as_measured_on_modules(name: str) -> None:
    cold, warm = (
        level_curve(set_weather(scenario(1, type=name), cell_temperature_C=T), Place(1, 1)).voc_V
        for T in (15, 35)
    )
    per_cell_mV_per_K = 1000.0 * (warm - cold) / 20.0 / cells_in_series(name)
    # -1.7 to -2.4 mV/K: Wenham et al., Applied Photovoltaics, eq. 3.12; measured -1.78 to -2.08.
    assert -2.4 <= per_cell_mV_per_K <= -1.7


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
