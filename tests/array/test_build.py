"""From scenario to circuit: what each fault means, and what stays the same object."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import (
    CATALOGUE,
    Place,
    circuits,
    paint,
    parse_place,
    part_circuit,
    set_array,
    set_weather,
)
from pvsim.array.module import substring_cells
from pvsim.circuit import (
    Cell,
    Diode,
    OPEN_RESISTANCE_ohm,
    Parallel,
    Resistor,
    Series,
    Turned,
    leaves,
)
from tests.array.samples import faulty, scenario
from tests.workshop_roof import workshop_roof

SERIES_ohm = CATALOGUE["full-60"].cell.series_resistance_ohm


def part(start, text: str):
    return part_circuit(start, parse_place(text))


@pytest.mark.parametrize(
    ("fault", "field", "value"),
    [
        (("cell-open", "1/1/7"), "condition", "open"),
        (("cell-short", "1/1/7"), "condition", "short"),
        (("cell-cracked", "1/1/7", 0.25), "active_fraction", 0.75),
        (("cell-shunt", "1/1/7", 0.5), "parallel_resistance_ohm", 0.5),
        (("cell-resistive", "1/1/7", 0.05), "extra_series_resistance_ohm", 0.05),
        (("ribbon-broken", "1/1/7", 1.0), "condition", "open"),
        (("ribbon-broken", "1/1/7", 0.75), "extra_series_resistance_ohm", 3.0 * SERIES_ohm),  # Rs to 4 Rs
    ],
)
def test_a_fault_of_a_cell_changes_that_cell_alone(fault, field: str, value: object) -> None:
    broken = faulty(scenario(2), fault)
    assert getattr(part(broken, "1/1/7"), field) == pytest.approx(value)
    sound = part(scenario(2), "1/1/7")
    assert [one for one in leaves(part(broken, "1")) if isinstance(one, Cell) and one != sound] == [
        part(broken, "1/1/7")
    ]


@pytest.mark.parametrize("condition", ["open", "short", "reversed", "resistive"])
def test_a_fault_of_a_diode_changes_that_diode_alone(condition: str) -> None:
    broken = faulty(scenario(2), (f"diode-{condition}", "1/2/d3"))
    diodes = [one.condition for one in leaves(part(broken, "1")) if isinstance(one, Diode)]
    assert diodes == ["good"] * 5 + [condition]
    assert part(broken, "1/2/d3").condition == condition


def test_several_faults_of_one_cell_add_up() -> None:
    broken = faulty(
        scenario(1),
        ("cell-shunt", "1/1/7", 2.0),
        ("cell-cracked", "1/1/7", 0.5),
        ("cell-resistive", "1/1/7", 0.01),
        ("ribbon-broken", "1/1/7", 0.5),
        ("induced-shunting", "1/1", 2.0),
    )
    cell = part(broken, "1/1/7")
    assert cell.active_fraction == 0.5
    assert cell.parallel_resistance_ohm == pytest.approx(1.0)  # 2 ohm beside 2 ohm, at the frame
    assert cell.extra_series_resistance_ohm == pytest.approx(0.01 + SERIES_ohm)


def test_an_open_cell_stays_open_whatever_else_is_wrong_with_it() -> None:
    for order in (("cell-open", "cell-short"), ("cell-short", "cell-open")):
        broken = faulty(scenario(1), *[(kind, "1/1/7") for kind in order])
        assert part(broken, "1/1/7").condition == "open"


def test_a_reversed_module_is_turned_in_its_string() -> None:
    string = part(faulty(scenario(3), ("module-reversed", "1/2")), "1")
    assert [type(child).__name__ for child in string.children] == ["Series", "Turned", "Series"]
    assert string.children[1] == Turned(string.children[0])


def test_a_resistive_connector_is_in_series_with_its_module() -> None:
    string = part(faulty(scenario(3), ("connector-resistive", "1/2", 0.7)), "1")
    assert string.children[2] == Resistor(resistance_ohm=0.7)


def test_leads_of_a_string_are_cable_connectors_fuse_and_blocking_diode() -> None:
    leads = {
        "cable_resistance_ohm": 0.2,
        "connector_resistance_ohm": 0.01,
        "fuse": True,
        "blocking_diode": True,
    }
    cable, fuse, blocking = part(scenario(3, string=leads), "1").children[3:]
    assert cable.resistance_ohm == pytest.approx(0.2 + 4 * 0.01)  # three modules, four connector pairs
    assert isinstance(fuse, Resistor)
    assert isinstance(blocking, Diode)
    cut = faulty(scenario(3, string=leads), ("cable-open", "1"), ("fuse-blown", "1"))
    assert [one.resistance_ohm for one in part(cut, "1").children[3:5]] == [OPEN_RESISTANCE_ohm] * 2


def test_induced_shunting_is_worst_at_the_negative_end_and_at_the_frame() -> None:
    shunted = faulty(scenario(5), ("induced-shunting", "1", 2.0))
    at_frame = [part(shunted, f"1/{module}/1").parallel_resistance_ohm for module in range(1, 6)]
    assert at_frame == pytest.approx([2.0, 4.0, np.inf, np.inf, np.inf])
    inner = part(shunted, "1/1/5").parallel_resistance_ohm  # row 5, column 1: at the frame's left
    assert inner == pytest.approx(2.0)
    assert part(shunted, "1/1/25").parallel_resistance_ohm == pytest.approx(8.0)  # away from the frame


def test_a_half_cut_module_has_two_chains_and_a_diode_side_by_side() -> None:
    substring = part(scenario(1, type="half-120"), "1/1/s1")
    assert isinstance(substring, Parallel)
    upper, lower, diode = substring.children
    assert isinstance(upper, Series)
    assert len(upper.children) == len(lower.children) == 20
    assert isinstance(diode, Diode)


def test_a_module_without_diodes_has_none_in_its_circuit() -> None:
    assert all(isinstance(one, Cell) for one in leaves(part(scenario(1, type="bare-60"), "1/1")))


@pytest.mark.parametrize("type", ["full-60", "half-144", "shingled-360", "bare-60"])
def test_every_cell_place_leads_to_its_own_cell(type: str) -> None:
    start = scenario(1, type=type)
    kind = circuits(start).index.kinds[0].kind
    for substring in range(1, len(kind.substrings) + 1):
        for number in (substring_cells(kind, substring)[0], substring_cells(kind, substring)[-1]):
            dark = paint(start, [Place(1, 1, number)], 0.123)
            assert part(dark, f"1/1/{number}").irradiance_W_m2 == pytest.approx(123.0)
            marked = [
                one.irradiance_W_m2
                for one in leaves(part(dark, f"1/1/s{substring}"))
                if isinstance(one, Cell)
            ]
            assert marked.count(part(dark, f"1/1/{number}").irradiance_W_m2) == 1


@pytest.mark.parametrize("wiring", ["strings", "cross-tied"])
@pytest.mark.parametrize("type", ["full-60", "half-120"])
def test_leaf_places_point_at_the_cells_and_diodes_they_name(wiring: str, type: str) -> None:
    start = faulty(
        scenario(3, 3, type=type, wiring=wiring, string={"cable_resistance_ohm": 0.1, "fuse": True}),
        ("connector-resistive", "1/2"),
        ("module-reversed", "2/3"),
        ("diode-short", "2/2/d2"),
    )
    start = paint(start, [Place(2, 3, 5)], 0.5)
    built = circuits(start)
    found = leaves(built.trackers[0].circuit)
    cells = [found[k] for k in built.cell_leaf]
    assert all(isinstance(one, Cell) for one in cells)
    per_module = len(cells) // 6
    assert [k for k, one in enumerate(cells) if one.irradiance_W_m2 != 1000.0] == [5 * per_module + 4]
    diodes = [found[k] for k in built.diode_leaf]
    assert [k for k, one in enumerate(diodes) if one.condition != "good"] == [4 * 3 + 1]
    assert found[built.connector_leaf[1]] == Resistor(resistance_ohm=1.0)
    leads = [leaf + k for leaf, n in zip(built.leads_leaf, built.leads_count, strict=True) for k in range(n)]
    connectors = built.connector_leaf.values()
    everything = [*built.cell_leaf, *built.diode_leaf, *connectors, *leads, *built.cable_leaf]
    assert sorted(everything) == list(range(len(found)))


def test_unchanged_parts_stay_the_same_objects_from_scenario_to_scenario() -> None:
    first = circuits(workshop_roof())
    second = circuits(paint(workshop_roof(), [Place(2, 5, 14)], 0.2))
    same = [a is b for a, b in zip(first.modules, second.modules, strict=True)]
    assert same == [k != 8 + 4 for k in range(16)]
    again = circuits(paint(workshop_roof(), [Place(2, 5, 14)], 0.2))
    assert again.trackers[0].circuit is second.trackers[0].circuit


def test_equal_modules_of_a_scenario_are_one_object() -> None:
    built = circuits(faulty(scenario(4, 4), ("cell-open", "1/2/5"), ("cell-open", "2/4/5")))
    assert len({id(one) for one in built.modules}) == 2
    assert built.modules[1] is built.modules[7]


def test_trackers_follow_the_scenario_s_choice() -> None:
    assert [one.strings for one in circuits(scenario(2, 2, 2)).trackers] == [(1, 2, 3)]
    apart = set_array(scenario(2, 2, 2), tracking="per-string")
    assert [one.strings for one in circuits(apart).trackers] == [(1,), (2,), (3,)]


def test_a_bypass_diode_is_as_warm_as_its_substring() -> None:
    warm = set_weather(scenario(1), cell_temperature_C=60.0)
    assert part(warm, "1/1/d1").temperature_K == pytest.approx(333.15, abs=0.5)  # stated rounding: 1 K
