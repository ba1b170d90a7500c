"""Cells and modules that differ: drawn from a seed, by place alone, as far apart as is asked for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from pvsim.array import Place, add_fault, solve_array
from pvsim.array.cell_scatter import scatter_of
from pvsim.array.fault import Fault
from pvsim.array.index import array_index
from pvsim.array.losses import LOSS_TERMS, loss_account
from pvsim.array.scatter import USUAL_SCATTER, Scatter
from pvsim.array.scenario import Scenario
from pvsim.circuit import leaves
from pvsim.circuit.leaf import leaf_of
from pvsim.errors import FileError, ScenarioError
from pvsim.files import read_demo
from pvsim.files.link import pack, unpack
from pvsim.files.scenario_file import read_scenario, write_scenario
from tests.spread import chance_of_spread

FIELDS = ("photocurrent", "shunt", "breakdown", "light", "warmer_K")


@pytest.fixture(scope="module")
def workshop() -> Scenario:
    return read_demo("workshop")


def drawn(scenario: Scenario, **values: float) -> object:
    return scatter_of(replace(USUAL_SCATTER, **values), array_index(scenario))


def test_without_scatter_nothing_differs(workshop: Scenario) -> None:
    assert workshop.scatter is None
    assert scatter_of(None, array_index(workshop)) is None
    none = Scatter(
        photocurrent_percent=0.0,
        shunt_percent=0.0,
        breakdown_percent=0.0,
        light_percent=0.0,
        temperature_K=0.0,
    )
    same = solve_array(replace(workshop, scatter=none))
    assert same.power_W == pytest.approx(solve_array(workshop).power_W, rel=1e-9)


def test_what_is_drawn_is_normal_and_as_wide_as_asked_for() -> None:
    index = array_index(read_demo("workshop"))
    samples: dict[str, list[np.ndarray]] = {name: [] for name in FIELDS}
    for seed in range(60):
        found = scatter_of(
            Scatter(
                seed=seed,
                photocurrent_percent=2.0,
                shunt_percent=40.0,
                breakdown_percent=6.0,
                light_percent=3.0,
                temperature_K=2.0,
            ),
            index,
        )
        starts = index.cell_start[:-1]
        for name in FIELDS:
            values = getattr(found, name)
            samples[name].append(values[starts] if name in ("light", "warmer_K") else values)
    wide = {"photocurrent": 0.02, "shunt": 0.40, "breakdown": 0.06, "light": 0.03, "warmer_K": 2.0}
    for name, pieces in samples.items():
        values = np.concatenate(pieces)
        values = np.log(values) if name == "shunt" else values - (0.0 if name == "warmer_K" else 1.0)
        z = values / wide[name]
        n = len(z)
        assert abs(z.mean()) < 4.0 / np.sqrt(n), name
        # Cut off at three, a standard normal number has a deviation of 0.9867.
        assert z.std() == pytest.approx(0.9933, abs=4.0 / np.sqrt(2 * n) + 0.007), name
        assert np.abs(z).max() <= 3.0 + 1e-9, name
        if name != "warmer_K":  # that one is rounded
            assert chance_of_spread(z, ndtr) > 1e-4, name


def test_neighbours_and_streams_have_nothing_to_do_with_one_another(workshop: Scenario) -> None:
    found = drawn(workshop, seed=7)
    z = {
        "photocurrent": found.photocurrent - 1.0,
        "shunt": np.log(found.shunt),
        "breakdown": found.breakdown - 1.0,
    }
    most = 4.0 / np.sqrt(len(found.shunt))
    names = list(z)
    for k, name in enumerate(names):
        assert abs(np.corrcoef(z[name][1:], z[name][:-1])[0, 1]) < most
        for other in names[k + 1 :]:
            assert abs(np.corrcoef(z[name], z[other])[0, 1]) < most
    again = drawn(workshop, seed=8)
    assert abs(np.corrcoef(found.photocurrent, again.photocurrent)[0, 1]) < most


def test_a_place_keeps_its_own_whatever_is_added_elsewhere(workshop: Scenario) -> None:
    longer = add_fault(workshop, Fault("modules-too-many", Place(1), 1.0))
    before, after = drawn(workshop), drawn(longer)
    a, b = array_index(workshop), array_index(longer)
    for string in (0, 1):
        first, last = a.cell_start[a.string_start[string]], a.cell_start[a.string_start[string + 1]]
        at = b.cell_start[b.string_start[string]]
        np.testing.assert_array_equal(
            before.photocurrent[first:last], after.photocurrent[at : at + last - first]
        )


def test_each_cell_of_the_circuit_is_what_was_drawn(workshop: Scenario) -> None:
    scenario = replace(workshop, scatter=replace(USUAL_SCATTER, seed=3))
    solution = solve_array(scenario)
    found = scatter_of(scenario.scatter, solution.index)
    kind = solution.index.kinds[0].kind.cell
    cells = [one for one in leaves(solution.built.trackers[0].circuit) if hasattr(one, "irradiance_W_m2")]
    assert len(cells) == len(found.shunt) == 960
    for number in (0, 59, 60, 500, 959):
        junction = leaf_of(cells[number]).junction
        own_ohm = kind.shunt_resistance_ohm * found.shunt[number]
        assert 1.0 / junction.conductance_S == pytest.approx(own_ohm, rel=1e-12)
        assert junction.breakdown_voltage_V == pytest.approx(
            kind.breakdown_voltage_V * found.breakdown[number], rel=1e-12
        )
        light = scenario.light.irradiance_W_m2 * found.light[number]
        T = solution.built.temperature_K[number]
        rise = 1.0 + kind.photocurrent_coefficient_per_K * (T - 298.15)
        assert leaf_of(cells[number]).source_A == pytest.approx(
            kind.photocurrent_A * found.photocurrent[number] * light / 1000.0 * rise, rel=1e-12
        )
        assert scenario.weather.heat == "fixed"
        warm = scenario.weather.cell_temperature_C + 273.15 + found.warmer_K[number]
        assert T == pytest.approx(warm, abs=1e-6)


def test_the_account_of_losses_adds_up_and_has_a_term_for_scatter(workshop: Scenario) -> None:
    equal = loss_account(solve_array(workshop))
    account = loss_account(solve_array(replace(workshop, scatter=USUAL_SCATTER)))
    total = sum(getattr(account, name) for name in LOSS_TERMS)
    assert account.nameplate_W == pytest.approx(equal.nameplate_W)
    assert account.nameplate_W - total == pytest.approx(account.delivered_W, abs=1e-6)
    assert equal.scatter_W == 0.0
    assert account.scatter_W != 0.0
    assert account.within_substrings_W > equal.within_substrings_W


def test_it_goes_into_file_and_link_and_comes_back(workshop: Scenario) -> None:
    scenario = replace(workshop, scatter=Scatter(seed=42, shunt_percent=30.0))
    text = write_scenario(scenario)
    assert "format = 3" in text
    assert read_scenario(text) == scenario
    assert unpack(pack(scenario)) == scenario
    assert "scatter" not in write_scenario(workshop)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("seed = 1", "seed = -1", "seed is -1"),
        ("seed = 1", "seed = 1.5", "a whole number"),
        ("shunt_percent = 50.0", "shunt_percent = 1e9", "shunt_percent is"),
        ("shunt_percent = 50.0", "shunt = 50.0", "shunt_percent"),
        ("format = 3", "format = 2", "scatter"),
    ],
)
def test_what_is_wrong_is_told_where_it_stands(workshop: Scenario, old: str, new: str, said: str) -> None:
    text = write_scenario(replace(workshop, scatter=USUAL_SCATTER))
    assert old in text
    with pytest.raises(FileError) as error:
        read_scenario(text.replace(old, new))
    assert said in str(error.value)


def test_only_numbers_within_bounds_make_a_scatter() -> None:
    with pytest.raises(ScenarioError):
        Scatter(seed=1_000_000)
    with pytest.raises(ScenarioError):
        Scatter(light_percent=float("nan"))


def test_heat_feedback_settles_with_modules_of_unlike_warmth(workshop: Scenario) -> None:
    warm = replace(
        workshop, scatter=USUAL_SCATTER, weather=replace(workshop.weather, heat="feedback")
    )
    solution = solve_array(warm)
    np.testing.assert_allclose(
        solution.cells.steady_temperature_K, solution.cells.temperature_K, atol=0.02
    )


def test_a_ribbon_of_which_next_to_nothing_is_left_is_open(workshop: Scenario) -> None:
    for share in (1.0, 1.0 - 1e-15):
        broken = add_fault(workshop, Fault("ribbon-broken", Place(1, 1, cell=1), share))
        assert solve_array(broken).diodes.conducting.sum() == 1
