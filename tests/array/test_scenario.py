"""Scenarios: what goes together and what is refused, each time with a way to mend it."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace

import pytest

from pvsim.array import (
    Array,
    Fault,
    FirstView,
    Light,
    Module,
    Operation,
    Painted,
    Place,
    Scenario,
    Shadow,
    String,
    Weather,
    as_built,
    module_positions,
    module_type,
    paint,
    set_array,
    solve_array,
)
from pvsim.array.limits import MAX_CELLS, MAX_SHADOWS
from pvsim.errors import ScenarioError
from tests.array.samples import faulty, scenario
from tests.workshop_roof import workshop_roof


def test_scenarios_with_equal_parts_are_equal_and_hash_alike() -> None:
    assert workshop_roof() == workshop_roof()
    assert hash(workshop_roof()) == hash(workshop_roof())


def test_a_scenario_cannot_be_written_to() -> None:
    with pytest.raises(FrozenInstanceError):
        workshop_roof().title = "other"  # type: ignore[misc]


def test_the_demo_says_that_its_data_are_invented() -> None:
    assert "Invented" in workshop_roof().note


@pytest.mark.parametrize(
    ("text", "says"),
    [("3", "string from 1 to 2"), ("2/9", "module from 1 to 8"), ("2/5/61", "cell from 1 to 60"),
     ("2/5/s4", "from 1 to 3"), ("2/5/d4", "from 1 to 3")],
)  # fmt: skip
def test_a_place_that_does_not_exist_is_refused_naming_what_does(text: str, says: str) -> None:
    from pvsim.array import parse_place

    place = parse_place(text)
    with pytest.raises(ScenarioError, match=says):
        replace(workshop_roof(), first_view=FirstView(focus=place))
    if "d" not in text:
        with pytest.raises(ScenarioError, match=says):
            paint(workshop_roof(), [place], 0.5)


def test_a_diode_fault_in_a_module_without_diodes_is_refused() -> None:
    with pytest.raises(ScenarioError, match="has none"):
        faulty(scenario(1, type="bare-60"), ("diode-open", "1/1/d1"))


def test_an_unknown_module_type_is_refused_with_the_nearest_known() -> None:
    with pytest.raises(ScenarioError, match="full-60"):
        scenario(1, type="ful-60")


def test_a_type_of_the_scenario_hides_the_same_name_in_the_catalogue() -> None:
    own = replace(module_type(scenario(1), "full-60"), title="our own")
    mine = replace(scenario(1), module_types=(own,))
    assert module_type(mine, "full-60").title == "our own"


def test_two_module_types_of_one_name_are_refused() -> None:
    own = module_type(scenario(1), "full-60")
    with pytest.raises(ScenarioError, match="two module types"):
        replace(scenario(1), module_types=(own, own))


def test_too_many_cells_are_refused_with_the_bound() -> None:
    with pytest.raises(ScenarioError, match=str(MAX_CELLS)):
        scenario(*([100] * 12), type="shingled-360")


def test_too_many_shadows_are_refused() -> None:
    with pytest.raises(ScenarioError, match=str(MAX_SHADOWS)):
        Light(shadows=(Shadow(kind="pole"),) * (MAX_SHADOWS + 1))


def test_faults_cannot_add_modules_beyond_the_bound() -> None:
    with pytest.raises(ScenarioError, match="at most"):
        faulty(
            scenario(*([2] * 30), type="full-36"), *[("modules-too-many", f"{k}", 199) for k in range(1, 31)]
        )


def test_a_string_left_without_modules_is_refused() -> None:
    with pytest.raises(ScenarioError, match="no module left"):
        faulty(scenario(3, 3), ("modules-too-few", "1", 3))


def test_modules_left_out_or_added_change_the_array_as_built() -> None:
    changed = faulty(scenario(3, 3), ("modules-too-few", "1", 1), ("modules-too-many", "2", 2))
    assert [len(string.modules) for string in as_built(changed)] == [2, 5]
    assert len(module_positions(changed)) == 7
    assert len(solve_array(changed).cells.power_W) == 7 * 60


def test_what_is_put_on_a_module_left_out_has_no_effect() -> None:
    short = faulty(scenario(3, 3), ("modules-too-few", "1", 1))
    odd = faulty(paint(short, [Place(1, 3, 5)], 0.1), ("cell-open", "1/3/7"), ("soiling", "1/3", 0.5))
    assert solve_array(odd).power_W == solve_array(short).power_W


def test_a_fuse_can_only_blow_where_there_is_one() -> None:
    with pytest.raises(ScenarioError, match="no fuse"):
        faulty(scenario(2), ("fuse-blown", "1"))
    assert solve_array(faulty(scenario(2, string={"fuse": True}), ("fuse-blown", "1"))).power_W < 1e-6


def test_cross_tied_strings_of_unequal_length_are_refused() -> None:
    with pytest.raises(ScenarioError, match="same length"):
        scenario(3, 2, wiring="cross-tied")
    with pytest.raises(ScenarioError, match="unequal"):
        faulty(scenario(3, 3, wiring="cross-tied"), ("modules-too-few", "1"))


def test_cross_tied_strings_on_a_tracker_each_are_refused() -> None:
    with pytest.raises(ScenarioError, match="cross-ties join"):
        scenario(3, 3, wiring="cross-tied", tracking="per-string")


def test_faults_that_join_strings_on_different_trackers_are_refused() -> None:
    apart = scenario(3, 3, tracking="per-string")
    with pytest.raises(ScenarioError, match="tracker each"):
        faulty(apart, ("string-bridge", "1/1", "2/2"))
    with pytest.raises(ScenarioError, match="tracker each"):
        faulty(apart, ("earth-fault", "1/1"), ("earth-fault", "2/2"))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Fault("cell-opened", Place(1, 1, 1)),
        lambda: Fault("cell-open", Place(1, 1)),
        lambda: Fault("cell-open", Place(1, 1, 1), 2.0),
        lambda: Fault("cell-cracked", Place(1, 1, 1), 1.0),
        lambda: Fault("cell-shunt", Place(1, 1, 1), 0.0),
        lambda: Fault("modules-too-few", Place(1), 1.5),
        lambda: Fault("string-bridge", Place(1, 1)),
        lambda: Fault("string-bridge", Place(1, 1), other=Place(1, 1)),
        lambda: Fault("earth-fault", Place(1, 1), other=Place(2, 1)),
        lambda: Fault("cell-shunt", Place(1, 1, 1), float("nan")),
        lambda: Light(irradiance_W_m2=-1.0),
        lambda: Light(irradiance_W_m2="bright"),  # type: ignore[arg-type]
        lambda: Light(diffuse_fraction=1.1),
        lambda: Painted(Place(1, 1, diode=1), 0.5),
        lambda: Painted(Place(1), 1.5),
        lambda: Shadow(kind="cloud"),  # type: ignore[arg-type]
        lambda: Shadow(kind="pole", width_m=-1.0),
        lambda: Weather(heat="warm"),  # type: ignore[arg-type]
        lambda: Weather(cell_temperature_C=500.0),
        lambda: Operation("voltage"),
        lambda: Operation("mpp", 3.0),
        lambda: Operation("load", 0.0),
        lambda: Operation("voltage", True),
        lambda: Module("full-60", rotated=1),  # type: ignore[arg-type]
        lambda: String(modules=()),
        lambda: String(modules=(Module("full-60"),), cable_resistance_ohm=-0.1),
        lambda: Array(strings=()),
        lambda: Array(strings=scenario(1).array.strings, tracking="two"),  # type: ignore[arg-type]
        lambda: Scenario(title=3, array=scenario(1).array),  # type: ignore[arg-type]
        lambda: Scenario(title="x" * 500, array=scenario(1).array),
        lambda: Scenario(title="x", array="roof"),  # type: ignore[arg-type]
        lambda: FirstView(quantity="colour"),  # type: ignore[arg-type]
        lambda: set_array(scenario(1), colour="red"),
    ],
)
def test_values_that_cannot_be_are_refused_with_what_was_expected(make) -> None:
    with pytest.raises(ScenarioError) as caught:
        make()
    assert caught.value.expected
    assert caught.value.mend
