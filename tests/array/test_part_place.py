"""From what somebody points at to the part meant."""

from __future__ import annotations

import pytest

from pvsim.array.array import Array, Module, String
from pvsim.array.fault import Fault
from pvsim.array.part_place import cells_of, diodes_of, holders, nearest_place, place_at, place_holds
from pvsim.array.place import parse_place
from pvsim.array.scenario import Scenario
from pvsim.errors import ScenarioError


def scenario(kind: str = "full-60", modules: int = 3, **fields) -> Scenario:
    return Scenario(
        title="A shed", array=Array(strings=(String(modules=(Module(kind),) * modules),) * 2), **fields
    )


@pytest.mark.parametrize(
    ("place", "level", "found"),
    [
        ("2/3/41", "array", "array"),
        ("2/3/41", "string", "2"),
        ("2/3/41", "module", "2/3"),
        ("2/3/41", "substring", "2/3/s3"),  # 20 cells to each of three substrings
        ("2/3/41", "diode", "2/3/d3"),
        ("2/3/s2", "cell", "2/3/21"),
        ("2/3/d2", "substring", "2/3/s2"),
        ("2", "cell", "2/1/1"),
        ("array", "module", "1/1"),
    ],
)
def test_a_part_of_any_level_is_found(place: str, level: str, found: str) -> None:
    assert place_at(scenario(), parse_place(place), level) == parse_place(found)


def test_a_diode_that_is_not_there_is_refused() -> None:
    with pytest.raises(ScenarioError, match="no bypass diode"):
        place_at(scenario("bare-60"), parse_place("1/1/5"), "diode")


@pytest.mark.parametrize(
    ("outer", "inner", "inside"),
    [
        ("array", "2/3/41", True),
        ("2", "2/3/d1", True),
        ("1", "2/3/d1", False),
        ("2/3/s3", "2/3/41", True),
        ("2/3/s3", "2/3/d3", True),
        ("2/3/s3", "2/3/40", False),
        ("2/3/41", "2/3", False),
        ("2/3", "2/3", True),
    ],
)
def test_a_part_holds_what_lies_in_it(outer: str, inner: str, inside: bool) -> None:
    assert place_holds(scenario(), parse_place(outer), parse_place(inner)) is inside


@pytest.mark.parametrize(
    ("place", "left"),
    [("2/3/60", "2/3/60"), ("3/1/1", "array"), ("2/4/1", "2"), ("2/3/61", "2/3"), ("2/3/s4", "2/3")],
)
def test_what_is_left_of_a_place_in_a_smaller_array(place: str, left: str) -> None:
    assert nearest_place(scenario(), parse_place(place)) == parse_place(left)


def test_a_module_that_a_fault_added_is_a_place() -> None:
    longer = scenario(faults=(Fault("modules-too-many", parse_place("2"), 1.0),))
    assert nearest_place(longer, parse_place("2/4/7")) == parse_place("2/4/7")
    assert place_at(longer, parse_place("2/4/7"), "substring") == parse_place("2/4/s1")


@pytest.mark.parametrize(
    ("place", "around"),
    [
        ("2/3/41", ["2/3/41", "2/3/s3", "2/3", "2", "array"]),
        ("2/3/d1", ["2/3/d1", "2/3/s1", "2/3", "2", "array"]),
        ("2/3/s3", ["2/3/s3", "2/3", "2", "array"]),
        ("2", ["2", "array"]),
        ("array", ["array"]),
    ],
)
def test_what_holds_a_place_from_near_to_far(place: str, around: list[str]) -> None:
    found = holders(scenario(), parse_place(place))
    assert found == tuple(map(parse_place, around))
    assert all(place_holds(scenario(), one, parse_place(place)) for one in found)


def test_cells_and_diodes_of_a_place_lie_together_in_the_flat_arrays() -> None:
    here = scenario()
    for text in ("array", "2", "2/3", "2/3/s2"):
        place = parse_place(text)
        cells, diodes = cells_of(here, place), diodes_of(here, place)
        assert cells.stop - cells.start == 20 * (diodes.stop - diodes.start), text
    assert diodes_of(here, parse_place("2/3/d2")) == diodes_of(here, parse_place("2/3/s2"))
