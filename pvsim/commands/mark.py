"""`pvsim mark`: sheets that were handed in, marked; as CSV, and as a report of the class."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pvsim
from pvsim.commands.hand_out import read_secret
from pvsim.commands.output import check_output, put_out
from pvsim.commands.text import plural, table
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.errors import FileError, PvsimError
from pvsim.exercise.answer_sheet import AnswerSheet, GivenAnswer, check_seal, read_answer_sheet
from pvsim.exercise.key import Key, is_fresh, items_of, read_key
from pvsim.exercise.results import (
    QuestionSummary,
    Remarked,
    ResultRow,
    mark_sheet,
    remark,
    summarise,
    write_results,
)
from pvsim.exercise.wording import bare
from pvsim.files.source import read_source, read_stream, shown
from pvsim.numbers import short_number

MOST_SHEETS = 2_000
SHOWN_IDEAS = 3
SHOWN_FILES = 6


def run(options: Namespace) -> int:
    """Mark what is named; 2 when a sheet was refused, after the others were marked."""
    secret = read_secret(options.secret)
    check_output(options.output)
    paths, passed_over = _paths(options.sheets)
    marker = _Marker(options, secret)
    sheets: list[AnswerSheet] = []
    rows: list[ResultRow] = []
    changed: list[Remarked] = []
    refused: list[PvsimError] = []
    for path in paths:
        try:
            sheets.append(_handed_in(_read(path), secret, sheets))
        except PvsimError as error:
            refused.append(error)
    asked = _asked_of_all(sheets)
    for sheet in sheets:
        try:
            found, others = marker.mark(sheet, asked[sheet.lesson])
        except PvsimError as error:
            refused.append(error)
            continue
        rows += found
        changed += others
    if rows:
        _give(rows, changed, len(paths) - len(refused), options)
    for one in refused:
        print(f"pvsim: {one}", file=sys.stderr)
    if passed_over:
        print(f"pvsim: passed over, as no .toml or .json: {_few(passed_over)}", file=sys.stderr)
    return 2 if refused else 0


def _handed_in(sheet: AnswerSheet, secret: str, before: list[AnswerSheet]) -> AnswerSheet:
    """A sheet whose seal holds, if it is the only one of somebody's; without a name, many may have it."""
    check_seal(sheet, secret)
    for one in before:
        if sheet.who and (one.lesson, one.who, one.seed) == (sheet.lesson, sheet.who, sheet.seed):
            raise FileError(
                f"{shown(sheet.name)} is a second sheet of '{shown(sheet.who)}' for '{shown(sheet.lesson)}'"
                f", beside {shown(one.name)}",
                expected="one sheet from each, so that no points count twice",
                mend="Take the one out that does not count",
            )
    return sheet


def _asked_of_all(sheets: list[AnswerSheet]) -> dict[str, tuple[str, ...]]:
    """For each lesson the questions that any of its sheets has."""
    asked: dict[str, dict[str, None]] = {}
    for sheet in sheets:
        asked.setdefault(sheet.lesson, {}).update(dict.fromkeys(one.item for one in sheet.answers))
    return {lesson: tuple(items) for lesson, items in asked.items()}


class _Marker:
    """Marks sheets one after the other, with the keys that they need, each read once."""

    def __init__(self, options: Namespace, secret: str) -> None:
        self.folder = Path(options.lessons) if options.lessons else OWN_LESSONS
        self.file = Path(options.key) if options.key else None
        self.before = Path(options.before) if options.before else None
        self.secret = secret
        self.key = lru_cache(maxsize=64)(self._key)

    def mark(
        self, sheet: AnswerSheet, asked: tuple[str, ...]
    ) -> tuple[tuple[ResultRow, ...], tuple[Remarked, ...]]:
        """The rows of a sheet, and what differs from marks by the key before.

        Parameters
        ----------
        asked : tuple of str
            What the sheets of others have too: a question that was deleted is one without an answer.

        Raises
        ------
        PvsimError
            If the sheet or its key is refused.
        """
        case = check_seal(sheet, self.secret)
        there = [one.item for one in sheet.answers]
        ids = [*there, *(one for one in asked if one not in there)]
        wanted = any(map(is_fresh, there)), not all(map(is_fresh, there))
        now = items_of(self.key(sheet.lesson, sheet.language, self.file, *wanted), case, ids)
        gone = tuple(GivenAnswer(item=one) for one in ids if one not in there and one in now)
        sheet = replace(sheet, answers=sheet.answers + gone)
        if self.before is None:
            return mark_sheet(sheet, now), ()
        then = items_of(self.key(sheet.lesson, sheet.language, self.before, *wanted), case, ids)
        return remark(sheet, then, now)

    def _key(self, lesson: str, language: str, file: Path | None, fresh: bool, own: bool) -> Key:
        return read_key(lesson, language, folder=self.folder, file=file, fresh=fresh, own=own)


def _paths(named: list[str]) -> tuple[list[str], list[str]]:
    """The files that are named, those in folders that are named, and what there does not end as sheets do."""
    found: list[str] = []
    passed_over: list[str] = []
    for name in named:
        path = Path(name)
        if name != "-" and path.is_dir():
            files = sorted(one for one in path.iterdir() if one.is_file() and not one.name.startswith("."))
            inside = [str(one) for one in files if one.suffix.lower() in (".toml", ".json")]
            passed_over += [str(one) for one in files if str(one) not in inside]
            if not inside:
                raise FileError(
                    f"the folder {shown(name)} holds no sheet",
                    expected="files that end with .toml or .json",
                    mend="Name the folder they lie in",
                )
            found += inside
        else:
            found.append(name)
    if len(found) > MOST_SHEETS:
        raise FileError(
            f"there are {len(found):,} sheets",
            expected=f"at most {MOST_SHEETS:,}",
            mend="Mark some at a time",
        )
    return found, passed_over


def _few(names: list[str]) -> str:
    """Some names, and how many more there are."""
    more = f" and {len(names) - SHOWN_FILES} more" if len(names) > SHOWN_FILES else ""
    return ", ".join(map(shown, names[:SHOWN_FILES])) + more


def _read(name: str) -> AnswerSheet:
    source = read_stream(sys.stdin.buffer, "the standard input") if name == "-" else read_source(name)
    return read_answer_sheet(source.text, source.name)


def _give(rows: list[ResultRow], changed: list[Remarked], sheets: int, options: Namespace) -> None:
    summaries = summarise(rows)
    if options.json:
        put_out(_json(rows, changed, summaries), options.output)
        return
    if options.output is not None:
        put_out(write_results(rows).encode(), options.output)
    if options.output != "-":
        print("\n".join(_report(rows, changed, summaries, sheets, options)))


def _report(
    rows: list[ResultRow],
    changed: list[Remarked],
    summaries: tuple[QuestionSummary, ...],
    sheets: int,
    options: Namespace,
) -> list[str]:
    lines = [f"{plural(sheets, 'sheet')} marked, {plural(len(rows), 'answer')}"]
    head = ("question", "right", "part", "wrong", "empty", "unreadable", "points", "of")
    cells = [
        [
            one.item,
            *(str(one.counts.get(name, 0)) for name in head[1:6]),
            short_number(one.points),
            short_number(one.of),
        ]
        for one in summaries
    ]
    lines += ["", *table(head, cells)]
    for one in summaries:
        for idea, count in one.ideas[:SHOWN_IDEAS]:
            lines.append(f"  {one.item}: {count} x {bare(idea)}")
    totals: dict[tuple[str, int], list[float]] = {}
    for row in rows:
        total = totals.setdefault((row.who, row.seed), [0.0, 0.0])
        total[0] += row.mark.points
        total[1] += row.mark.of
    people = [
        [who or "(no name)", str(seed), short_number(got), short_number(of)]
        for (who, seed), (got, of) in totals.items()
    ]
    lines += ["", *table(("who", "seed", "points", "of"), people)]
    if options.before is not None:
        lines += ["", f"{plural(len(changed), 'answer')} marked otherwise than by {options.before}"]
        for pair in changed:
            old, new = pair.before.mark, pair.after.mark
            points = f"{short_number(old.points)} -> {short_number(new.points)} points"
            ideas = f"; {bare(old.idea) or 'nothing'} -> {bare(new.idea) or 'nothing'}" * (
                old.idea != new.idea
            )
            who = pair.after.who or "(no name)"
            lines.append(f"  {who}, {new.item}: {old.verdict} -> {new.verdict}, {points}{ideas}")
    if len(totals) == 1:
        lines.append("")
        for row in rows:
            points = f"{short_number(row.mark.points)} of {short_number(row.mark.of)}"
            lines.append(f"  {row.mark.item}: {row.mark.verdict}, {points}")
            lines += [f"    {bare(one)}" for one in row.mark.feedback]
    if options.output is not None:
        lines += ["", f"The table is in {options.output}"]
    return lines


def _json(rows: list[ResultRow], changed: list[Remarked], summaries: tuple[QuestionSummary, ...]) -> bytes:
    values: dict[str, Any] = {
        "pvsim": pvsim.__version__,
        "rows": [asdict(one) for one in rows],
        "changed": [asdict(one) for one in changed],
        "questions": [asdict(one) for one in summaries],
    }
    return (json.dumps(values, indent=1, allow_nan=False, ensure_ascii=False) + "\n").encode()
