"""View factors: published and recomputed values, the laws they obey, and plain numerical integration."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import view_factor

FAR_m = 1e7
SIN30, COS30 = 0.5, 3.0**0.5 / 2.0
REAR = [(2.0 * COS30, 0.5 + 2.0 * SIN30), (0.0, 0.5)]  # of a slope of 2 m, 30 degrees, 0.5 m over the ground

coordinate = st.floats(-5, 5).map(lambda x: round(x, 3))
segments = st.tuples(st.tuples(coordinate, coordinate), st.tuples(coordinate, coordinate)).filter(
    lambda ends: np.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]) > 0.2
)


def aslant(segment, number):
    """A segment turned and moved a little, so that no other lies in its line by chance of round numbers."""
    turn = 0.1234 * (number + 1)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return np.array(segment) @ matrix + (0.0137 * number, 0.0291)


def nearest_m(first, second):
    a, b = (np.linspace(*np.array(one, float), 60) for one in (first, second))
    return np.hypot(*(a[:, None, :] - b[None, :, :]).transpose(2, 0, 1)).min()


def integrated(first, second, obstructions=(), *, points):
    """The double integral of cos cos / (2 r) over both segments, by midpoints, with each ray looked at."""
    first, second = np.array(first, float), np.array(second, float)
    share = (np.arange(points) + 0.5) / points
    a = (first[0] + share[:, None] * (first[1] - first[0]))[:, None, :]
    b = (second[0] + share[:, None] * (second[1] - second[0]))[None, :, :]
    way = b - a
    r = np.hypot(way[..., 0], way[..., 1])

    def cosine(segment, way):
        along = (segment[1] - segment[0]) / np.hypot(*(segment[1] - segment[0]))
        return np.maximum((along[0] * way[..., 1] - along[1] * way[..., 0]) / r, 0.0)

    kernel = cosine(first, way) * cosine(second, -way) / (2.0 * r)
    for start, end in np.array(obstructions, float).reshape(-1, 2, 2):
        along = end - start
        across = way[..., 0] * along[1] - way[..., 1] * along[0]
        across = np.where(across == 0.0, 1e-30, across)
        gap = start - a
        t = (gap[..., 0] * along[1] - gap[..., 1] * along[0]) / across
        u = (gap[..., 0] * way[..., 1] - gap[..., 1] * way[..., 0]) / across
        kernel = np.where((t > 0.0) & (t < 1.0) & (u > 0.0) & (u < 1.0), 0.0, kernel)
    return kernel.sum() / points * np.hypot(*(second[1] - second[0])) / points


@pytest.mark.parametrize(
    ("x0", "x1", "share"),
    # Crossed strings, F = (crossed - uncrossed)/(2 L), repeated by numerical integration to 1e-7.
    [(0.0, 1.0, 0.310055), (1.0, 3.0, 0.407087), (0.0, 10.0, 0.850216), (-FAR_m, FAR_m, (1.0 + COS30) / 2.0)],
)
def test_the_back_of_a_slope_sees_strips_of_ground_as_calculated(x0, x1, share):
    assert view_factor(REAR, [(x0, 0.0), (x1, 0.0)]) == pytest.approx(share, abs=1e-6)


def test_the_whole_ground_is_0_933013_of_what_the_slope_sees():
    assert (1.0 + COS30) / 2.0 == pytest.approx(0.933013, abs=1e-6)


def test_an_upright_wall_sees_half_of_it_as_ground():
    wall, ground = [(0.0, 1.0), (0.0, 0.0)], [(0.0, 0.0), (FAR_m, 0.0)]
    assert view_factor(wall, ground) == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("distance", [0.1, 1.0, 4.0])
def test_two_parallel_strips_have_their_closed_form(distance):
    # F = sqrt(1 + h^2) - h, h = distance / width: every textbook of radiation
    lower, upper = [(0.0, 0.0), (1.0, 0.0)], [(1.0, distance), (0.0, distance)]
    assert view_factor(lower, upper) == pytest.approx(np.hypot(1.0, distance) - distance)


@pytest.mark.parametrize("angle_deg", [20.0, 90.0, 150.0])
def test_two_sides_of_a_wedge_have_their_closed_form(angle_deg):
    # F = 1 - sin(angle / 2) for sides of one length: every textbook of radiation
    a = np.radians(angle_deg)
    floor, side = [(0.0, 0.0), (1.0, 0.0)], [(np.cos(a), np.sin(a)), (0.0, 0.0)]
    assert view_factor(floor, side) == pytest.approx(1.0 - np.sin(a / 2.0))


def test_what_turns_its_back_sees_nothing():
    lower, upper = [(0.0, 0.0), (1.0, 0.0)], [(0.0, 1.0), (1.0, 1.0)]
    assert view_factor(lower, upper) == 0.0
    assert view_factor(upper[::-1], lower[::-1]) == 0.0


@given(segments, segments, st.lists(segments, max_size=3))
def test_what_goes_there_comes_back(first, second, others):
    lengths = [np.hypot(b[0] - a[0], b[1] - a[1]) for a, b in (first, second)]
    there, back = view_factor(first, second, others), view_factor(second, first, others)
    assert 0.0 <= there <= 1.0
    assert lengths[0] * there == pytest.approx(lengths[1] * back, abs=1e-7)


@given(st.lists(st.floats(0, 360), min_size=3, max_size=9, unique=True), st.integers(0, 8))
def test_a_wall_of_a_round_room_sees_the_others_and_nothing_else(angles, which):
    turn = np.radians(np.sort(np.round(angles, 2)))
    assume((np.diff([*turn, turn[0] + 2.0 * np.pi]) > 0.02).all())
    corners = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    walls = [np.stack([corners[k - 1], corners[k]]) for k in range(len(corners))]
    mine = walls[which % len(walls)]
    assert sum(view_factor(mine, wall) for wall in walls) == pytest.approx(1.0, abs=1e-9)


@given(segments, segments)
def test_a_room_with_a_wall_across_it_is_still_all_that_is_seen(one, two):
    # Whatever stands in the room takes, on one side or the other, what the walls behind it lose.
    corners = np.array([(-6.0, -6.0), (6.0, -6.0), (6.0, 6.0), (-6.0, 6.0)])
    walls = [np.stack([corners[k - 1], corners[k]]) for k in range(4)]
    in_the_room = [one, aslant(two, 0)]
    seen = sum(view_factor(walls[0], wall, in_the_room) for wall in walls)
    for k, screen in enumerate(in_the_room):
        other = [in_the_room[1 - k]]
        seen += view_factor(walls[0], screen, other) + view_factor(walls[0], screen[::-1], other)
    assert seen == pytest.approx(1.0, abs=1e-7)


@given(segments, segments, st.lists(segments, min_size=1, max_size=3))
def test_screens_hide_what_a_ray_by_ray_integration_says(first, second, others):
    assume(nearest_m(first, second) > 0.4)  # where they nearly touch, midpoints are of no use
    others = [aslant(other, number) for number, other in enumerate(others)]
    rays = integrated(first, second, others, points=200)
    # An edge of a shadow is found to a 200th of the segment, at the most some edges of them.
    assert view_factor(first, second, others) == pytest.approx(rays, abs=1e-2)


@given(segments, segments)
def test_without_screens_the_integration_agrees_closely(first, second):
    assume(nearest_m(first, second) > 0.5)
    assert view_factor(first, second) == pytest.approx(integrated(first, second, points=400), abs=2e-4)


def test_a_screen_in_the_middle_hides_its_own_share():
    lower, upper = [(-1.0, 0.0), (1.0, 0.0)], [(1.0, 2.0), (-1.0, 2.0)]
    free = view_factor(lower, upper)
    screen = [(0.5, 1.0), (-0.5, 1.0)]
    left = view_factor(lower, upper, [screen])
    assert left < free - 0.1
    # The same screen in two halves, and twice over, hides no more.
    halves = [[(-0.5, 1.0), (0.0, 1.0)], [(0.5, 1.0), (0.0, 1.0)]]
    assert view_factor(lower, upper, halves) == pytest.approx(left)
    assert view_factor(lower, upper, [screen, *halves]) == pytest.approx(left)
    assert view_factor(lower, upper, [[(-9.0, 1.0), (9.0, 1.0)]]) == pytest.approx(0.0, abs=1e-12)
    assert view_factor(lower, upper, [[(-9.0, 3.0), (9.0, 3.0)]]) == pytest.approx(free)


@pytest.mark.parametrize(
    ("segment", "told"),
    [
        ([(0.0, 0.0), (0.0, 0.0)], "two points that lie apart"),
        ([(0.0, 0.0), (np.inf, 0.0)], "2 x 2 finite coordinates"),
        ([(0.0, 0.0)], "2 x 2 finite coordinates"),
        ("a line", "2 x 2 finite coordinates"),
    ],
)
def test_a_segment_that_is_none_is_refused(segment, told):
    with pytest.raises(SkyError, match=told):
        view_factor(segment, [(0.0, 0.0), (1.0, 0.0)])


def test_a_forest_of_screens_is_refused():
    with pytest.raises(SkyError, match="at most 40"):
        view_factor(REAR, [(0.0, 0.0), (1.0, 0.0)], [REAR] * 41)
