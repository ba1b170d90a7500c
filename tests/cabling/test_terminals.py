"""Leads: who reaches whom, what is missing, and the way to the box."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.cabling import (
    Terminals,
    extension_lengths_m,
    home_run_corners,
    home_run_lengths_m,
    lead_distances_m,
    reaches,
)
from pvsim.errors import CablingError
from tests.cabling.roofs import full_grid


def row_of(*x_m, lead_m=1.0, **more) -> Terminals:
    at = [(x, 0.0) for x in x_m]
    return Terminals(**{"minus_m": at, "plus_m": at, "minus_lead_m": lead_m, "plus_lead_m": lead_m, **more})


def test_modules_reach_each_other_as_far_as_both_leads_and_the_slack_allow() -> None:
    reach = reaches(row_of(0.0, 1.9, 3.9, slack_m=0.1))  # leads 1.0 + 1.0, so 1.9 m
    assert reach.tolist() == [[False, True, False], [True, False, False], [False, False, False]]
    assert reaches(row_of(0.0, 1.9, 3.9, slack_m=0.0))[1, 2]
    assert not reaches(row_of(0.0, 1.9001, slack_m=0.1)).any()


def test_a_plus_lead_is_measured_to_a_minus_lead_and_never_to_a_plus() -> None:
    # Module 1 has plus at the right, module 2 minus at the left: near. The other way round: far.
    apart = Terminals(
        minus_m=[(0.0, 0.0), (2.0, 0.0)], plus_m=[(1.5, 0.0), (3.5, 0.0)],
        minus_lead_m=(0.3, 0.4), plus_lead_m=(0.5, 0.6), slack_m=0.0,
    )
    distance = lead_distances_m(apart)
    assert distance[0, 1] == pytest.approx(0.5)
    assert distance[1, 0] == pytest.approx(3.5)
    assert reaches(apart).tolist() == [[False, True], [False, False]]
    # Plus of 2 has 0.6 m, minus of 1 has 0.3 m: 3.5 - 0.9 = 2.6 m are missing.
    assert extension_lengths_m(apart)[1, 0] == pytest.approx(2.6)


@pytest.mark.parametrize(
    ("step_m", "length_m"),
    [(0.1, 1.3), (0.5, 1.5), (1.0, 2.0), (0.01, 1.24), (0.001, 1.234)],  # 3.134 + 0.1 - 2 = 1.234 m
)
def test_what_is_missing_is_bought_in_whole_steps(step_m, length_m) -> None:
    length = extension_lengths_m(row_of(0.0, 3.134, step_m=step_m))
    assert length[0, 1] == length[1, 0] == pytest.approx(length_m)


@pytest.mark.parametrize("missing", [0.1, 0.2, 0.3, 0.6, 0.7, 1.1, 1.4])
def test_rounding_of_coordinates_buys_no_further_step(missing) -> None:
    length = extension_lengths_m(row_of(0.0, 1.9 + missing))[0, 1]
    assert length == pytest.approx(missing)


def test_in_space_the_straight_way_counts() -> None:
    leaning = Terminals(
        minus_m=[(0, 0, 0), (2, 3, 6)], plus_m=[(0, 0, 0), (2, 3, 6)], minus_lead_m=3.0, plus_lead_m=4.0,
        slack_m=0.0,
    )
    assert lead_distances_m(leaning)[0, 1] == 7.0  # 2² + 3² + 6² = 7²
    assert reaches(leaning)[0, 1]


def test_the_way_to_the_box_follows_row_and_column() -> None:
    roof = full_grid(2, 3, box_m=(-1.0, 5.0), lead_m=0.0, slack_m=0.0, step_m=0.001)
    minus, plus = home_run_lengths_m(roof.terminals, roof.box_m)
    boxes = roof.terminals.minus_m
    assert minus == pytest.approx(np.abs(boxes - roof.box_m).sum(axis=1), abs=1e-3)
    assert (minus == plus).all()
    corners, _plus, _box = home_run_corners(roof.terminals, roof.box_m)
    assert corners[:, 0] == pytest.approx(-1.0)
    assert corners[:, 1] == pytest.approx(boxes[:, 1])


def test_a_lead_is_the_beginning_of_the_way_to_the_box() -> None:
    near = row_of(0.0, 5.0, lead_m=1.0, slack_m=0.1)
    minus, _plus = home_run_lengths_m(near, (0.5, 0.4))
    assert minus[0] == 0.0  # 0.5 + 0.4 + 0.1 of 1.0 m
    assert minus[1] == pytest.approx(4.0)  # 4.5 + 0.4 + 0.1 - 1.0


def test_a_leaning_surface_gives_the_same_ways_as_it_gives_lying_flat() -> None:
    flat = full_grid(3, 4).terminals
    tilt = np.radians(35.0)
    lean = np.array([[1.0, 0.0, 0.0], [0.0, np.cos(tilt), np.sin(tilt)]])
    spin = np.array([[0.6, 0.8, 0.0], [-0.8, 0.6, 0.0], [0.0, 0.0, 1.0]])  # 3, 4, 5
    leaning = Terminals(
        minus_m=flat.minus_m @ lean @ spin, plus_m=flat.plus_m @ lean @ spin, minus_lead_m=flat.minus_lead_m,
        plus_lead_m=flat.plus_lead_m, row_direction=(0.6, 0.8, 0.0),
    )
    box = np.array([-3.0, 4.0])
    for one, other in zip(
        home_run_lengths_m(flat, box), home_run_lengths_m(leaning, box @ lean @ spin), strict=True
    ):
        assert one == pytest.approx(other)
    assert extension_lengths_m(flat) == pytest.approx(extension_lengths_m(leaning))


def test_nobody_writes_to_terminals_nor_through_what_they_were_made_of() -> None:
    at = np.zeros((2, 2))
    at[1, 0] = 1.0
    held = Terminals(minus_m=at, plus_m=at, minus_lead_m=1.0, plus_lead_m=1.0)
    at[1, 0] = 9.0
    assert held.minus_m[1, 0] == 1.0
    with pytest.raises(ValueError, match="read-only"):
        held.plus_m[0, 0] = 1.0


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"minus_m": [(0.0,), (1.0,)]}, "minus_m"),
        ({"minus_m": []}, "minus_m"),
        ({"minus_m": "here"}, "minus_m"),
        ({"plus_m": [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0)]}, "plus_m"),
        ({"plus_m": [(0.0, 0.0), (float("nan"), 0.0)]}, "plus_m"),
        ({"minus_lead_m": (1.0, 1.0, 1.0)}, "minus_lead_m"),
        ({"plus_lead_m": -1.0}, "plus_lead_m"),
        ({"slack_m": -0.1}, "slack_m"),
        ({"step_m": 0.0}, "step_m"),
        ({"row_direction": (0.0, 0.0)}, "direction of the rows"),
    ],
)
def test_what_cannot_be_is_refused_by_name(change, named) -> None:
    with pytest.raises(CablingError, match=named):
        row_of(0.0, 1.0, **change)


def test_a_box_in_space_is_no_box_of_a_plane() -> None:
    with pytest.raises(CablingError, match="box_m is no point"):
        home_run_lengths_m(row_of(0.0, 1.0), (0.0, 0.0, 0.0))
