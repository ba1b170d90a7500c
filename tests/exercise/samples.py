"""Items made by hand, and the shipped exercises of one case."""

from __future__ import annotations

from functools import cache

from pvsim.course.number.units import UNITS
from pvsim.exercise import (
    Band,
    ChoiceItem,
    ExerciseCase,
    ItemChoice,
    ItemReading,
    Misconception,
    NumberItem,
    make_item,
    own_exercises,
)

LESSONS = ("one-cell", "cell-to-array", "diode")


def number_item(**changes):
    """100 W within 2, half within 5, with 150 W as what somebody answers who forgot the diode."""
    values = {
        "id": "a/fresh/b",
        "language": "en",
        "stem": "How many watts?",
        "points": 2.0,
        "value": 100.0,
        "tolerance": 2.0,
        "unit": UNITS["W"],
        "decimals": 1,
        "bands": (Band(tolerance=5.0, share=0.5),),
        "misconceptions": (
            Misconception(
                value=150.0, tolerance=2.0, idea="forgot the diode", feedback="It *conducts*.", share=0.25
            ),
        ),
    }
    return NumberItem(**{**values, **changes})


def power_item(**changes):
    """Power from a voltage and a current of one's own."""
    readings = (
        ItemReading(name="U", ask="Voltage", unit=UNITS["V"], value=40.0, limit=0.4),
        ItemReading(name="I", ask="Current", unit=UNITS["A"], value=8.0, limit=0.16),
    )
    wrong = Misconception(value=5.0, tolerance=0.05, idea="divided", feedback="Multiply.", formula="$U / $I")
    values = {"value": 320.0, "tolerance": 0.5, "bands": (), "misconceptions": (wrong,)}
    return number_item(**{**values, "readings": readings, "formula": "$U * $I", **changes})


def choice_item(**changes):
    """Three answers, the second right, the third worth a half."""
    choices = (
        ItemChoice(text="Less.", share=0.0, idea="the light decides", feedback="Look again."),
        ItemChoice(text="More.", share=1.0, feedback="Yes."),
        ItemChoice(text="As much.", share=0.5, idea="nothing changes", feedback="Nearly."),
    )
    values = {"id": "a/fresh/c", "language": "en", "stem": "More or less?", "choices": choices}
    return ChoiceItem(**{**values, **changes})


@cache
def shipped(seed=1, language="en"):
    """Every shipped exercise of a case, by id."""
    found = [one for lesson in LESSONS for one in own_exercises(lesson, language)]
    items = [make_item(one, ExerciseCase(seed=seed)) for one in found]
    return {one.id: one for one in items}
