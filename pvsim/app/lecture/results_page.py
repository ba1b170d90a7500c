"""The results of a lecture as its sheet shows and prints them: a row for each question, both rounds, gain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pvsim.app.lecture.chart import round_names
from pvsim.app.words import _
from pvsim.course.lecture.results import Count, Result
from pvsim.numbers import format_fixed, format_number, format_percent

__all__ = ["results_page"]


def results_page(title: str, results: Sequence[Result], *, invented: bool) -> dict[str, Any]:
    """The sheet, as plain values.

    Parameters
    ----------
    title : str
        Of the lecture.
    invented : bool
        Whether the class of a rehearsal answered.
    """
    return {
        "title": title,
        "invented": invented,
        "head": [_("Question"), _("Right answer"), *round_names(2), _("gain")],
        "rows": [_row(one) for one in results],
        "none": "" if results else _("Nobody has answered yet."),
        "about": _("gain: by how many percentage points the share of right answers rose"),
    }


def _row(result: Result) -> dict[str, Any]:
    right = result.right
    if result.truth is not None:
        right = format_number(result.truth, result.unit, digits=3)
    gain = result.gain
    return {
        "lesson": result.lesson,
        "step": result.step,
        "question": result.question,
        "letter": result.letter,
        "right": right,
        "rounds": [_round(one, result.letter) for one in result.rounds],
        "gain": "" if gain is None else format_fixed(100.0 * gain, sign=True),
    }


def _round(count: Count, letter: str) -> dict[str, Any]:
    if not count.answered:
        return {"share": "", "of": _("nobody answered"), "answers": []}
    return {
        "share": format_percent(count.right / count.answered, decimals=0),
        "of": _("{right} of {all} right").format(right=count.right, all=count.answered),
        "answers": [[name, times, name == letter] for name, times in count.answers] if letter else [],
    }
