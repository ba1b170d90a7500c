"""`pvsim exercise`: sheets for students, each with a case of its own; question banks for platforms."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pvsim.commands.hand_out import (
    check_students,
    check_variants,
    class_list,
    language_of,
    made_folder,
    read_secret,
)
from pvsim.commands.output import check_output, put_out
from pvsim.commands.text import plural
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.errors import FileError
from pvsim.exercise.answer_sheet import write_answer_sheet
from pvsim.exercise.case import ExerciseCase, seed_for
from pvsim.exercise.exercise_file import exercise_lessons
from pvsim.exercise.given import LETTERS, given_of
from pvsim.exercise.item import ChoiceItem, Item
from pvsim.exercise.key import Key, items_of, read_key
from pvsim.exercise.wording import bare
from pvsim.files.provenance import one_line
from pvsim.numbers import format_fixed
from pvsim.words import _, speaking


def run(options: Namespace) -> int:
    """List the exercises, hand out sheets, show what is right, or write a bank."""
    folder = Path(options.lessons) if options.lessons else OWN_LESSONS
    if options.lesson is None:
        return _list(folder)
    _check(options)
    language = language_of(options.language)
    key = read_key(
        options.lesson,
        language,
        folder=folder,
        fresh=not options.own_alone,
        own=options.own or options.own_alone,
    )
    secret = read_secret(options.secret)
    if options.form:
        return _bank(key, secret, options)
    if options.names:
        return _class(key, secret, options)
    return _one(key, secret, options)


def _check(options: Namespace) -> None:
    """Refuse options that do not go together."""
    several = [name for name, value in (("--as", options.form), ("--class", options.names)) if value]
    if options.solution:
        several.append("--solution")
    if len(several) > 1:
        raise FileError(
            f"{several[0]} and {several[1]} are both given", expected="one of them", mend="Call pvsim twice"
        )
    check_students(options)
    check_variants(options)


def _list(folder: Path) -> int:
    lessons = exercise_lessons(folder)
    for lesson in lessons:
        key = read_key(lesson, folder=folder)
        print(f"{lesson}: {plural(len(key.templates), 'exercise')} with new numbers")
        for one in key.templates:
            print(f"  {one.id}")
    print("Every lesson's own questions: --own or --own-alone with its name.")
    return 0


def _one(key: Key, secret: str, options: Namespace) -> int:
    who = one_line(options.who or "")
    seed = options.seed if options.seed is not None else seed_for(who, secret) if who else 0
    case = ExerciseCase(seed=seed, secret=secret)
    check_output(options.output)
    with speaking(key.language):
        items = items_of(key, case).values()
        if options.json:
            data = _json([_values(one, options.solution) for one in items])
        elif options.solution:
            data = ("\n".join(_solution(items)) + "\n").encode()
        else:
            data = _sheet(key, items, who, case).encode()
    put_out(data, options.output)
    return 0


def _sheet(key: Key, items: Iterable[Item], who: str, case: ExerciseCase) -> str:
    questions = [given_of(one) for one in items]
    return write_answer_sheet(questions, lesson=key.lesson, language=key.language, who=who, case=case)


def _class(key: Key, secret: str, options: Namespace) -> int:
    """A sheet for each name of a list, into a folder."""
    names = class_list(options.names)
    folder = made_folder(options.output)
    for name, file in names:
        case = ExerciseCase(seed=seed_for(name, secret), secret=secret)
        with speaking(key.language):
            data = _sheet(key, items_of(key, case).values(), name, case).encode()
        put_out(data, os.fspath(folder / f"{file}.toml"))
    print(f"{plural(len(names), 'sheet')} written to {folder}")
    return 0


def _bank(key: Key, secret: str, options: Namespace) -> int:
    """A bank with as many variants of each exercise with new numbers as are wanted."""
    from pvsim.exercise.bank import variants_of, write_bank

    check_output(options.output)
    first = ExerciseCase(seed=options.seed if options.seed is not None else 1, secret=secret)
    with speaking(key.language):
        items = [*variants_of(key.templates, first, options.variants), *key.own]
        data = write_bank(items, f"pvsim/{key.lesson}", options.form)
    put_out(data, options.output)
    return 0


def _solution(items: Iterable[Item]) -> list[str]:
    """What is right, for whoever marks by hand."""
    lines: list[str] = []
    for item in items:
        lines += [item.id, *(f"  {one}" for one in bare(item.stem).split("\n\n"))]
        if isinstance(item, ChoiceItem):
            for letter, one in zip(LETTERS, item.choices, strict=False):
                sign = "=" if one.share == 1.0 else " "
                lines.append(
                    f"  {sign} {letter}  {bare(one.text)}" + (f"  ({bare(one.idea)})" if one.idea else "")
                )
        else:
            unit = _(item.unit.symbol) if item.unit.symbol else ""
            value = format_fixed(item.value, unit, decimals=item.decimals)
            leeway = format_fixed(item.tolerance, unit, decimals=min(item.decimals + 1, 6))
            lines.append(f"  = {value} ± {leeway}")
            for wrong in item.misconceptions:
                lines.append(
                    f"    {format_fixed(wrong.value, unit, decimals=item.decimals)}  ({bare(wrong.idea)})"
                )
        if item.solution:
            lines.append(f"  {bare(item.solution)}")
        lines.append("")
    return lines[:-1]


def _values(item: Item, solution: bool) -> dict[str, Any]:
    """An item as plain values; without the solution what a student is given."""
    given = given_of(item)
    values: dict[str, Any] = {"id": given.id, "stem": given.stem, "points": given.points}
    if given.choices:
        values["choices"] = list(given.choices)
    else:
        values["unit"] = given.unit
        values["readings"] = [dict(zip(("name", "ask", "unit"), one, strict=True)) for one in given.readings]
    if not solution:
        return values
    if isinstance(item, ChoiceItem):
        values["key"] = [
            {"share": one.share, "idea": one.idea, "feedback": one.feedback} for one in item.choices
        ]
    else:
        values["key"] = {
            "value": item.value,
            "tolerance": item.tolerance,
            "decimals": item.decimals,
            "bands": [{"tolerance": one.tolerance, "share": one.share} for one in item.bands],
            "misconceptions": [
                {"value": one.value, "share": one.share, "idea": one.idea, "feedback": one.feedback}
                for one in item.misconceptions
            ],
        }
    values["solution"] = item.solution
    return values


def _json(values: object) -> bytes:
    return (json.dumps(values, indent=1, allow_nan=False, ensure_ascii=False) + "\n").encode()
