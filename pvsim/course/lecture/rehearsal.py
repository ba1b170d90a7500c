"""The imaginary class of a rehearsal: it answers by a die, and says so wherever it shows."""

from __future__ import annotations

from math import isfinite
from random import Random
from zlib import crc32

from pvsim.course.lecture.class_answers import Round, size
from pvsim.course.lecture.lecture_state import Podium, standing_of, step_of, take
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Question
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import ChoiceAnswer, right_answer


def invent(podium: Podium, course: Course) -> Podium:
    """Let an imaginary class answer the round that is open, unless somebody has."""
    step = step_of(podium, course)
    rounds = standing_of(podium).rounds
    if step is None or size(step.predict, rounds[-1]):
        return podium
    seed = crc32(f"{podium.lecture.title}/{step.id}".encode())
    here = Readings(solved(step.finish), solved(step.start))
    return take(podium, invented_round(step.predict, here, seed=seed, after=len(rounds) > 1))


def invented_round(
    question: Question, readings: Readings, *, seed: int, after: bool = False, people: int = 30
) -> Round:
    """An imaginary class, for rehearsals; the same for the same seed.

    Parameters
    ----------
    readings : Readings
        The step done, so that right and wrong answers are known.
    seed : int
    after : bool
        Whether it has talked: then more of it is right.
    people : int

    Notes
    -----
    A third is right at first and two thirds after talking; invented, no source.
    """
    dice = Random(2 * seed + after)
    share = 0.65 if after else 0.35
    if isinstance(question, ChoiceQuestion):
        right = right_answer(question, readings)
        assert isinstance(right, ChoiceAnswer)
        weights = [dice.uniform(0.3, 1.0) for _ in question.choices]
        weights[right.choice] = 0.0
        scale = (1 - share) / sum(weights)
        weights = [share if k == right.choice else one * scale for k, one in enumerate(weights)]
        chosen = dice.choices(range(len(weights)), weights, k=people)
        return Round(phones=tuple(float(chosen.count(k)) for k in range(len(weights))))
    truth = value_of(question.answer, readings)
    wrong = [value_of(one.value, readings) for one in question.mistakes] + [truth * 0.4]
    found = []
    for _ in range(people):
        value = truth if dice.random() < share else dice.choice(wrong)
        found.append(_as_said(value / question.unit.size * dice.gauss(1.0, 0.08)))
    return Round(phones=tuple(found))


def _as_said(value: float) -> float:
    """A number as people say it: two digits."""
    return float(f"{value:.2g}") if isfinite(value) else 0.0
