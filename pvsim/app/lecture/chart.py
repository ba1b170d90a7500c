"""The answers of a class as the page draws them: bars, a table of the same numbers, the solver's band."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pvsim.app.words import _, ngettext
from pvsim.course.lecture.class_answers import LETTERS, Round, count_bars, numbers, size, tally
from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion, Question
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.units import Unit
from pvsim.course.play.answers import right_answer
from pvsim.errors import PvsimError
from pvsim.numbers import format_number, format_setting

__all__ = ["chart_of", "people", "right_place", "round_names"]

Chart = dict[str, Any]


def round_names(count: int) -> list[str]:
    """What the rounds are called on the screen."""
    return [_("first"), _("after talking")][:count] if count > 1 else [_("answers")]


def people(count: int) -> str:
    """How many answered, in words."""
    return ngettext("{n} answer", "{n} answers", count).format(n=count)


def chart_of(question: Question, rounds: Sequence[Round], readings: Readings | None) -> Chart:
    """The answers of one or two rounds.

    Parameters
    ----------
    question : Question
        What was asked.
    rounds : sequence of Round
        Those that are shown.
    readings : Readings or None
        The step done, once the outcome may be seen; None keeps it back.

    Returns
    -------
    dict
        "kind", "rounds" (name, count and total of each bar), "table" (head and rows of texts), and
        for numbers "edges", "ticks", "outside" and, with readings, "band".
    """
    names = round_names(len(rounds))
    if isinstance(question, ChoiceQuestion):
        counts = [tally(question, one) for one in rounds]
        return {
            "kind": "choice",
            "most": max((max(each, default=0) for each in counts), default=0),
            "rounds": [
                {"name": name, "counts": list(each), "total": sum(each), "people": people(sum(each))}
                for name, each in zip(names, counts, strict=True)
            ],
            "table": {
                "head": [_("Answer"), *names],
                "rows": [
                    [LETTERS[k], *(str(each[k]) for each in counts)] for k in range(len(question.choices))
                ],
            },
        }
    return _numbers(question, rounds, names, readings)


def right_place(question: Question, readings: Readings | None) -> int | None:
    """Which choice is right, once the outcome may be seen."""
    if readings is None or not isinstance(question, ChoiceQuestion):
        return None
    try:
        answer = right_answer(question, readings)
    except PvsimError:
        return None
    return getattr(answer, "choice", None)


def _numbers(
    question: NumberQuestion, rounds: Sequence[Round], names: Sequence[str], readings: Readings | None
) -> Chart:
    unit = question.unit
    band = None if readings is None else _band(question, readings)
    keep = () if band is None else (band["from"], band["to"])
    bars = count_bars([numbers(one) for one in rounds], keep)
    spans = [_span(bars.edges[k], bars.edges[k + 1], unit) for k in range(max(len(bars.edges) - 1, 0))]
    rows = [[span, *(str(each[k]) for each in bars.counts)] for k, span in enumerate(spans)]
    if any(bars.below):
        rows.insert(0, [_("less"), *map(str, bars.below)])
    if any(bars.above):
        rows.append([_("more"), *map(str, bars.above)])
    every = [count for each in bars.counts for count in each] + list(bars.below) + list(bars.above)
    return {
        "kind": "number",
        "most": max(every, default=0),
        "edges": list(bars.edges),
        "ticks": [format_setting(edge) for edge in bars.edges],
        "unit": unit.symbol,
        "rounds": [
            {
                "name": name,
                "counts": list(counts),
                "below": below,
                "above": above,
                "total": size(question, one),
                "people": people(size(question, one)),
            }
            for name, one, counts, below, above in zip(
                names, rounds, bars.counts, bars.below, bars.above, strict=True
            )
        ],
        "band": band,
        "table": {"head": [_("Interval"), *names], "rows": rows},
    }


def _span(low: float, high: float, unit: Unit) -> str:
    span = _("{low} to {high}").format(low=format_setting(low), high=format_setting(high))
    return f"{span} {unit.symbol}".strip()


def _band(question: NumberQuestion, readings: Readings) -> Chart:
    truth = value_of(question.answer, readings)
    allowed = question.tolerance + question.relative_tolerance * abs(truth)
    factor = question.unit.size
    low, high = (truth - allowed) / factor, (truth + allowed) / factor
    return {
        "from": low,
        "to": high,
        "truth": truth / factor,
        "text": _("Solver: {value}").format(
            value=format_number(truth / factor, question.unit.symbol, digits=3)
        ),
    }
