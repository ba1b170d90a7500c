"""Why an act is not done yet: said by what the array is like and what the step wants."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from pvsim.array import Fault, Scenario, add_fault, paint, parse_place, set_operation
from pvsim.array.change import set_light, set_weather
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.checks import CHECKS, Check
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.lacking import REASON_OF, lacking
from pvsim.words import speaking

STEPS = {f"{lesson.slug}/{step.id}": step for lesson in own_course().lessons for step in lesson.steps}


def at(*places: str) -> list:
    return [parse_place(place) for place in places]


def shade(share: float, *places: str) -> Callable[[Scenario], Scenario]:
    return lambda now: paint(now, at(*places), share)


def broken(place: str, kind: str, size: float | None = None) -> Callable[[Scenario], Scenario]:
    return lambda now: add_fault(now, Fault(kind, parse_place(place), size))


REASONS = [
    # one cell of a module to 20 %
    ("hungry-cell/one-in-sixty", [shade(0.2, "1/1/14", "1/1/25")], "Cell 25 is shaded too."),
    (
        "hungry-cell/one-in-sixty",
        [shade(0.2, "1/1/14", "1/1/25", "1/1/3")],
        "Cell 3 and cell 25 are shaded too.",
    ),
    (
        "hungry-cell/one-in-sixty",
        [shade(0.2, "1/1/25", "1/1/3")],
        "2 cells of module 1 get at most 25 % of the light; the step wants 1.",
    ),
    (
        "hungry-cell/one-in-sixty",
        [shade(0.5, "1/1/14")],
        "No cell of module 1 gets at most 25 % of the light.",
    ),
    # a leaf on the first substring of three
    ("diode/with-diodes", [shade(0.2, "1/1/14", "1/1/30")], "Cell 30 is not in full light."),
    # both strings, whole modules
    (
        "cell-to-array/one-string-dim",
        [shade(0.5, "1", "2/3")],
        "60 cells are not in full light.",
    ),
    # a cable of string 2
    (
        "cell-to-array/cut-a-cable",
        [broken("1", "cable-open")],
        "is at string 1; the step wants it at string 2.",
    ),
    ("cell-to-array/cut-a-cable", [shade(0.2, "1/1/1")], "at string 2 yet."),
    # half the light
    (
        "one-cell/half-the-light",
        [lambda now: set_light(now, irradiance_W_m2=800.0)],
        "The light is set to 800 W/m²; the step wants 500 W/m².",
    ),
    (
        "one-cell/hot-cell",
        [lambda now: set_weather(now, cell_temperature_C=40.0)],
        "The cells are at 40 °C; the step wants 65 °C.",
    ),
    # held at 37 to 39 V
    (
        "two-tops/the-lower-top",
        [lambda now: set_operation(now, "voltage", 30.0)],
        "The array is held at 30 V; the step wants it at ",
    ),
    ("two-tops/the-lower-top", [lambda now: set_operation(now, "current", 1.0)], "held at a current;"),
    # shorted
    (
        "hungry-cell/the-worst-load",
        [lambda now: set_operation(now, "voltage", 10.0)],
        "The voltage of the whole array is 10 V; the step wants less than 0.3 V.",
    ),
    (
        "back-side/a-white-wall",
        [lambda now: set_light(now, rear_irradiance_W_m2=100.0)],
        "The light on the rear side is 100 W/m²; the step wants more than 250 W/m².",
    ),
    (
        "two-tops/light-shade",
        [shade(0.4, "1/1/14")],
        "The light on the darkest cell is 400 W/m²; the step wants more than 660 W/m².",
    ),
]


@pytest.mark.parametrize(("name", "changes", "said"), REASONS)
def test_what_is_wrong_is_said_as_somebody_would_say_it(
    name: str, changes: list[Callable[[Scenario], Scenario]], said: str
) -> None:
    step = STEPS[name]
    now = step.start
    for change in changes:
        now = change(now)
    found = lacking(step, solved(now)).replace("\u202f", " ")
    assert said in found
    assert not found[0].islower()


@pytest.mark.parametrize("name", STEPS)
def test_nothing_is_said_before_anything_was_done_and_when_all_is(name: str) -> None:
    step = STEPS[name]
    assert lacking(step, solved(step.start)) == ""
    assert lacking(step, solved(step.finish)) == ""


@pytest.mark.parametrize("name", STEPS)
def test_every_step_says_why_after_another_change_in_both_languages(name: str) -> None:
    step = STEPS[name]
    other = replace(step.start, title="something else")
    said = {}
    for language in ("en", "de"):
        with speaking(language):
            said[language] = lacking(step, solved(other))
    assert said["en"]
    assert said["en"] != said["de"]


def test_every_check_has_its_reason() -> None:
    assert set(REASON_OF) == set(CHECKS)


def test_what_must_be_mended_is_named() -> None:
    step: Step = replace(
        STEPS["hungry-cell/one-in-sixty"], done_when=(Check("no_fault", (("place", parse_place("1/1")),)),)
    )
    now = add_fault(step.start, Fault("cell-open", parse_place("1/1/7")))
    assert lacking(step, solved(now)).endswith("at cell 7 is not mended yet.")
