"""What the lesson of cables says in words, reckoned with a few lines of numpy that are none of pvsim's."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.changes import apply_all, read_changes
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.course.table import Report, Table
from tests.course.cables_by_hand import (
    BESIDE_m,
    LEAD_m,
    OHM_PER_m,
    Order,
    SLACK_m,
    WIDTH_m,
    boxes_of,
    by_rows,
    roof_by_hand,
    string_by_hand,
    there_and_back,
)

STEPS = {
    step.id: step for lesson in own_course().lessons if lesson.slug == "roof-wiring" for step in lesson.steps
}
GABLE_m, MIDDLE_m = (-0.6, 3.8), (4.2, 1.8)  # where the strings meet, on the rope-walk and on the workshop
LEAP_m = 2 * (WIDTH_m + BESIDE_m)


def blocks_of_four(rows: int) -> list[Order]:
    """Eight places wide: out along four of a row, back along the four below; of what is left over a row."""
    found: list[Order] = []
    for row in range(1, rows, 2):
        halves = (range(1, 5), range(5, 9)) if row % 4 == 1 else (range(5, 9), range(1, 5))
        found += [[*((row, k) for k in half), *((row + 1, k) for k in reversed(half))] for half in halves]
    return found + ([[(rows, k) for k in range(1, 9)]] if rows % 2 else [])


def read(step: Step, path: str) -> float:
    return value_of(parse_expression(path), Readings(solved(step.finish), solved(step.start)))


@pytest.mark.parametrize(
    ("step", "orders", "meet_m", "before", "now"),
    [
        ("every-other", by_rows(5, 8), GABLE_m, by_rows(5, 8), there_and_back(5, 8)),
        ("turned-rows", (1, 2), GABLE_m, there_and_back(5, 8), there_and_back(5, 8)),
        ("loop", (1, 3), GABLE_m, blocks_of_four(5), blocks_of_four(5)),
        ("another-roof", (1,), MIDDLE_m, by_rows(2, 8), blocks_of_four(2)),
    ],
)
def test_every_step_has_the_metres_extensions_joints_and_loops_of_a_reckoning_by_hand(
    step: str, orders: object, meet_m: tuple[float, float], before: list[Order], now: list[Order]
) -> None:
    turned = orders if isinstance(orders, tuple) else ()
    for when, by_hand in (
        ("before", roof_by_hand(before, meet_m)),
        ("now", roof_by_hand(now, meet_m, turned)),
    ):
        found = [
            read(STEPS[step], f"{when}[array].{name}")
            for name in ("cable_m", "extensions", "joints", "loop_m2")
        ]
        assert found == pytest.approx([by_hand.bought_m, by_hand.extensions, by_hand.joints, by_hand.loop_m2])


def test_out_and_back_pays_from_three_modules_on() -> None:
    """By the aside's own formulas: with two modules there is nothing to leap over."""
    pitch, lacking = WIDTH_m + BESIDE_m, LEAP_m + SLACK_m - 2 * LEAD_m
    for n in range(2, 20):
        in_a_row, there = (n - 1) * pitch, pitch + (n - 2) * lacking
        assert (there < in_a_row) == (n >= 3)
    assert 0.02 < lacking < 0.05, "a finger's breadth or two"


def test_turning_the_upper_rows_brings_their_boxes_nearer() -> None:
    order = [(row, 1) for row in range(1, 6)]
    upright, turned = (abs(boxes_of(order, rows)[:, 1] - GABLE_m[1]) for rows in ((), range(1, 6)))
    assert list(turned < upright) == [True, True, False, False, False]


def test_row_by_row_takes_more_than_twice_what_is_left() -> None:
    assert (
        roof_by_hand(by_rows(5, 8), GABLE_m).bought_m
        > 2 * roof_by_hand(there_and_back(5, 8), GABLE_m, (1, 2)).bought_m
    )


def test_all_the_cable_saved_is_worth_a_handful_of_cells() -> None:
    step = STEPS["turned-rows"]
    saved_m = (
        roof_by_hand(by_rows(5, 8), GABLE_m).bought_m
        - roof_by_hand(there_and_back(5, 8), GABLE_m, (1, 2)).bought_m
    )
    current = read(step, "now[1].current_A")
    more_joints = read(step, "now[array].joints") - 45
    saved_W = (saved_m * OHM_PER_m - more_joints * 0.0005) * current**2
    a_cell_W = read(step, "now[array].power_W / now[array].cells")
    assert 2.5 < saved_W / a_cell_W < 5.5


def test_out_and_back_has_no_loop_and_two_thirds_more_connectors() -> None:
    out, either = roof_by_hand(there_and_back(5, 8), GABLE_m), blocks_of_four(5)
    assert out.loop_m2 == pytest.approx(0.0, abs=1e-9)
    for turned in ((), (1, 3)):
        block = roof_by_hand(either, GABLE_m, turned)
        assert out.bought_m < block.bought_m
        assert block.extensions == 0
        assert out.joints / block.joints == pytest.approx(5 / 3)


def test_in_the_middle_out_and_back_saves_next_to_nothing() -> None:
    rows, out, blocks = (
        roof_by_hand(one, MIDDLE_m) for one in (by_rows(2, 8), there_and_back(2, 8), blocks_of_four(2))
    )
    turned = roof_by_hand(there_and_back(2, 8), MIDDLE_m, (1,))
    block = roof_by_hand(blocks_of_four(2), MIDDLE_m, (1,))
    assert 0.9 * rows.bought_m < out.bought_m < rows.bought_m
    assert block.bought_m < blocks.bought_m < min(out.bought_m, turned.bought_m)
    assert min(out.bought_m, turned.bought_m) > 1.8 * block.bought_m


def test_drawn_from_the_middle_both_strings_need_no_cable() -> None:
    left = [*((1, k) for k in (4, 3, 2, 1)), *((2, k) for k in (1, 2, 3, 4))]
    assert string_by_hand(left, MIDDLE_m, (1,)).bought_m == 0.0
    drawn = {"draw": ["A/1/4-1", "A/2/1-4"], "string": 1}
    changes = read_changes(Table({"start": [drawn]}, (), Report(file="trial")), "start")
    after = apply_all(STEPS["another-roof"].finish, changes)
    here = solved(after)
    assert value_of(parse_expression("now[array].cable_m"), Readings(here, here)) == 0.0


def test_a_stroke_a_hundred_metres_away_drives_kilovolts_into_the_large_loop_and_not_into_the_small_one() -> (
    None
):
    """u = A mu0 / (2 pi r) di/dt; what the exercise comes to, and what its question is about."""
    per_m2 = 4e-7 * np.pi / (2 * np.pi * 100.0) * 100e3 / 1e-6
    assert per_m2 * read(STEPS["loop"], "before[array].loop_m2") > 3000.0
    assert per_m2 * read(STEPS["loop"], "now[array].loop_m2") < 500.0
