"""The loss account: it adds up, and each term means what it says."""

from __future__ import annotations

import pytest
from hypothesis import given

from pvsim.array import (
    LOSS_TERMS,
    Place,
    paint,
    set_array,
    set_light,
    set_operation,
    set_weather,
)
from pvsim.array import solve_array as solved
from pvsim.array.cell_power import cell_mpp_W
from pvsim.array.losses import loss_account
from pvsim.circuit import Cell, solve
from tests.array.samples import faulty, scenario
from tests.array.strategies import random_arrays
from tests.workshop_roof import workshop_roof

ADDS_UP = 1e-9  # relative to the nameplate power: rounding of sums of thousands of terms


def check_sum(account) -> None:
    total = sum(getattr(account, name) for name in LOSS_TERMS)
    assert account.nameplate_W - total == pytest.approx(
        account.delivered_W, abs=ADDS_UP * account.nameplate_W
    )


def check_losses(account) -> None:
    """Terms that cannot be gains are none, up to what the solver may miss."""
    for name in ("within_substrings_W", "between_strings_W", "cable_W", "operation_W"):
        assert getattr(account, name) >= -1e-6 * account.nameplate_W, name


@given(random_arrays())
def test_the_account_of_random_arrays_adds_up(start) -> None:
    solution = solved(start)
    check_sum(loss_account(solution))
    check_losses(loss_account(solution))
    assert loss_account(solution).delivered_W == solution.power_W


@pytest.mark.parametrize(
    "start",
    [
        workshop_roof(),
        paint(workshop_roof(), [Place(2, 5, 14)], 0.2),
        set_array(paint(workshop_roof(), [Place(2, 5, 14)], 0.2), tracking="per-string"),
        set_array(paint(workshop_roof(), [Place(2, 5, 14)], 0.2), wiring="cross-tied"),
        set_operation(workshop_roof(), "voltage", 150.0),
        set_operation(workshop_roof(), "current", 0.0),
        set_light(workshop_roof(), irradiance_W_m2=0.0),
        set_weather(workshop_roof(), heat="feedback"),
        faulty(
            workshop_roof(),
            ("module-reversed", "1/2"),
            ("cell-open", "2/2/2"),
            ("connector-resistive", "1/3"),
        ),
        faulty(workshop_roof(), ("earth-fault", "1/3"), ("earth-fault", "2/6")),
    ],
    ids=["demo", "shaded", "per-string", "cross-tied", "voltage", "open", "dark", "warm", "faults", "earth"],
)
def test_the_account_adds_up_in_every_arrangement(start) -> None:
    account = loss_account(solved(start))
    check_sum(account)
    check_losses(account)


def test_an_even_array_at_reference_loses_nothing_but_in_its_leads() -> None:
    account = loss_account(solved(scenario(4, 4)))
    for name in LOSS_TERMS:  # sound bypass diodes leak 0.1 mA at 11 V: some 1 mW each
        assert getattr(account, name) == pytest.approx(0.0, abs=24 * 2e-3), name
    leads = {"cable_resistance_ohm": 0.3, "connector_resistance_ohm": 0.01}
    solution = solved(scenario(4, 4, string=leads, main_cable_resistance_ohm=0.05))
    string_A, main_A = solution.strings.current_A[0], solution.trackers[0].point.current_A
    dissipated = 2 * (0.3 + 5 * 0.01) * string_A**2 + 0.05 * main_A**2
    # Moving the maximum by the leads costs a little between substrings, and is counted there.
    assert loss_account(solution).cable_W == pytest.approx(dissipated, rel=1e-2)


def test_half_the_light_costs_about_half_and_heat_costs_by_the_coefficient() -> None:
    dim = loss_account(solved(set_light(scenario(2), irradiance_W_m2=500.0)))
    assert dim.irradiance_W == pytest.approx(
        0.5 * dim.nameplate_W, rel=0.03
    )  # the voltage falls a little too
    warm = loss_account(solved(set_weather(scenario(2), cell_temperature_C=50.0)))
    # Some -0.4 %/K: Wenham et al., Applied Photovoltaics, p. 50.
    assert warm.temperature_W / warm.nameplate_W == pytest.approx(25 * 0.004, rel=0.25)
    cold = loss_account(solved(set_weather(scenario(2), cell_temperature_C=0.0)))
    assert cold.temperature_W < 0.0


def test_one_shaded_cell_loses_little_itself_and_much_by_mismatch() -> None:
    account = loss_account(solved(paint(scenario(8, 8), [Place(2, 5, 14)], 0.2)))
    assert account.irradiance_W < 0.0011 * account.nameplate_W  # 0.8 of one cell of 960
    assert account.within_substrings_W + account.bypassed_W > 15 * account.irradiance_W
    assert account.between_strings_W > 0.0


def test_a_tracker_held_off_its_maximum_shows_in_the_operation_alone() -> None:
    at_best, off = (
        loss_account(solved(scenario(4, 4))),
        loss_account(solved(set_operation(scenario(4, 4), "voltage", 80.0))),
    )
    assert off.operation_W == pytest.approx(at_best.delivered_W - off.delivered_W, rel=1e-9)
    assert off.between_strings_W == pytest.approx(at_best.between_strings_W, abs=1e-6)


def test_damage_of_a_cell_is_told_apart_from_what_it_does_to_others() -> None:
    account = loss_account(solved(faulty(scenario(4), ("cell-cracked", "1/1/5", 0.5))))
    one_cell = account.nameplate_W / 240
    assert account.damage_W == pytest.approx(0.5 * one_cell, rel=0.01)  # half of it is cut off
    assert account.within_substrings_W > 10 * account.damage_W


def test_a_string_cut_off_is_lost_between_the_strings_parts() -> None:
    account = loss_account(solved(faulty(scenario(4, 4), ("cable-open", "1"))))
    check_sum(account)
    assert account.delivered_W == pytest.approx(0.5 * account.nameplate_W, rel=1e-3)


@pytest.mark.parametrize("irradiance", [0.0, 1.0, 200.0, 1000.0])
@pytest.mark.parametrize("temperature_K", [233.15, 298.15, 363.15])
def test_the_power_of_cells_alone_is_that_of_the_solver(irradiance: float, temperature_K: float) -> None:
    from pvsim.array import CATALOGUE

    cells = [
        Cell(
            type=kind.cell, irradiance_W_m2=irradiance, temperature_K=temperature_K, parallel_resistance_ohm=R
        )
        for kind in CATALOGUE.values()
        for R in (float("inf"), 0.5)
    ]
    cells += [Cell(type=cells[0].type, condition="open"), Cell(type=cells[0].type, condition="short")]
    expected = [solve(cell).mpp.power_W for cell in cells]
    assert cell_mpp_W(cells) == pytest.approx(expected, rel=1e-8, abs=1e-12)  # power is flat at its maximum
