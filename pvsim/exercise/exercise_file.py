"""Reads exercises: lessons/exercises/<lesson>.toml, and their texts in another language beside the lesson's.

    format = 1
    lesson = "diode"

    [[exercise]]
    id = "one-in-the-shade"
    scenario = "single-module"
    change = [{ shade = ["1/1/$cell"], transmission = "$light" }]
    stem = "Cell $cell gets $light of the light. **By how many watts does the module fall?**"
    answer = "-delta[1/1].power_W"
    unit = "W"
    tolerance = 3

    [exercise.draw]
    cell = { among = [3, 14, 17] }
    light = { from = 10, to = 40, step = 5, unit = "%" }

The whole format is lessons/guide/exercises.md.
"""

from __future__ import annotations

import re
from contextlib import suppress
from functools import lru_cache
from math import floor
from pathlib import Path
from typing import Any

from pvsim.array.scenario import Scenario
from pvsim.course.folder.course_file import LANGUAGE
from pvsim.course.folder.course_reader import OWN_LESSONS, find_scenario, is_name
from pvsim.course.number.units import UNITS
from pvsim.course.problem import Problem, as_error
from pvsim.course.table import Enough, Report, Table
from pvsim.course.text.text_check import check_typed
from pvsim.errors import LessonError, PvsimError, nearest
from pvsim.exercise.case import ExerciseCase
from pvsim.exercise.draw import MOST_VALUES, Draw, drawn
from pvsim.exercise.template import TEXTS, Template, try_item
from pvsim.exercise.translation import lay_texts_over
from pvsim.files.source import read_source
from pvsim.files.toml import Slip, read_toml

__all__ = [
    "EXERCISES",
    "FORMAT",
    "examine_exercises",
    "examine_text",
    "exercise_lessons",
    "own_exercises",
    "read_exercises",
]

EXERCISES = "exercises"  # the folder within a course, and within each of its translations
FORMAT = 1
MOST_EXERCISES = 60
MOST_DRAWS = 12
MOST_NUMBER = 1e9  # that is drawn, in its unit
LONGEST_WORD = 80
FRESH = "fresh"  # stands in the ids of exercises, where those of lessons' questions have a step

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_DRAW = re.compile(r"[A-Za-z]\w{0,30}")


def exercise_lessons(folder: Path | str = OWN_LESSONS) -> tuple[str, ...]:
    """The lessons of a course folder that have exercises, sorted."""
    found = (path.stem for path in (Path(folder) / EXERCISES).glob("*.toml"))
    return tuple(sorted(name for name in found if is_name(name)))


def read_exercises(
    folder: Path | str, lesson: str, language: str = "en", *, tried: bool = True
) -> tuple[Template, ...]:
    """The exercises of a lesson, in a language as far as they are translated.

    Parameters
    ----------
    folder : path
        Of the course.
    lesson : str
        Its slug.
    language : str
    tried : bool
        Whether each is made once, which solves for its numbers, to see that it can be.

    Raises
    ------
    LessonError
        If the lesson has none, or they are not in order; with file and line.
    """
    known = exercise_lessons(folder)
    if lesson not in known:
        raise LessonError(
            f"the lesson '{lesson[:60]}' has no exercises with new numbers",
            expected="one of " + ", ".join(known) if known else f"a file in the folder {EXERCISES}",
            mend=nearest(
                lesson[:60], known, f"Write {EXERCISES}/{lesson[:60]}.toml; or take its own questions alone"
            ),
        )
    path = Path(folder) / EXERCISES / f"{lesson}.toml"
    found, problems = examine_exercises(path, Path(folder), language, tried=tried)
    if problems:
        raise as_error(problems[0], len(problems) - 1)
    return found


def own_exercises(lesson: str, language: str = "en") -> tuple[Template, ...]:
    """The exercises of a lesson that comes with pvsim, read once in each language; tests have tried them."""
    return _own_exercises(lesson, language)


@lru_cache(maxsize=64)  # of all lessons in both languages
def _own_exercises(lesson: str, language: str) -> tuple[Template, ...]:
    return read_exercises(OWN_LESSONS, lesson, language, tried=False)


def examine_exercises(
    path: Path,
    folder: Path | None = None,
    language: str = "en",
    *,
    lesson: str = "",
    tried: bool = True,
) -> tuple[tuple[Template, ...], tuple[Problem, ...]]:
    """The exercises in a file that are in order, and what is wrong with the others.

    Parameters
    ----------
    path : Path
        Of the file as it was written.
    folder : Path, optional
        The course folder, with scenarios and translations.
    lesson : str
        Whose exercises they have to be; left out, the file is named after it.
    tried : bool
        Whether each is made once to see that it can be.

    Raises
    ------
    FileError
        If the file cannot be read.
    """
    over = (
        None
        if folder is None or not LANGUAGE.fullmatch(language)
        else folder / language / EXERCISES / f"{lesson or path.stem}.toml"
    )
    texts = read_source(over, over.name).text if over is not None and over.exists() else None
    text = read_source(path, path.name).text
    file = path.name if lesson else ""
    return examine_text(text, lesson or path.stem, folder, texts, language, file=file, tried=tried)


def examine_text(
    text: str,
    lesson: str,
    folder: Path | None = None,
    texts: str | None = None,
    language: str = "en",
    *,
    file: str = "",
    tried: bool = True,
) -> tuple[tuple[Template, ...], tuple[Problem, ...]]:
    """The exercises in a text, with those of a translation laid over it.

    Parameters
    ----------
    text, texts : str
        TOML, of the original and of its translation into `language`; neither is trusted.
    lesson : str
        Whose exercises they are.
    folder : Path, optional
        With scenarios of its own.
    file : str
        What messages call it where it is not named after its lesson.
    tried : bool
        Whether each is made once to see that it can be.
    """
    report = Report(file=file or f"{EXERCISES}/{lesson}.toml", toml=text, whole="the file")
    found: tuple[Template, ...] = ()
    with suppress(Enough):
        values = _parsed(report)
        if values is None:
            return (), tuple(report.problems)
        own = values.get("language", "en")
        found = _templates(values, report, lesson, folder, own if isinstance(own, str) else "en", tried)
        if report.problems or texts is None or language == own:
            return found, tuple(report.problems)
        report = Report(file=f"{language}/{EXERCISES}/{lesson}.toml", toml=texts, whole="the file")
        others = _parsed(report)
        if others is not None:
            laid = lay_texts_over(values, Table(others, (), report), lesson)
            if not report.problems:
                found = _templates(laid, report, lesson, folder, language, tried)
    return found, tuple(report.problems)


def _parsed(report: Report) -> dict[str, Any] | None:
    values = read_toml(report.toml)
    if isinstance(values, Slip):
        report.refuse_toml(values)
        return None
    return values


def _templates(
    values: dict[str, Any], report: Report, named: str, folder: Path | None, language: str, tried: bool
) -> tuple[Template, ...]:
    top = Table(values, (), report)
    top.whole("format", least=FORMAT, most=FORMAT)
    lesson = top.text("lesson", longest=80)
    if lesson and lesson != named:
        expected = f"'{named}', the lesson that they are taken for"
        top.refuse("lesson", f"the exercises are said to belong to '{lesson}'", expected=expected)
    top.text("language", "en", longest=12)
    given = top.table("given")
    tables = top.tables("exercise")
    if not 1 <= len(tables) <= MOST_EXERCISES:
        wrong = f"there are {len(tables)} exercises"
        top.refuse("exercise", wrong, expected=f"1 to {MOST_EXERCISES} tables [[exercise]]")
    top.close()
    check_typed(_texts(values.get("exercise"), report), given.values if given else {}, report)
    found: list[Template] = []
    for at, table in enumerate(tables[:MOST_EXERCISES]):
        told = len(report.problems)
        name = table.text("id", longest=40)
        if not _ID.fullmatch(name) or any(one.id.endswith(f"/{name}") for one in found):
            table.refuse("id", f"'{name}' is no id", expected="small letters, digits, hyphens; each id once")
        scenario = _scenario(table, folder)
        draws = _draws(table)
        if scenario is None or len(report.problems) > told:
            continue
        template = Template(
            id=f"{lesson}/{FRESH}/{name}",
            language=language,
            scenario=scenario,
            draws=draws,
            values=table.values,
            file=report.file,
            text=report.toml,
            at=at,
        )
        first = ExerciseCase(seed=0)
        if not tried or try_item(template, drawn(draws, template.id, first), report) is not None:
            found.append(template)
    return tuple(found)


def _texts(part: Any, report: Report, path: tuple[str | int, ...] = ("exercise",)) -> list[tuple[str, int]]:
    """Every text for people below a part, with its line."""
    if isinstance(part, list):
        return [pair for at, one in enumerate(part) for pair in _texts(one, report, (*path, at))]
    if isinstance(part, dict):
        return [pair for key, one in part.items() for pair in _texts(one, report, (*path, key))]
    return [(part, report.line(path))] if isinstance(part, str) and path[-1] in TEXTS else []


def _scenario(table: Table, folder: Path | None) -> Scenario | None:
    name = table.text("scenario", longest=80)
    try:
        return find_scenario(name, folder) if name else None
    except PvsimError as error:
        table.report.take_over((*table.path, "scenario"), error)
        return None


def _draws(table: Table) -> tuple[Draw, ...]:
    """What varies, from the table [exercise.draw]."""
    inner = table.table("draw")
    found: list[Draw] = []
    for name in list(inner.values)[: MOST_DRAWS + 1] if inner is not None else ():
        assert inner is not None
        one = inner.table(name)
        if one is None:
            continue
        if not _DRAW.fullmatch(name) or len(found) == MOST_DRAWS:
            inner.refuse(name, f"'{name}' cannot be drawn", expected=f"up to {MOST_DRAWS} names of letters")
        unit = UNITS[one.word("unit", tuple(UNITS), "plain")]
        values = _among(one) if one.has("among") else _steps(one)
        numbers = [value for value in values if not isinstance(value, str)]
        decimals = max((_decimals(value) for value in numbers), default=0)
        one.close()
        found.append(Draw(name=name, values=values or (0.0,), unit=unit, decimals=decimals))
    return tuple(found)


def _among(table: Table) -> tuple[float | str, ...]:
    listed = table.entries("among", most=MOST_VALUES)
    words = [one for one in listed if isinstance(one, str) and 0 < len(one) <= LONGEST_WORD]
    numbers = [one for one in listed if isinstance(one, (int, float)) and not isinstance(one, bool)]
    numbers = [one for one in numbers if -MOST_NUMBER <= one <= MOST_NUMBER]  # nan is not
    if not listed or len(listed) not in (len(words), len(numbers)):
        wrong = "'among' does not say what is drawn from"
        table.refuse("among", wrong, expected="a list of numbers, or a list of words")
        return ()
    return (*words, *map(float, numbers))


def _steps(table: Table) -> tuple[float, ...]:
    first = table.number("from", least=-MOST_NUMBER, most=MOST_NUMBER)
    last = table.number("to", least=-MOST_NUMBER, most=MOST_NUMBER)
    step = table.number("step", least=1e-9, most=MOST_NUMBER)
    count = floor((last - first) / step + 1e-9) + 1
    if not 2 <= count <= MOST_VALUES:
        wrong = f"from {first:g} to {last:g} by {step:g} are {max(count, 0):,} values"
        table.refuse("step", wrong, expected=f"2 to {MOST_VALUES:,}")
        return ()
    return tuple(round(first + at * step, 9) for at in range(count))


def _decimals(value: float) -> int:
    return len(f"{value:.6f}".rstrip("0").partition(".")[2])
