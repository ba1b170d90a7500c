"""Where labels stand: never on one another, on a point or beyond the frame, and left out by their rank."""

from __future__ import annotations

import json
from dataclasses import asdict
from itertools import combinations
from math import ceil, floor
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.files.figure.placer import Box, Wish, place

# Read by this test and by tests/static/placer.test.js: the two forms of the algorithm give the same places.
CASES = json.loads((Path(__file__).parent / "label_cases.json").read_text(encoding="utf-8"))
CLEAR_px = 2


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_places_are_those_of_the_table(case):
    wishes = [Wish(**{**one, "prefer": tuple(one.get("prefer", ()))}) for one in case["wishes"]]
    taken = [Box(**one) for one in case["taken"]]
    lines, guides = ([np.array(one) for one in case[key]] for key in ("lines", "guides"))
    places = place(wishes, Box(**case["frame"]), lines, taken, guides)
    found = [at and asdict(at) for at in places]
    assert found == case["places"]  # to the last digit


sizes = st.tuples(st.integers(8, 160), st.integers(9, 30))
wishes = st.builds(
    lambda x, y, size, prefer, must, far, near: Wish(
        x=x, y=y, width=size[0], height=size[1], prefer=tuple(prefer), must=must, far=far, near=near
    ),
    st.floats(-20, 460),
    st.floats(-20, 330),
    sizes,
    st.lists(st.integers(0, 7), max_size=8, unique=True),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)
boxes = st.builds(
    lambda x, y, width, height: Box(x=x, y=y, width=width, height=height),
    st.floats(0, 420),
    st.floats(0, 300),
    st.integers(2, 60),
    st.integers(2, 40),
)
frames = st.builds(
    lambda width, height: Box(x=10, y=5, width=width, height=height),
    st.integers(30, 440),
    st.integers(20, 320),
)
curves = st.lists(st.tuples(st.floats(0, 440), st.floats(0, 320)), max_size=60)


@given(st.lists(wishes, max_size=9), frames, curves, st.lists(boxes, max_size=5))
def test_labels_never_lie_on_one_another_on_a_point_or_beyond_the_frame(labels, frame, points, taken):
    placed = [at for at in place(labels, frame, [np.array(points)], taken) if at is not None]
    for a, b in combinations(placed, 2):
        assert not a.meets(b)
    for at in placed:
        assert not any(at.meets(box) for box in taken)
        assert frame.x <= at.x
        assert at.x + at.width <= frame.x + frame.width
        assert frame.y <= at.y
        assert at.y + at.height <= frame.y + frame.height


def raster_left(wish, frame, obstacles):
    """Places of the raster that are left whatever the obstacles' positions, counted from below."""
    across, down = frame.width - 5 - wish.width, frame.height - 1 - wish.height
    if across < 0 or down < 0:
        return 0
    count = (floor(across / 16) + 1) * (floor(down / 8) + 1)
    for box in obstacles:
        wide = box.width + 2 * CLEAR_px + wish.width
        high = box.height + 2 * CLEAR_px + wish.height
        count -= (ceil(wide / 16) + 1) * (ceil(high / 8) + 1)
    return count


@given(st.lists(wishes, max_size=6), st.lists(boxes, max_size=3))
def test_nothing_that_must_stand_is_left_out_as_long_as_there_is_room(labels, taken):
    frame = Box(x=0, y=0, width=900, height=420)
    labels = [Wish(x=one.x, y=one.y, width=one.width, height=one.height, must=True) for one in labels]
    for k, at in enumerate(place(labels, frame, (), taken)):
        others = [one for n, one in enumerate(labels) if n != k]
        if raster_left(labels[k], frame, [*taken, *others]) > 0:
            assert at is not None


def free_anywhere(wish, frame, obstacles):
    """Whether any place of the raster is clear."""
    right, bottom = frame.x + frame.width - 4 - wish.width, frame.y + frame.height - 1 - wish.height
    return any(
        not any(Box(x=x, y=y, width=wish.width, height=wish.height).meets(box) for box in obstacles)
        for y in np.arange(frame.y, bottom + 1e-9, 8)
        for x in np.arange(frame.x + 1, right + 1e-9, 16)
    )


@given(st.lists(wishes, min_size=3, max_size=9), st.lists(boxes, max_size=3))
def test_what_is_left_out_had_no_room_beside_those_that_rank_higher(labels, taken):
    frame = Box(x=0, y=0, width=170, height=70)
    labels = [
        Wish(x=one.x / 3, y=one.y / 5, width=one.width, height=one.height, must=one.must) for one in labels
    ]
    places = place(labels, frame, (), taken)
    for k, wish in enumerate(labels):
        if places[k] is not None:
            continue
        higher = [
            at
            for n, at in enumerate(places)
            if at is not None and (labels[n].must, -n) > (wish.must, -k)
        ]
        kept = [box.grown(CLEAR_px) for box in [*taken, *higher]]
        # without curves no place is dear but one that has to cross other labels
        assert not (wish.must and free_anywhere(wish, frame, kept))


def test_the_least_important_goes_where_there_is_no_room_for_all():
    frame = Box(x=0, y=0, width=90, height=40)  # room for two
    many = [Wish(x=45, y=20, width=62, height=15) for _k in range(8)]

    def standing(labels):
        return [k for k, at in enumerate(place(labels, frame)) if at]

    assert standing(many) == [0, 1]
    many[5] = Wish(x=45, y=20, width=62, height=15, must=True)
    assert standing(many) == [0, 5]
    assert standing([Wish(x=45, y=20, width=62, height=15, must=True)] * 8) == [0, 1]


def test_a_label_that_is_larger_than_the_frame_is_left_out():
    assert place([Wish(x=20, y=20, width=95, height=15)], Box(x=0, y=0, width=90, height=40)) == [None]


def test_a_label_that_stays_near_is_beside_its_point_or_nowhere():
    frame = Box(x=0, y=0, width=400, height=300)
    wish = Wish(x=200, y=150, width=40, height=15, prefer=(4,), near=True)
    (at,) = place([wish], frame)
    assert at is not None
    assert (at.x, at.y + at.height) == (180, 143)
    assert place([wish], frame, taken=[Box(x=170, y=130, width=60, height=10)]) == [None]


def along(start, end, count=60):
    """Points of a straight line."""
    return np.linspace(start, end, count)


def covers(at, line):
    x, y = line.T
    return bool(((x > at.x) & (x < at.x + at.width) & (y > at.y) & (y < at.y + at.height)).any())


@pytest.mark.parametrize("kind", ["lines", "guides"])
def test_a_label_goes_past_a_line_that_stands_where_it_would_rather_than_lie_on_it(kind):
    # As the open-circuit voltage between its own curve, which falls to it, and the hair at the point held.
    hair = along((258, 40), (258, 300))
    wish = Wish(x=300, y=240, width=70, height=15, prefer=(1, 4), must=True)
    curve, frame = along((285, 40), (300, 240)), Box(x=0, y=0, width=330, height=300)
    (before,) = place([wish], frame, [curve])
    assert covers(before, hair), "else it would not stand there"
    (at,) = place([wish], frame, **{"lines": [curve], kind: [*([curve] if kind == "lines" else []), hair]})
    assert not covers(at, hair)
    assert not covers(at, curve)


def test_the_way_to_a_point_leads_round_a_curve_and_rather_across_a_guide():
    frame = Box(x=0, y=0, width=400, height=300)
    # All beside the point is taken, so that it has to go farther: to the right, or to the left.
    wish = Wish(x=225, y=150, width=40, height=15, prefer=(6, 7))
    taken = [Box(x=150, y=110, width=100, height=80)]
    to_right = along((253, 100), (253, 200))
    (free,) = place([wish], frame, taken=taken)
    (round_a_curve,) = place([wish], frame, [to_right], taken)
    (across_a_guide,) = place([wish], frame, (), taken, [to_right])
    assert free.x > 250, "else it would not stand there"
    assert round_a_curve.x + round_a_curve.width < 250
    assert across_a_guide.x > 250


def test_a_label_stands_on_a_dotted_line_rather_than_have_a_way_through_its_words():
    """The array's curve held at its maximum: what leads from one label to its point crosses no other."""
    V = np.linspace(-8.0, 331.0, 160)
    I = np.where(V < 305.0, 21.8 - 14.0 * np.exp((V - 305.0) / 22.0), 7.8 - 7.8 * (V - 305.0) / 23.8)
    curve = np.column_stack((628.0 + 0.88 * V, 251.0 - 4.6 * I))
    maximum, short, open_ = (859.0, 156.0), (628.0, 151.0), (917.0, 251.0)
    down = np.column_stack((np.full(40, 859.0), np.linspace(156.0, 259.0, 40)))
    across = np.column_stack((np.linspace(617.0, 859.0, 90), np.full(90, 156.0)))
    axis = np.column_stack((np.linspace(617.0, 947.0, 120), np.full(120, 251.0)))
    wishes = [
        Wish(x=x, y=y, width=width, height=15.0, must=must)
        for (x, y), width, must in ((maximum, 137.0, True), (short, 66.0, False), (open_, 70.0, False))
    ]
    points = [Box(x=x - 8.0, y=y - 8.0, width=16.0, height=16.0) for x, y in (maximum, short, open_)]
    frame = Box(x=617.0, y=139.0, width=330.0, height=120.0)
    places = place(wishes, frame, [curve, curve + np.array((8.0, 0.0)), axis], points, [down, across])
    assert None not in places
    for (k, at), wish in zip(enumerate(places), wishes, strict=True):
        for box in [*places[:k], *places[k + 1 :]]:
            assert not crosses(at, wish, box)


def crosses(at, wish, box):
    """Whether the straight way from a label to its point leads through a box."""
    x = min(max(wish.x, at.x), at.x + at.width)
    y = min(max(wish.y, at.y), at.y + at.height)
    t = np.linspace(0.0, 1.0, 200)
    along, down = x + t * (wish.x - x), y + t * (wish.y - y)
    inside = (along > box.x) & (along < box.x + box.width) & (down > box.y) & (down < box.y + box.height)
    return bool(inside.any())
