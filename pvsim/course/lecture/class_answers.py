"""One round of answers from a class: counted hands and phones, read, summed, counted into bars."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from statistics import median

from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion, Question
from pvsim.course.number.evaluation import Readings
from pvsim.course.play.answers import Answer, ChoiceAnswer, NumberAnswer, judge, read_answer
from pvsim.errors import LessonError

MOST_HANDS = 999  # for one answer; a larger hall has no lecturer who counts hands
MOST_NUMBERS = 2000
MOST_BARS = 12
TINY = 1e-6  # no interval is narrower; answers are numbers that people say
LETTERS = "ABCDEFGHIJ"

_COUNT = re.compile(r"(?:([A-Ja-j])\s*[:=]?\s*)?(\d{1,3})")
_TIMES = re.compile(r"[x×*]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """What a class answered before or after it talked.

    For a choice both hold how many chose each; for a number they hold the numbers themselves, in
    the unit of the question.

    Parameters
    ----------
    hands : tuple of float
        Counted or written down by the lecturer.
    phones : tuple of float
        From the phones of the class.
    """

    hands: tuple[float, ...] = ()
    phones: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """Numbers of several rounds, counted into the same intervals.

    Parameters
    ----------
    edges : tuple of float
        One more than there are intervals; each holds its left edge, the last both.
    counts : tuple of tuple of int
        For each round, how many in each interval.
    below, above : tuple of int
        For each round, how many lie outside: few, and too far off to be drawn.
    """

    edges: tuple[float, ...]
    counts: tuple[tuple[int, ...], ...]
    below: tuple[int, ...]
    above: tuple[int, ...]


def tally(question: ChoiceQuestion, answers: Round) -> tuple[int, ...]:
    """How many chose each answer, hands and phones together."""
    places = range(len(question.choices))
    return tuple(sum(int(one[k]) for one in (answers.hands, answers.phones) if k < len(one)) for k in places)


def numbers(answers: Round) -> tuple[float, ...]:
    """All numbers, hands and phones together."""
    return answers.hands + answers.phones


def size(question: Question, answers: Round) -> int:
    """How many answered."""
    return sum(tally(question, answers)) if isinstance(question, ChoiceQuestion) else len(numbers(answers))


def class_answer(question: Question, answers: Round) -> Answer | None:
    """The answer that stands for the class: the most frequent choice, or the median of the numbers."""
    if size(question, answers) == 0:
        return None
    if isinstance(question, ChoiceQuestion):
        counts = tally(question, answers)
        return ChoiceAnswer(counts.index(max(counts)))
    return NumberAnswer(median(numbers(answers)))


def right_count(question: Question, answers: Round, readings: Readings) -> int:
    """How many were right, by the solver."""
    if isinstance(question, ChoiceQuestion):
        counts = tally(question, answers)
        return sum(
            count
            for place, count in enumerate(counts)
            if judge(question, ChoiceAnswer(place), readings).right
        )
    return sum(judge(question, NumberAnswer(one), readings).right for one in numbers(answers))


def read_hands(question: Question, text: str) -> tuple[float, ...]:
    """What a lecturer types while hands are up.

    Parameters
    ----------
    question : Question
        What was asked.
    text : str
        For a choice the counts in the order of the letters, "12 7 3", or by letter, "b7 a12". For a
        number what was called out, "4 5,5 6"; "5x12" stands for twelve times 5.

    Raises
    ------
    LessonError
        If it cannot be read.
    """
    if isinstance(question, ChoiceQuestion):
        return _read_counts(text, len(question.choices))
    found: list[float] = []
    for word in re.split(r"[\s;]+", text.strip()[:4000]):
        if word:
            found += _read_number(question, word)
        if len(found) > MOST_NUMBERS:
            raise LessonError(
                f"there are more than {MOST_NUMBERS} numbers",
                expected="one for each answer",
                mend="Take the ones with × down",
            )
    return tuple(found)


def count_bars(rounds: Sequence[Sequence[float]], keep: Sequence[float] = ()) -> Bars:
    """Count numbers into at most MOST_BARS intervals with round edges.

    Parameters
    ----------
    rounds : sequence of sequences of float
        The numbers of each round.
    keep : sequence of float
        Values that have to lie inside too, such as the ends of a tolerance band.

    Notes
    -----
    What lies farther from the middle half than three times its width is counted outside, so that
    one slip of a keyboard does not squeeze all others into one bar; J. W. Tukey's outer fences
    (Exploratory Data Analysis, 1977).
    """
    every = sorted(one for each in rounds for one in each)
    inside = _within_fences(every) + list(keep)
    if not inside:
        nothing = (0,) * len(rounds)
        return Bars(edges=(), counts=((),) * len(rounds), below=nothing, above=nothing)
    low, high = min(inside), max(inside)
    most, span = max(abs(low), abs(high)), high - low
    if span < max(1e-3 * most, TINY):  # one answer, or all the same: half of it is a span people can read
        span = most / 2 if most > TINY else 1.0
    step = _round_step(span)
    first, last = floor(low / step + 1e-9), floor(high / step + 1e-9) + 1
    if last - first < 4:  # a bar alone says nothing about where it stands
        first, last = first - 1, last + 1
    edges = tuple(float(f"{k * step:.12g}") for k in range(first, last + 1))
    counts, below, above = [], [], []
    for each in rounds:
        places = [floor(one / step + 1e-9) - first for one in each]
        counts.append(tuple(places.count(k) for k in range(last - first)))
        below.append(sum(place < 0 for place in places))
        above.append(sum(place >= last - first for place in places))
    return Bars(edges=edges, counts=tuple(counts), below=tuple(below), above=tuple(above))


def _read_counts(text: str, choices: int) -> tuple[float, ...]:
    words = [word for word in re.split(r"[\s,;/]+", text.strip()[:400]) if word]
    found: dict[int, int] = {}
    for place, word in enumerate(words):
        match = _COUNT.fullmatch(word)
        at = LETTERS.index(match[1].upper()) if match and match[1] else place
        if match is None or at >= choices or at in found:
            last = LETTERS[choices - 1]
            raise LessonError(
                f"'{word[:20]}' is no count for one of the answers",
                expected=f"one number for each of A to {last}, such as {' '.join(['7'] * choices)}",
                mend="Type the counts in the order of the letters, or with their letter, such as B7",
            )
        found[at] = int(match[2])
    return tuple(float(found.get(k, 0)) for k in range(choices)) if found else ()


def _read_number(question: NumberQuestion, word: str) -> list[float]:
    typed, *times = _TIMES.split(word)
    if len(times) > 1 or (times and not re.fullmatch(r"\d{1,3}", times[0])):
        raise LessonError(
            f"'{word[:20]}' is no number with a count",
            expected="a number, or one with its count such as 5x12",
            mend="Write the number first and then how many said it",
        )
    answer = read_answer(question, typed)
    assert isinstance(answer, NumberAnswer)
    return [answer.number] * (int(times[0]) if times else 1)


def _within_fences(every: Sequence[float]) -> list[float]:
    if len(every) < 4:
        return list(every)
    low, high = every[len(every) // 4], every[(3 * len(every)) // 4]
    width = (high - low) or abs(median(every)) or 1.0
    return [one for one in every if low - 3 * width <= one <= high + 3 * width]


def _round_step(span: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that needs no more than MOST_BARS intervals."""
    power: float = 10.0 ** floor(log10(span / MOST_BARS))
    for factor in (1, 2, 5, 10, 20):
        if ceil(span / (factor * power) + 1e-9) + 1 <= MOST_BARS:
            return factor * power
    return 50 * power
