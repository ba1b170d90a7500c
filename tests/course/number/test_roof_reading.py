"""Quantities of cables and of a day, each against what it is by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array.fault import Fault
from pvsim.array.place import parse_place
from pvsim.course.lesson.roof_changes import ROOF_CHANGES
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.roof_reading import STEP_min
from pvsim.course.number.solved_scenario import solved
from pvsim.course.table import Report, Table
from pvsim.day import day_energy
from tests.course.cables_by_hand import (
    OHM_PER_m,
    Order,
    by_rows,
    roof_by_hand,
    string_by_hand,
    there_and_back,
)
from tests.course.samples import find

MEET_m = (-0.6, 3.8)  # where the strings of the rope-walk meet


def value(scenario, text: str) -> float:
    here = solved(scenario)
    return value_of(parse_expression(text), Readings(here, here))


def wired(name: str):
    table = Table({"wire": name}, (), Report(file="trial"))
    return ROOF_CHANGES["wire"](table)(find("rope-walk"))


@pytest.mark.parametrize(
    ("name", "orders"), [("row by row", by_rows(5, 8)), ("leapfrog", there_and_back(5, 8))]
)
def test_cable_extensions_joints_and_loops_are_those_by_hand(name: str, orders: list[Order]) -> None:
    roof, by_hand = wired(name), roof_by_hand(orders, MEET_m)
    for quantity, expected in (
        ("cable_m", by_hand.bought_m),
        ("extensions", by_hand.extensions),
        ("joints", by_hand.joints),
        ("loop_m2", by_hand.loop_m2),
    ):
        assert value(roof, f"now[array].{quantity}") == pytest.approx(expected, abs=1e-9), quantity
    first = string_by_hand(orders[0], MEET_m)
    assert value(roof, "now[1].cable_m") == pytest.approx(first.bought_m)
    ohm = first.bought_m * OHM_PER_m + first.joints * 0.0005
    current = value(roof, "now[1].current_A")
    assert value(roof, "now[1].cable_drop_V") == pytest.approx(ohm * current, rel=3e-3)  # by IEC 60228's Kt
    assert value(roof, "now[1].cable_W") == pytest.approx(ohm * current**2, rel=3e-3)
    strings = sum(value(roof, f"now[{k}].cable_W") for k in range(1, 6))
    assert value(roof, "now[array].cable_W") == pytest.approx(strings)


def test_a_lessons_day_is_that_of_fine_steps_to_half_a_per_cent() -> None:
    rack = find("nursery")
    fine = day_energy(rack, step_min=10.0)
    for quantity, expected in (
        ("day_kWh", fine.power_kWh),
        ("day_open_kWh", fine.open_kWh),
        ("day_followed_kWh", fine.followed_kWh),
    ):
        rel = 0.03 if "followed" in quantity else 0.005  # where a tracker gets stuck depends on the step
        assert value(rack, f"now[array].{quantity}") / 3.6e6 == pytest.approx(expected, rel=rel)


def test_shares_of_a_day_follow_from_its_powers() -> None:
    broken = replace(find("nursery"), faults=(Fault("diode-short", parse_place("1/3/d2")),))
    day = day_energy(broken, step_min=STEP_min)
    assert value(broken, "now[array].day_lost") == pytest.approx(1.0 - day.power_kWh / day.open_kWh)
    noon = int(np.argmin(np.abs(day.hour - 12.0)))
    share = 1.0 - day.power_W / day.open_W
    assert value(broken, "now[array].noon_lost") == pytest.approx(share[noon])
    bright = day.open_W > 200.0
    most = int(np.argmax(np.where(bright, share, 0.0)))
    assert value(broken, "now[array].worst_lost") == pytest.approx(share[most])
    assert value(broken, "now[array].worst_off_noon_h") / 3600.0 == pytest.approx(abs(day.hour[most] - 12.0))
    clear = replace(broken, faults=(), day=replace(broken.day, solids=()))
    assert value(clear, "now[array].day_lost") == pytest.approx(0.0, abs=1e-9)
