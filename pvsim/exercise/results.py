"""Marks of a class: a row for each student and question, what a corrected key changes, and a summary."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import pvsim
from pvsim.errors import FileError
from pvsim.exercise.answer_sheet import AnswerSheet
from pvsim.exercise.item import Item
from pvsim.exercise.marking import ItemMark, mark_answer
from pvsim.exercise.wording import bare
from pvsim.files.provenance import one_line
from pvsim.files.source import shown
from pvsim.numbers import short_number
from pvsim.words import speaking

__all__ = [
    "CSV_COLUMNS",
    "QuestionSummary",
    "Remarked",
    "ResultRow",
    "mark_sheet",
    "remark",
    "summarise",
    "write_results",
]

CSV_COLUMNS = (
    "who",
    "seed",
    "lesson",
    "question",
    "attempts",
    "answer",
    "points",
    "of",
    "verdict",
    "unit",
    "misconception",
    "feedback",
)
_RUNS = ("=", "+", "-", "@", "\t", "\r")  # what a table program takes for the beginning of a formula


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow:
    """One student's answer to one question, marked.

    Parameters
    ----------
    who : str
    seed : int
    lesson : str
    attempts : int
        How often it was answered; 0 where it was not.
    answer : str
        The last one, as typed.
    mark : ItemMark
    """

    who: str
    seed: int
    lesson: str
    attempts: int
    answer: str
    mark: ItemMark


@dataclass(frozen=True, slots=True, kw_only=True)
class Remarked:
    """An answer that a corrected key marks otherwise."""

    before: ResultRow
    after: ResultRow


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionSummary:
    """How a class did in one question.

    Parameters
    ----------
    item : str
    counts : mapping of str to int
        Answers by their verdict.
    points, of : float
        All added.
    ideas : tuple of (str, int)
        Misconceptions met, the most frequent first.
    """

    item: str
    counts: Mapping[str, int]
    points: float
    of: float
    ideas: tuple[tuple[str, int], ...]


def mark_sheet(sheet: AnswerSheet, items: Mapping[str, Item]) -> tuple[ResultRow, ...]:
    """Mark all that a sheet answers; the last attempt counts.

    Parameters
    ----------
    items : mapping of str to Item
        By id, of the sheet's own case.

    Raises
    ------
    FileError
        If it answers a question that there is not.
    """
    for one in sheet.answers:
        if one.item not in items:
            raise FileError(
                f"{shown(sheet.name)} answers '{shown(one.item)}', which the key does not have",
                expected="questions of the lesson it names",
                mend="Mark it with the key it was made from",
            )
    rows: list[ResultRow] = []
    with speaking(sheet.language):
        for one in sheet.answers:
            last = one.texts[-1] if one.texts else ""
            rows.append(
                ResultRow(
                    who=sheet.who,
                    seed=sheet.seed,
                    lesson=sheet.lesson,
                    attempts=len(one.texts),
                    answer=last,
                    mark=mark_answer(items[one.item], last, readings=one.readings),
                )
            )
    return tuple(rows)


def remark(
    sheet: AnswerSheet, before: Mapping[str, Item], after: Mapping[str, Item]
) -> tuple[tuple[ResultRow, ...], tuple[Remarked, ...]]:
    """Mark the same answers with a corrected key.

    Returns
    -------
    rows : tuple of ResultRow
        By the new key.
    changed : tuple of Remarked
        Those whose points, verdict or misconception are others now.
    """
    old, new = mark_sheet(sheet, before), mark_sheet(sheet, after)
    pairs = zip(old, new, strict=True)
    return new, tuple(Remarked(before=a, after=b) for a, b in pairs if _told(a.mark) != _told(b.mark))


def _told(mark: ItemMark) -> tuple[float, float, str, str]:
    return mark.points, mark.of, mark.verdict, mark.idea


def summarise(rows: Iterable[ResultRow]) -> tuple[QuestionSummary, ...]:
    """How a class did, question by question, in the order they come."""
    by_item: dict[str, list[ResultRow]] = {}
    for row in rows:
        by_item.setdefault(row.mark.item, []).append(row)
    return tuple(
        QuestionSummary(
            item=item,
            counts=dict(Counter(row.mark.verdict for row in some)),
            points=sum(row.mark.points for row in some),
            of=sum(row.mark.of for row in some),
            ideas=tuple(Counter(row.mark.idea for row in some if row.mark.idea).most_common()),
        )
        for item, some in by_item.items()
    )


def write_results(rows: Sequence[ResultRow]) -> str:
    """Results as CSV: a comment with the version, a header, a row for each student and question.

    Numbers have a decimal point. A text that a table program would take for a formula has an apostrophe
    before it.
    """
    out = io.StringIO()
    out.write(f"# Marks, written by pvsim {pvsim.__version__}\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(CSV_COLUMNS)
    for row in rows:
        mark = row.mark
        feedback = " ".join(bare(one) for one in mark.feedback)
        texts = [row.who, row.seed, row.lesson, mark.item, row.attempts, row.answer, _number(mark.points)]
        texts += [_number(mark.of), mark.verdict, mark.unit, bare(mark.idea), feedback]
        writer.writerow([_plain(one) if isinstance(one, str) else one for one in texts])
    return out.getvalue()


def _number(value: float) -> str:
    with speaking("en"):
        return short_number(value)


def _plain(text: str) -> str:
    line = one_line(text)
    harmless = line[:1] not in _RUNS or line.lstrip("+-").replace(".", "", 1).replace(",", "", 1).isdigit()
    return line if harmless else f"'{line}"
