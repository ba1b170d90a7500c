"""Light on the cells: paint, dirt and the exact area under shadows."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array import (
    CATALOGUE,
    Painted,
    Place,
    Shadow,
    add_shadow,
    cell_irradiance,
    paint,
    roof_rectangles,
    set_light,
    shadow_outlines,
    shadow_share,
)
from pvsim.array.index import array_index, cell_slice
from tests.array.samples import faulty, scenario

KIND = CATALOGUE["full-60"]
SIDE = KIND.cell_width_m
AREA = SIDE * KIND.cell_height_m
ROUNDING = 1e-12  # of areas of 0.03 m2 in coordinates of some metres


def covered(kind: str, **shadow: float) -> np.ndarray:
    """Covered share of every cell of one module, by a dark thing on the glass."""
    return 1.0 - shadow_share(add_shadow(scenario(1), Shadow(kind=kind, **shadow)))


def centre(cell: int) -> tuple[float, float]:
    left, top, right, bottom = roof_rectangles(scenario(1))[cell - 1]
    return float(left + right) / 2, float(top + bottom) / 2


def test_without_shadows_every_cell_gets_all_the_light() -> None:
    assert (cell_irradiance(scenario(2, 3)) == 1000.0).all()


def test_a_square_within_a_cell_covers_its_own_area() -> None:
    x, y = centre(23)
    share = covered("dropping", x_m=x, y_m=y, width_m=0.0, height_m=0.05)
    assert (share == 0.0).all()  # no width, no area
    on_glass = add_shadow(
        scenario(1), Shadow(kind="rectangle", x_m=x, y_m=y, width_m=0.05, height_m=0.04, transmission=0.0)
    )
    share = 1.0 - shadow_share(set_light(on_glass, diffuse_fraction=0.0))
    assert share[22] == pytest.approx(0.05 * 0.04 / AREA, rel=ROUNDING * 1e3)
    assert np.delete(share, 22).max() == 0.0


@pytest.mark.parametrize("angle", [0.0, 17.0, 45.0, 90.0, 133.0, -60.0])
def test_a_turned_rectangle_within_a_cell_keeps_its_area(angle: float) -> None:
    x, y = centre(23)
    lit = add_shadow(
        scenario(1), Shadow(kind="rectangle", x_m=x, y_m=y, width_m=0.07, height_m=0.03, angle_deg=angle)
    )
    share = 1.0 - shadow_share(set_light(lit, diffuse_fraction=0.0))
    assert share.sum() == pytest.approx(0.07 * 0.03 / AREA, rel=1e-9)  # rounding of cut edges


@pytest.mark.parametrize("angle", [10.0, 20.0, 30.0])
def test_a_long_pole_across_a_cell_covers_the_strip_that_geometry_says(angle: float) -> None:
    # A strip of width w through the centre of a square of side s, leaving it by two opposite
    # sides, covers w s / cos(angle); it does so while tan(angle) s + w / cos(angle) <= s.
    w = 0.03
    assert tan(radians(angle)) * SIDE + w / cos(radians(angle)) <= SIDE
    x, y = centre(23)
    lit = add_shadow(scenario(1), Shadow(kind="pole", x_m=x, y_m=y, width_m=w, height_m=0.9, angle_deg=angle))
    share = 1.0 - shadow_share(set_light(lit, diffuse_fraction=0.0))
    assert share[22] == pytest.approx(w * SIDE / cos(radians(angle)) / AREA, rel=1e-9)  # cut edges


def test_a_corner_cuts_a_triangle_off_a_cell() -> None:
    # A square turned by 45 degrees whose corner reaches h into the cell covers h squared.
    left, top, _, bottom = roof_rectangles(scenario(1))[22]
    side, h = 0.1, 0.02
    reach = side / 2 * (sin(radians(45)) + cos(radians(45)))
    lit = add_shadow(
        scenario(1),
        Shadow(kind="rectangle", x_m=float(left) - reach + h, y_m=float(top + bottom) / 2,
               width_m=side, height_m=side, angle_deg=45.0),
    )  # fmt: skip
    share = 1.0 - shadow_share(set_light(lit, diffuse_fraction=0.0))
    assert share[22] == pytest.approx(h * h / AREA, rel=1e-9)  # cut edges


def test_turning_is_clockwise_on_the_drawing() -> None:
    (corners,) = shadow_outlines(
        scenario(1), Shadow(kind="rectangle", width_m=2.0, height_m=0.0 + 1e-9, angle_deg=90.0)
    )
    right_end = corners[1]  # before turning at (+1, 0); a quarter turn clockwise brings it down
    assert right_end == pytest.approx([0.0, 1.0], abs=1e-8)  # the sliver's own height


@given(
    st.floats(-0.5, 1.5), st.floats(-0.5, 2.2), st.floats(0.01, 1.5), st.floats(0.01, 1.5), st.floats(-90, 90)
)
def test_what_cells_lose_is_never_more_than_the_shadow_covers(
    x: float, y: float, width: float, height: float, angle: float
) -> None:
    lit = add_shadow(
        scenario(1), Shadow(kind="rectangle", x_m=x, y_m=y, width_m=width, height_m=height, angle_deg=angle)
    )
    share = 1.0 - shadow_share(set_light(lit, diffuse_fraction=0.0))
    assert share.min() >= 0.0
    assert share.max() <= 1.0
    assert share.sum() * AREA <= width * height * (1.0 + 1e-9)  # cut edges


@given(st.floats(0.0, 1.0), st.floats(0.2, 1.5))
def test_a_shadow_covers_the_same_on_a_shifted_array_of_equal_modules(dx: float, y: float) -> None:
    def shares(x: float) -> np.ndarray:
        lit = add_shadow(
            scenario(3), Shadow(kind="leaf", x_m=x, y_m=y, width_m=0.3, height_m=0.4, angle_deg=25.0)
        )
        return shadow_share(lit).reshape(3, 60)

    step = 1.046 + 0.02  # module and gap
    first, second = shares(dx), shares(dx + step)
    np.testing.assert_allclose(first[0], second[1], atol=1e-9)  # cut edges


def test_all_cells_under_a_large_shadow_are_covered_wholly() -> None:
    assert (covered("leaf", x_m=0.5, y_m=0.8, width_m=50.0, height_m=50.0) == 1.0).all()


def test_a_cast_shadow_leaves_the_diffuse_share_and_a_leaf_does_not() -> None:
    x, y = centre(23)
    big = {"x_m": x, "y_m": y, "width_m": 9.0, "height_m": 9.0}
    for kind, left in (("pole", 0.2), ("rectangle", 0.2), ("leaf", 0.0), ("dropping", 0.0)):
        dark = set_light(add_shadow(scenario(1), Shadow(kind=kind, **big)), diffuse_fraction=0.2)
        assert shadow_share(dark)[22] == pytest.approx(left, abs=ROUNDING)


def test_the_transmission_of_a_shadow_lets_light_through() -> None:
    big = {"x_m": 0.5, "y_m": 0.8, "width_m": 9.0, "height_m": 9.0, "transmission": 0.5}
    cast = set_light(add_shadow(scenario(1), Shadow(kind="rectangle", **big)), diffuse_fraction=0.2)
    glass = set_light(add_shadow(scenario(1), Shadow(kind="leaf", **big)), diffuse_fraction=0.2)
    assert shadow_share(cast)[22] == pytest.approx(0.2 + 0.8 * 0.5, abs=ROUNDING)
    assert shadow_share(glass)[22] == pytest.approx(0.5, abs=ROUNDING)


def test_where_shadows_overlap_the_darkest_wins() -> None:
    x, y = centre(23)
    pale = Shadow(kind="rectangle", x_m=x, y_m=y, width_m=0.1, height_m=0.1, transmission=0.6)
    dark = Shadow(kind="rectangle", x_m=x + 0.03, y_m=y, width_m=0.04, height_m=0.1, transmission=0.1)
    for order in ((pale, dark), (dark, pale)):
        lit = set_light(scenario(1), shadows=order, diffuse_fraction=0.0)
        lost = 0.4 * 0.06 * 0.1 + 0.9 * 0.04 * 0.1  # the dark one lies wholly on the pale one
        assert 1.0 - shadow_share(lit)[22] == pytest.approx(lost / AREA, rel=1e-9)  # cut edges


def test_the_same_shadow_twice_is_as_dark_as_once() -> None:
    once = add_shadow(scenario(1), Shadow(kind="pole", x_m=0.4, y_m=0.9, height_m=3.0, angle_deg=12.0))
    twice = add_shadow(once, once.light.shadows[0])
    np.testing.assert_allclose(shadow_share(once), shadow_share(twice), atol=1e-9)  # cut edges


def test_a_snow_edge_covers_the_lower_band_of_every_module() -> None:
    height = KIND.margin_m + 0.5 * KIND.cell_height_m  # half of the lowest cells
    snowy = add_shadow(scenario(2, 2), Shadow(kind="snow-edge", height_m=height))
    bottom = roof_rectangles(snowy)[:, 3]
    share = 1.0 - shadow_share(snowy)
    lowest = np.concatenate([part == part.max() for part in bottom.reshape(4, 60)])
    assert share[lowest] == pytest.approx(0.5, rel=1e-9)  # cut edges
    assert (share[~lowest] == 0.0).all()


def test_a_row_in_front_shades_the_lower_edge_of_each_row_and_leaves_diffuse_light() -> None:
    height = KIND.margin_m + KIND.cell_height_m + 0.5 * KIND.gap_m  # just the lowest cells
    shaded = add_shadow(scenario(2, 2), Shadow(kind="front-row", height_m=height))
    share = shadow_share(set_light(shaded, diffuse_fraction=0.3))
    assert sorted(set(np.round(share, 12))) == pytest.approx([0.3, 1.0])
    assert (share < 1.0).sum() == 4 * 6


def test_a_beam_behind_the_module_shades_only_its_rear() -> None:
    lit = set_light(scenario(1, type="half-144"), rear_irradiance_W_m2=100.0)
    beam = add_shadow(lit, Shadow(kind="rear-beam", x_m=0.57, y_m=1.0, width_m=2.0, height_m=0.1))
    assert (shadow_share(beam) == 1.0).all()
    G = cell_irradiance(beam)
    assert G.max() == pytest.approx(1070.0)
    assert 1000.0 <= G.min() < 1070.0
    left, top, right, bottom = roof_rectangles(beam).T
    on_beam = (np.minimum(bottom, 1.05) - np.maximum(top, 0.95)).clip(0.0) * (right - left)
    expected = 1000.0 + 70.0 * (1.0 - on_beam / ((right - left) * (bottom - top)))
    np.testing.assert_allclose(G, expected, rtol=1e-9)  # cut edges


def test_paint_on_a_cell_and_on_its_module_multiply() -> None:
    both = set_light(scenario(2), painted=(Painted(Place(1, 2), 0.5), Painted(Place(1, 2, 7), 0.4)))
    G = cell_irradiance(both)
    assert G[67 - 1] == pytest.approx(200.0)
    assert G[68 - 1] == pytest.approx(500.0)
    assert G[0] == 1000.0


@pytest.mark.parametrize("text", ["array", "2", "2/1", "2/1/s2", "2/1/33"])
def test_soiling_takes_its_share_of_the_light_of_its_place(text: str) -> None:
    from pvsim.array import parse_place

    dirty = faulty(scenario(2, 2), ("soiling", text, 0.1))
    where = cell_slice(array_index(dirty), parse_place(text))
    G = cell_irradiance(dirty)
    assert G[where] == pytest.approx(900.0)
    assert G.sum() == pytest.approx(1000.0 * len(G) - 100.0 * (where.stop - where.start))


def test_a_string_that_faces_another_way_has_its_own_irradiance() -> None:
    from dataclasses import replace

    from pvsim.array import set_array

    start = scenario(2, 2)
    one, two = start.array.strings
    turned = set_array(start, strings=(one, replace(two, irradiance_factor=0.6)))
    G = cell_irradiance(turned)
    assert (G[:120] == 1000.0).all()
    assert G[120:] == pytest.approx(600.0)


def test_dark_is_dark() -> None:
    assert (cell_irradiance(set_light(scenario(1), irradiance_W_m2=0.0)) == 0.0).all()
    assert cell_irradiance(paint(scenario(1), [Place(1, 1, 3)], 0.0))[2] == 0.0


def test_outlines_of_a_leaf_and_a_dropping_stay_within_their_size() -> None:
    for kind in ("leaf", "dropping"):
        (outline,) = shadow_outlines(
            scenario(1), Shadow(kind=kind, x_m=1.0, y_m=2.0, width_m=0.4, height_m=0.6)
        )
        assert np.ptp(outline, axis=0) == pytest.approx([0.4, 0.6], rel=1e-6)  # drawn to touch the box
        assert outline.mean(axis=0) == pytest.approx([1.0, 2.0], abs=0.1)
