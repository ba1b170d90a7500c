"""Modules mounted on surfaces, apart from how strings are wired."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import CATALOGUE, module_size, solve_array
from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault, paint, set_string_count, set_string_length
from pvsim.array.fault import Fault
from pvsim.array.layout import free_boxes, roof_of, roof_rectangles, unwired_boxes
from pvsim.array.mounting import Row, Spot, Surface, format_spot, parse_spot
from pvsim.array.place import Place
from pvsim.array.rewire import draw_string, free_spots, mount, on_surfaces, rewire, spots_of, take_away, turn
from pvsim.array.scenario import Scenario
from pvsim.array.shading import cell_irradiance
from pvsim.array.surfaces import add_surface, remove_surface, set_row, set_surface
from pvsim.errors import ScenarioError
from tests.array.samples import scenario

KIND = "full-60"
WIDTH, HEIGHT = module_size(CATALOGUE[KIND])
SURFACE = Surface(type=KIND, rows=(Row(places=3), Row(places=2, orientation="landscape", indent_m=0.5)))


def mounted(*wiring: str, surfaces: tuple[Surface, ...] = (SURFACE,), unwired: str = "", **more) -> Scenario:
    """Strings through spots that are written with spaces between."""

    def modules(text: str) -> tuple[Module, ...]:
        return tuple(Module(KIND, spot=parse_spot(one)) for one in text.split())

    strings = tuple(String(modules=modules(one)) for one in wiring)
    array = Array(strings=strings, surfaces=surfaces, unwired=modules(unwired), **more)
    return Scenario(title="mounted", array=array)


def test_a_spot_is_written_and_read() -> None:
    assert parse_spot(" b/2/15 ") == Spot(2, 2, 15)
    assert format_spot(Spot(2, 2, 15)) == "B/2/15"
    for wrong in ("2/2/15", "A/0/1", "Z/1/1", "A/1", "", "A/1/9999"):
        with pytest.raises(ScenarioError):
            parse_spot(wrong)


def test_modules_lie_on_their_spots_in_whatever_order_strings_visit_them() -> None:
    found = roof_of(mounted("A/1/3 A/1/1 A/2/2", "A/1/2"))
    gap = SURFACE.module_gap_m
    second_row = HEIGHT + SURFACE.row_gap_m
    expected = [
        (2 * (WIDTH + gap), 0.0, WIDTH, HEIGHT),
        (0.0, 0.0, WIDTH, HEIGHT),
        (0.5 + HEIGHT + gap, second_row, HEIGHT, WIDTH),  # lies on its side
        (WIDTH + gap, 0.0, WIDTH, HEIGHT),
    ]
    for (left, top, right, bottom), (x, y, width, height) in zip(found.rectangle, expected, strict=True):
        assert (left, top, right - left, bottom - top) == pytest.approx((x, y, width, height))
    assert found.row.tolist() == [0, 0, 1, 0]
    assert found.turn_deg.tolist() == [0, 0, 270, 0]


def test_every_array_of_rows_lies_as_before_once_it_is_mounted() -> None:
    rows = scenario(5, 2, modules_per_row=3, orientation="landscape", row_gap_m=0.3, module_gap_m=0.05)
    free = on_surfaces(rows)
    assert free.array.surfaces
    assert on_surfaces(free) is free
    assert roof_rectangles(free) == pytest.approx(roof_rectangles(rows), abs=1e-12)
    assert np.array_equal(roof_of(free).row, roof_of(rows).row)
    assert np.array_equal(solve_array(free).cells.power_W, solve_array(rows).cells.power_W)


def test_free_places_and_modules_in_no_string_are_known() -> None:
    now = mounted("A/1/1 A/1/2", unwired="A/2/1")
    assert free_spots(now) == [Spot(1, 1, 3), Spot(1, 2, 2)]
    assert [spot for spot, _box in free_boxes(now)] == free_spots(now)
    ((module, box),) = unwired_boxes(now)
    assert module.spot == Spot(1, 2, 1)
    assert box.right_m - box.left_m == pytest.approx(HEIGHT)


def test_light_follows_the_surface() -> None:
    east = replace(SURFACE, x_m=20.0, irradiance_factor=0.5)
    light = cell_irradiance(mounted("A/1/1 B/1/1", surfaces=(SURFACE, east)))
    assert light.tolist() == [1000.0] * 60 + [500.0] * 60


def test_what_lies_on_a_module_goes_with_it_when_strings_are_drawn_anew() -> None:
    now = mounted("A/1/1 A/1/2 A/1/3", "A/2/1 A/2/2")
    now = paint(now, [Place(1, 2, cell=7)], 0.3)
    now = add_fault(now, Fault("diode-open", Place(2, 1, diode=2)))
    now = add_fault(now, Fault("string-bridge", Place(1, 1), other=Place(2, 2)))
    now = add_fault(now, Fault("cable-open", Place(2)))
    new = rewire(now, [[Spot(1, 2, 1), Spot(1, 1, 2)], [Spot(1, 2, 2), Spot(1, 1, 3), Spot(1, 1, 1)]])
    assert [one.place for one in new.light.painted] == [Place(1, 2, cell=7)]
    assert {(one.kind, one.place, one.other) for one in new.faults} == {
        ("diode-open", Place(1, 1, diode=2), None),
        ("string-bridge", Place(2, 3), Place(2, 1)),
        ("cable-open", Place(2), None),
    }
    assert cell_irradiance(new).sum() == pytest.approx(cell_irradiance(now).sum())
    fewer = rewire(now, [[Spot(1, 1, 1), Spot(1, 1, 2)]])
    assert [one.kind for one in fewer.faults] == []  # what no string visits, nobody can tell of
    assert [one.spot for one in fewer.array.unwired] == [Spot(1, 1, 3), Spot(1, 2, 1), Spot(1, 2, 2)]
    assert spots_of(fewer) == ((Spot(1, 1, 1), Spot(1, 1, 2)),)


def test_modules_are_put_down_turned_and_taken_away() -> None:
    now = mounted("A/1/1 A/1/2", "A/2/1")
    more = mount(now, [Spot(1, 1, 3)], KIND)
    turned = turn(more, [Spot(1, 1, 3), Spot(1, 2, 1)])
    assert [one.rotated for one in turned.array.unwired] == [True]
    assert [one.rotated for string in turned.array.strings for one in string.modules] == [False, False, True]
    faulty = add_fault(turned, Fault("cable-open", Place(2)))
    less = take_away(faulty, [Spot(1, 1, 1), Spot(1, 1, 2)])
    assert spots_of(less) == ((Spot(1, 2, 1),),)
    assert [one.place for one in less.faults] == [Place(1)], "the string that is left is number 1 now"


def test_a_string_is_drawn_through_modules_of_others() -> None:
    now = mounted("A/1/1 A/1/2", "A/1/3", "A/2/1 A/2/2")
    first, second, third = now.array.strings
    strings = (first, replace(second, fuse=True), replace(third, blocking_diode=True))
    now = replace(now, array=replace(now.array, strings=strings))
    now = add_fault(now, Fault("cable-open", Place(3)))
    drawn, number = draw_string(now, 3, [Spot(1, 1, 3), Spot(1, 2, 2)])
    assert number == 2, "string 2 has no module left, and what comes after it moves up"
    assert spots_of(drawn) == ((Spot(1, 1, 1), Spot(1, 1, 2)), (Spot(1, 1, 3), Spot(1, 2, 2)))
    assert [one.spot for one in drawn.array.unwired] == [Spot(1, 2, 1)]
    assert [(one.fuse, one.blocking_diode) for one in drawn.array.strings] == [(False, False), (False, True)]
    assert [fault.place for fault in drawn.faults] == [Place(2)], "its broken cable goes with it"
    back, number = draw_string(drawn, 3, [Spot(1, 2, 1)])
    assert number == 3
    assert back.array.strings[2].blocking_diode, "a new one is like the last"
    gone, number = draw_string(back, 1, [])
    assert number == 0
    assert {one.spot for one in gone.array.unwired} == {Spot(1, 1, 1), Spot(1, 1, 2)}


def test_surfaces_get_rows_and_go_with_their_modules() -> None:
    now = mounted("A/1/1 A/1/2 A/1/3", unwired="A/2/1")
    now = set_row(now, 1, 3, places=4)
    assert [row.places for row in now.array.surfaces[0].rows] == [3, 2, 4]
    assert now.array.surfaces[0].rows[2].orientation == "landscape", "like the last"
    now = mount(now, [Spot(1, 3, 4)], KIND)
    fewer = set_row(now, 1, 2, places=0)
    assert [one.spot for one in fewer.array.unwired] == [Spot(1, 2, 4)], "the row below moved up"
    upright = set_row(now, 1, None, orientation="portrait")
    assert {row.orientation for row in upright.array.surfaces[0].rows} == {"portrait"}
    two = mount(add_surface(now, tilt_deg=10.0), [Spot(2, 1, 1)], KIND)
    assert two.array.surfaces[1].x_m > 3 * WIDTH
    one, _number = draw_string(two, 2, [Spot(2, 1, 1)])
    left = remove_surface(one, 1)
    assert spots_of(left) == ((Spot(1, 1, 1),),)
    assert left.array.surfaces[0].tilt_deg == 10.0
    with pytest.raises(ScenarioError, match="no module would be left"):
        remove_surface(left, 1)


def test_the_length_of_a_string_takes_from_what_is_mounted() -> None:
    now = mounted("A/1/1 A/1/2", unwired="A/2/1")
    longer = set_string_length(now, 3)
    assert spots_of(longer) == ((Spot(1, 1, 1), Spot(1, 1, 2), Spot(1, 2, 1)),)
    assert set_string_length(longer, 2) == now
    with pytest.raises(ScenarioError, match="in no string are only 0"):
        set_string_length(longer, 4)


def test_strings_that_go_leave_their_modules_on_the_roof_and_none_come_of_themselves() -> None:
    now = mounted("A/1/1 A/1/2", "A/2/1")
    fewer = set_string_count(now, 1)
    assert spots_of(fewer) == ((Spot(1, 1, 1), Spot(1, 1, 2)),)
    assert [module.spot for module in fewer.array.unwired] == [Spot(1, 2, 1)]
    assert set_string_count(now, 2) == now
    with pytest.raises(ScenarioError, match="2 are drawn on its surfaces"):
        set_string_count(now, 3)


def test_added_modules_of_a_fault_lie_below_all_surfaces() -> None:
    now = add_fault(mounted("A/1/1"), Fault("modules-too-many", Place(1), 2))
    found = roof_of(now).rectangle
    assert found[1:, 1] == pytest.approx(found[0, 3] + SURFACE.row_gap_m + WIDTH + now.array.row_gap_m)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: mounted("A/1/1 A/1/1"), "both mounted on A/1/1"),
        (lambda: mounted("A/1/1", "A/1/1"), "module 1/1"),
        (lambda: mounted("A/1/4"), "does not exist"),
        (lambda: mounted("B/1/1"), "does not exist"),
        (lambda: mounted("A/3/1"), "does not exist"),
        (lambda: mounted("A/1/1", surfaces=()), "the array has none"),
        (lambda: mounted("A/1/1", surfaces=(SURFACE, replace(SURFACE, x_m=1.0))), "A and B lie on"),
        (lambda: mounted("A/1/1", surfaces=(replace(SURFACE, type="full-36"),)), "larger than its place"),
        (lambda: replace(SURFACE, tilt_deg=91.0), "tilt_deg"),
        (lambda: replace(SURFACE, height_m=-1.0), "height_m"),
        (lambda: replace(SURFACE, rows=()), "rows"),
        (lambda: rewire(mounted("A/1/1"), [[Spot(1, 1, 1), Spot(1, 1, 2)]]), "where no module is mounted"),
        (lambda: rewire(mounted("A/1/1"), [[Spot(1, 1, 1), Spot(1, 1, 1)]]), "visits A/1/1 twice"),
        (lambda: rewire(mounted("A/1/1"), [[]]), "visits no module"),
        (lambda: mount(mounted("A/1/1"), [Spot(1, 1, 1)], KIND), "both mounted"),
        (lambda: turn(mounted("A/1/1"), [Spot(1, 1, 2)]), "no module is mounted"),
        (lambda: take_away(mounted("A/1/1"), [Spot(1, 1, 1)]), "no module would be left"),
        (lambda: set_surface(mounted("A/1/1"), 2, tilt_deg=3.0), "no surface 2"),
        (lambda: draw_string(mounted("A/1/1"), 3, [Spot(1, 1, 1)]), "no string 3"),
        (lambda: draw_string(mounted("A/1/1"), 1, []), "no module would be left"),
        (lambda: draw_string(mounted("A/1/1 A/1/2"), 1, [Spot(1, 1, 1), Spot(1, 1, 1)]), "twice"),
        (lambda: set_row(mounted("A/1/1"), 1, 4, places=1), "no row 4"),
        (lambda: set_row(mounted("A/1/1"), 1, None, places=0), "would have no row"),
        (lambda: set_surface(mounted("A/1/3"), 1, rows=(Row(places=2),)), "does not exist"),
    ],
)
def test_what_cannot_be_mounted_is_told(make, said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        make()
    mounted("A/1/1")
