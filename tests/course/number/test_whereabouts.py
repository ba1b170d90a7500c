"""Where an answer is read: a place and a reading that the page really has, and that hold the answer."""

from __future__ import annotations

import pytest

from pvsim.array.place import Place, parse_place
from pvsim.array.scenario import check_place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import NumberQuestion
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import UNITS
from pvsim.course.play.whereabouts import MOST_NAMED, spots

STEPS = {
    f"{lesson.slug}/{step.id}": step
    for lesson in own_course().lessons
    for step in lesson.steps
    if step.observe is not None
}


def readings_of(name: str) -> Readings:
    return Readings(solved(STEPS[name].finish), solved(STEPS[name].start))


@pytest.mark.parametrize("name", STEPS)
def test_every_observation_is_read_somewhere(name: str) -> None:
    found = spots(STEPS[name].observe, readings_of(name))
    assert 1 <= len(found) <= MOST_NAMED
    for spot in found:
        check_place(STEPS[name].finish, spot.place)
        assert spot.words


def asked(answer: str) -> NumberQuestion:
    return NumberQuestion(answer=parse_expression(answer), unit=UNITS["V"])


@pytest.mark.parametrize(
    ("answer", "place", "level", "quantity", "words"),
    [
        ("now[1/4/14].power_W", "1/4/14", "module", "power", "with “Power” chosen"),
        ("now[weakest].eaten_W", "1/4/14", "module", "power", "with “Power” chosen"),
        ("now[1/4].voc_V", "1/4", "module", None, "figures below the curves, string 1, module 4"),
        ("delta[1/4].voc_V", "1/4", "module", None, ", now against before"),
        ("now[1].current_A - before[1].current_A", "1", "string", None, "string 1, now against before"),
        ("now[1/4/d1].current_A", "1/4/d1", "module", None, "line below the drawing"),
        ("now[array].conducting", "", "array", None, "bypass diodes that conduct"),
    ],
)
def test_a_reading_is_told_by_its_place(
    answer: str, place: str, level: str, quantity: str | None, words: str
) -> None:
    (spot,) = spots(asked(answer), readings_of("five-levels/five-levels"))
    assert spot.place == (parse_place(place) if place else Place())
    assert (spot.level, spot.quantity) == (level, quantity)
    assert words in spot.words


def test_of_what_the_page_does_not_show_nothing_is_claimed() -> None:
    assert spots(asked("now[array].strings"), readings_of("five-levels/five-levels")) == ()
