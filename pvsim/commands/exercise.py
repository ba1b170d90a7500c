"""`pvsim exercise`: sheets for students, each with a case of its own; question banks for platforms."""

from __future__ import annotations

import json
import os
import re
from argparse import Namespace
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from pvsim.commands.output import check_output, put_out
from pvsim.commands.text import plural
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.errors import FileError
from pvsim.exercise.answer_sheet import LONGEST_WHO, write_answer_sheet
from pvsim.exercise.case import LONGEST_SECRET, MOST_CASE, ExerciseCase, seed_for
from pvsim.exercise.exercise_file import exercise_lessons
from pvsim.exercise.given import LETTERS, given_of
from pvsim.exercise.item import ChoiceItem, Item
from pvsim.exercise.key import Key, items_of, read_key
from pvsim.exercise.wording import bare
from pvsim.files.provenance import one_line
from pvsim.files.source import read_source, shown
from pvsim.numbers import format_fixed
from pvsim.words import _, known_language, languages, speaking

MOST_STUDENTS = 1_000
MOST_VARIANTS = 100
FORMS = ("gift", "moodle", "qti")

_NO_FILE_NAME = re.compile(r"[^\w-]+")


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
    with speaking(language):
        if options.form:
            return _bank(key, secret, options)
        if options.names:
            return _class(key, secret, options)
        return _one(key, secret, options)


def language_of(code: str | None) -> str:
    """A language that was asked for; English where none was.

    Raises
    ------
    FileError
        If pvsim does not speak it.
    """
    known = known_language(code or "en")
    if not known:
        raise FileError(
            f"there is no language '{shown(code)}'",
            expected="one of " + ", ".join(one.code for one in languages()),
            mend="Leave --language out for English",
        )
    return known


def read_secret(path: str | None) -> str:
    """The lecturer's word from the first line of a file; empty where there is none.

    Raises
    ------
    FileError
        If the file cannot be read, or its first line is empty or too long.
    """
    if path is None:
        return ""
    word = read_source(path).text.partition("\n")[0].strip()
    if not 0 < len(word) <= LONGEST_SECRET:
        raise FileError(
            f"the first line of {shown(path)} has {len(word):,} characters",
            expected=f"a word of 1 to {LONGEST_SECRET}",
            mend="Write a word there that nobody guesses, and keep the file",
        )
    return word


def _check(options: Namespace) -> None:
    """Refuse options that do not go together."""
    several = [name for name, value in (("--as", options.form), ("--class", options.names)) if value]
    if options.solution:
        several.append("--solution")
    if len(several) > 1:
        raise FileError(
            f"{several[0]} and {several[1]} are both given", expected="one of them", mend="Call pvsim twice"
        )
    if options.seed is not None and not 0 <= options.seed <= MOST_CASE:
        raise FileError(
            f"--seed is {options.seed}", expected=f"0 to {MOST_CASE:,}", mend="Take a student's number"
        )
    if not 1 <= options.variants <= MOST_VARIANTS:
        raise FileError(
            f"--variants is {options.variants}",
            expected=f"1 to {MOST_VARIANTS}",
            mend="Choose one in that range",
        )
    if options.who is not None and not 0 < len(options.who.strip()) <= LONGEST_WHO:
        raise FileError(
            "--who is empty or very long",
            expected=f"1 to {LONGEST_WHO} characters",
            mend="Give a name or number",
        )
    if options.names and options.output is None:
        raise FileError(
            "--class is given without --output",
            expected="a folder that the sheets are written into",
            mend="Name one with --output",
        )


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
    items = items_of(key, case).values()
    check_output(options.output)
    if options.json:
        put_out(_json([_values(one, options.solution) for one in items]), options.output)
    elif options.solution:
        put_out(("\n".join(_solution(items)) + "\n").encode(), options.output)
    else:
        put_out(_sheet(key, items, who, case).encode(), options.output)
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
        put_out(
            _sheet(key, items_of(key, case).values(), name, case).encode(), os.fspath(folder / f"{file}.toml")
        )
    print(f"{plural(len(names), 'sheet')} written to {folder}")
    return 0


def class_list(path: str) -> list[tuple[str, str]]:
    """The names of a class, one a line, each with the name of its file.

    Raises
    ------
    FileError
        If the list cannot be read, is empty or too long, or two names would make one file.
    """
    names = [one_line(line) for line in read_source(path).text.splitlines()]
    names = [name for name in names if name and not name.startswith("#")]
    if (
        not 1 <= len(names) <= MOST_STUDENTS
        or max(map(len, names)) > LONGEST_WHO
        or len(set(names)) < len(names)
    ):
        raise FileError(
            f"{shown(path)} lists {len(names):,} names, or one twice, or a very long one",
            expected=f"1 to {MOST_STUDENTS:,} names of at most {LONGEST_WHO} characters, one a line",
            mend="Mend the list",
        )
    files = [
        _NO_FILE_NAME.sub("-", name).strip("-") or f"student-{at}" for at, name in enumerate(names, start=1)
    ]
    if len({one.casefold() for one in files}) < len(files):
        raise FileError(
            f"two names of {shown(path)} would make one file",
            expected="names that differ in letters or digits",
            mend="Add a number to one of them",
        )
    return list(zip(names, files, strict=True))


def made_folder(path: str) -> Path:
    """A folder that sheets are written into, made if it is not there.

    Raises
    ------
    FileError
        If it cannot be made.
    """
    folder = Path(path)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise FileError(
            f"the folder {shown(folder)} cannot be made ({error.strerror})",
            expected="a folder, or a name for one in a folder that exists",
            mend="Choose another place with --output",
        ) from None
    return folder


def _bank(key: Key, secret: str, options: Namespace) -> int:
    """A bank with as many variants of each exercise with new numbers as are wanted."""
    from pvsim.exercise.bank import write_gift, write_moodle_xml, write_qti

    check_output(options.output)
    first = options.seed if options.seed is not None else 1
    items: list[Item] = []
    for at in range(options.variants):
        case = ExerciseCase(seed=first + at, secret=secret)
        fresh = items_of(
            Key(lesson=key.lesson, language=key.language, templates=key.templates), case
        ).values()
        items += [replace(one, id=f"{one.id}/{case.seed}") for one in fresh]
    items += key.own
    title = f"pvsim/{key.lesson}"
    if options.form == "qti":
        data = write_qti(items, title)
    else:
        write = write_gift if options.form == "gift" else write_moodle_xml
        data = write(items, title).encode()
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
