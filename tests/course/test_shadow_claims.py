"""What the lesson of the day says, against rays and counting by hand; and what it says in words."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.changes import apply_all, read_changes
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.course.table import Report, Table
from pvsim.files import read_demo
from tests.course.shadow_by_hand import lost_shares, of_the_day, sun

STEPS = {
    step.id: step for lesson in own_course().lessons if lesson.slug == "long-shadow" for step in lesson.steps
}
MAST, HALF = (4.6, -2.9, 0.06, 8.0), (4.6, -2.9, 0.06, 4.0)
JUNE, DECEMBER = date(2026, 6, 21).timetuple().tm_yday, date(2026, 12, 21).timetuple().tm_yday


def read(step: Step, path: str) -> float:
    return value_of(parse_expression(path), Readings(solved(step.finish), solved(step.start)))


@pytest.mark.parametrize(
    ("step", "when", "day", "pole"),
    [
        ("a-mast", "before", JUNE, MAST),
        ("half-as-high", "now", JUNE, HALF),
        ("long-shadows", "now", DECEMBER, MAST),
    ],
)
def test_shares_of_noon_day_and_worst_hour_are_near_those_by_hand(
    step: str, when: str, day: int, pole: tuple[float, float, float, float]
) -> None:
    """The hand knows no diode and no shunt, and the light of sky and back by their order of magnitude."""
    hours, power, lost = lost_shares(day, pole)
    noon = lost[np.argmin(np.abs(hours - 12.0))]
    for name, by_hand in (
        ("noon_lost", noon),
        ("day_lost", of_the_day(power, lost)),
        ("worst_lost", lost[::4].max()),  # at full hours
    ):
        assert read(STEPS[step], f"{when}[array].{name}") == pytest.approx(by_hand, rel=0.15, abs=0.01), name


def test_the_mast_takes_about_a_sixth_of_the_day() -> None:
    _hours, power, lost = lost_shares(JUNE, MAST)
    assert of_the_day(power, lost) == pytest.approx(1 / 6, abs=0.02)
    assert read(STEPS["a-mast"], "before[array].day_lost") == pytest.approx(1 / 6, abs=0.02)


def test_in_december_the_sun_stays_within_fifty_degrees_of_south() -> None:
    up = [azimuth for hour in np.arange(6.0, 18.1, 0.1) for s, azimuth in [sun(DECEMBER, hour)] if s[2] > 0.0]
    assert max(map(abs, up)) < 50.0
    assert (
        max(abs(azimuth) for hour in np.arange(4, 20.1, 0.1) for s, azimuth in [sun(JUNE, hour)] if s[2] > 0)
        > 120.0
    )


def test_farther_away_december_is_the_dear_month() -> None:
    far = {"stand": "pole", "x_m": 4.6, "y_m": -9.0, "radius_m": 0.06, "height_m": 8.0}
    changes = read_changes(Table({"start": [{"clear": "solids"}, far]}, (), Report(file="trial")), "start")
    winter = {"day": {"date": "2026-12-21"}}
    later = read_changes(Table({"start": [winter]}, (), Report(file="trial")), "start")
    june = apply_all(read_demo("nursery"), changes)
    found = [
        value_of(parse_expression("now[array].day_lost"), Readings(here, here))
        for here in (solved(june), solved(apply_all(june, later)))
    ]
    assert found[1] > 2 * found[0]


def test_the_noon_shadow_of_the_lamp_post_meets_one_module_in_each_row() -> None:
    """At noon it runs straight up at x = 4.3 m; places are 1.738 m wide and 0.02 m apart."""
    place = 4.3 / (1.738 + 0.02)
    assert 2.0 < place < 3.0 - 0.02 / 1.758
    assert abs(sun(JUNE, 12.0)[1]) < 1e-9
