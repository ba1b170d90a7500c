"""Routes: lengths, joints, loops and resistance of a wiring, and wirings that are refused."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from pvsim.cabling import Conductor, Terminals, lay_cables, leapfrog, loop_area_m2, row_by_row
from pvsim.errors import CablingError
from tests.cabling.roofs import full_grid, random_roof

ROUNDING = 1e-9  # of sums of some dozen lengths


def test_a_small_roof_counted_by_hand() -> None:
    # Boxes at x = 0, 1, 4 m; leads of 0.6 m; the meeting box 2 m to the left and 1 m down.
    at = [(0.0, 0.0), (1.0, 0.0), (4.0, 0.0)]
    leads = Terminals(minus_m=at, plus_m=at, minus_lead_m=0.6, plus_lead_m=0.6, slack_m=0.1, step_m=0.1)
    route = lay_cables(leads, (-2.0, 1.0), [(1, 2, 3)], conductor=Conductor(section_mm2=6), temperature_C=70)
    string = route.strings[0]
    assert string.lead_m == pytest.approx(3.6)
    # 1 to 2: 1.0 + 0.1 <= 1.2 reaches. 2 to 3: 3.0 + 0.1 - 1.2 = 1.9 m.
    assert [(one.from_module, one.to_module) for one in string.extensions] == [(2, 3)]
    assert string.extension_m == pytest.approx(1.9)
    assert string.extensions[0].line_m == pytest.approx(np.array([(1.6, 0.0), (3.4, 0.0)]))
    # Minus end: 2 + 1 + 0.1 - 0.6 = 2.5 m; plus end: 6 + 1 + 0.1 - 0.6 = 6.5 m.
    assert string.minus_run.length_m == pytest.approx(2.5)
    assert string.plus_run.length_m == pytest.approx(6.5)
    assert string.plus_run.line_m.tolist() == [[4.0, 0.0], [-2.0, 0.0], [-2.0, 1.0]]
    assert route.bought_m == pytest.approx(10.9)
    assert route.cable_m == pytest.approx(14.5)
    assert route.joints == 5  # 1-2 one, 2-3 two, one at each end
    assert string.span_m == pytest.approx([1.0, 3.0])
    assert string.resistance_ohm == pytest.approx(14.5e-3 * 3.39 * 300 / 250)  # IEC 60228, 6 mm2 tinned
    assert string.bought_resistance_ohm == pytest.approx(10.9e-3 * 3.39 * 300 / 250)
    assert string.loop_area_m2 == pytest.approx(0.0, abs=ROUNDING)  # all of it there and back in one line


def test_where_the_lead_reaches_the_box_nothing_is_bought_or_joined() -> None:
    leads = Terminals(minus_m=[(0, 0)], plus_m=[(0.4, 0)], minus_lead_m=1.5, plus_lead_m=0.2)
    string = lay_cables(leads, (0.0, 1.0), [[1]]).strings[0]
    assert string.minus_run.length_m == 0.0
    assert string.plus_run.length_m == pytest.approx(1.3)
    assert string.joints == 1


def loop_of(terminals: Terminals, box, string) -> list[tuple[float, float]]:
    """Corners of a string's loop written out again: box, minus end, modules, plus end."""
    first, last = string[0] - 1, string[-1] - 1
    corners = [tuple(box), (box[0], terminals.minus_m[first][1])]
    for number in string:
        corners += [tuple(terminals.minus_m[number - 1]), tuple(terminals.plus_m[number - 1])]
    return [*corners, (box[0], terminals.plus_m[last][1])]


def test_the_loop_of_a_row_has_the_area_of_a_polygon() -> None:
    # Two rows gone there and back: a ring without crossings, which shapely measures as well.
    roof = full_grid(2, 5, box_m=(-1.0, 1.0))
    wiring = [(1, 2, 3, 4, 5, 10, 9, 8, 7, 6)]
    area = lay_cables(roof.terminals, roof.box_m, wiring).strings[0].loop_area_m2
    ring = Polygon(loop_of(roof.terminals, roof.box_m, wiring[0]))
    assert ring.is_valid
    assert area == pytest.approx(ring.area, rel=ROUNDING)
    assert area == pytest.approx((4.5 * 1.1 + 1.0) * 1.8, rel=ROUNDING)


@pytest.mark.parametrize("seed", range(20))
def test_any_loop_has_the_area_of_its_triangles(seed) -> None:
    """Shapely's signed areas of the triangles under each side, seen from the box, add up to the loop."""
    roof, lengths = random_roof(seed)
    wiring = row_by_row(roof.rows, roof.columns, lengths)
    for string, route in zip(wiring, lay_cables(roof.terminals, roof.box_m, wiring).strings, strict=True):
        corners = loop_of(roof.terminals, roof.box_m, string)
        total = 0.0
        for one, other in pairwise(corners[1:]):
            triangle = Polygon([corners[0], one, other])
            total += triangle.area * (1.0 if triangle.exterior.is_ccw else -1.0)
        assert route.loop_area_m2 == pytest.approx(abs(total), rel=1e-6, abs=1e-9)


def test_a_loop_gone_round_as_an_eight_takes_one_half_off_the_other() -> None:
    eight = [(0, 0), (2, 1), (2, 0), (0, 1)]
    assert loop_area_m2(np.array(eight, dtype=float)) == pytest.approx(0.0, abs=ROUNDING)
    assert not LineString([*eight, eight[0]]).is_simple


def test_a_loop_in_space_has_its_own_area_whichever_way_it_leans() -> None:
    ring = np.array([(0, 0), (3, 0), (3, 2), (1, 4), (0, 2)], dtype=float)
    flat = Polygon(ring).area
    turn, _upper = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))
    leaning = np.column_stack([ring, np.zeros(5)]) @ turn + (7.0, -2.0, 4.0)
    assert loop_area_m2(leaning) == pytest.approx(flat, rel=ROUNDING)
    assert loop_area_m2(leaning[::-1]) == pytest.approx(flat, rel=ROUNDING)


def test_every_other_one_and_back_saves_the_way_home_along_the_row() -> None:
    roof = full_grid(2, 6, lead_m=1.3, box_m=(-1.0, 4.0))
    straight, frog = (
        lay_cables(roof.terminals, roof.box_m, order(roof.rows, roof.columns, [6, 6]))
        for order in (row_by_row, leapfrog)
    )
    assert straight.bought_m - frog.bought_m == pytest.approx(2 * 4 * 1.1)  # two strings, four modules each
    assert frog.extensions == straight.extensions == 0


@pytest.mark.parametrize("seed", range(20))
def test_all_is_the_sum_of_its_strings(seed) -> None:
    roof, lengths = random_roof(seed)
    route = lay_cables(roof.terminals, roof.box_m, leapfrog(roof.rows, roof.columns, lengths))
    for name in ("lead_m", "extension_m", "home_run_m", "bought_m", "cable_m", "joints"):
        whole = sum(getattr(string, name) for string in route.strings)
        assert getattr(route, name) == pytest.approx(whole)
    assert route.bought_m == pytest.approx(route.extension_m + route.home_run_m)
    assert route.cable_m == pytest.approx(route.bought_m + route.lead_m)
    assert route.lead_m == pytest.approx(2 * roof.terminals.plus_lead_m.sum())
    for string in route.strings:
        for one in string.extensions:
            drawn = np.linalg.norm(np.diff(one.line_m, axis=0))
            assert drawn <= one.length_m + ROUNDING


@pytest.mark.parametrize(
    ("wiring", "said"),
    [
        ([(1, 2, 2), (3, 4)], "taken more than once: 2"),
        ([(1, 2), (2, 3, 4)], "taken more than once: 2"),
        ([(1, 2), (4,)], "left out: 3"),
        ([(1, 2), (3, 4, 5, 0)], "unknown modules: 5, 0"),
        ([(1, 2, "x"), (3, 4)], "unknown modules: x"),
        ([(1, 2, True), (3, 4)], "unknown modules: True"),
        ([(1, 2), (), (3, 4)], "empty strings: 2"),
        ([], "no strings; left out: 1, 2, 3, 4"),
        ([(), (1, 1, 9)], "empty strings: 1; unknown modules: 9; taken more than once: 1; left out: 2, 3, 4"),
    ],
)
def test_a_wiring_that_cannot_be_is_refused_with_all_that_is_wrong(wiring, said) -> None:
    roof = full_grid(2, 2)
    with pytest.raises(CablingError) as refused:
        lay_cables(roof.terminals, roof.box_m, wiring)
    assert said in refused.value.wrong
    assert "each module from 1 to 4 once" in refused.value.expected
