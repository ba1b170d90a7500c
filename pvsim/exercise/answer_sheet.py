"""A student's sheet as a file, TOML or JSON: handed out with questions, handed in with answers.

    format = 1
    lesson = "diode"
    language = "en"
    who = "Ada"
    seed = 417003
    seal = "5f0c21d9ab34"

    [[question]]
    id = "diode/fresh/one-in-the-shade"
    answer = "91 W"
    earlier = ["182 W"]
    readings = { U = "31.2 V" }

A sheet holds no key, and nothing that a key was computed from but what its questions say. Who hands one in
is not trusted: sizes are bounded, every key is known, and the seal tells whether name and number are as
they were handed out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite
from textwrap import wrap
from types import MappingProxyType
from typing import Any

import pvsim
from pvsim.course.folder.course_reader import is_name
from pvsim.errors import FileError, ScenarioError
from pvsim.exercise.case import MOST_CASE, ExerciseCase, seal_of, seals
from pvsim.exercise.given import LETTERS, GivenItem
from pvsim.exercise.wording import bare
from pvsim.files.json_text import is_json, parse_json
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.files.source import Source, check_format, parse_toml, shown, where
from pvsim.files.table import Table
from pvsim.files.toml_text import write_toml
from pvsim.words import _, known_language

__all__ = ["AnswerSheet", "GivenAnswer", "check_seal", "read_answer_sheet", "write_answer_sheet"]

SHEET_FORMAT = 1
MOST_CHARACTERS = 300_000  # sixty questions with their stems need a tenth
MOST_QUESTIONS = 100
MOST_EARLIER = 20
LONGEST_TYPED = 200
LONGEST_WHO = 80
WIDTH = 96

_TOP = ("format", "lesson", "language", "who", "seed", "seal", "question")
_QUESTION = ("id", "answer", "earlier", "readings")
_SEAL = re.compile(r"[0-9a-f]{12}")
_THREE_DECIMALS = re.compile(r"-?\d{1,3}\.\d{3}")  # thousands to some who type it


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAnswer:
    """What somebody answered to one question.

    Parameters
    ----------
    item : str
        Its id.
    texts : tuple of str
        As typed, one for each attempt; the last one counts. None where nothing was answered.
    readings : mapping of str to str
        Their own, by name, as typed.
    """

    item: str
    texts: tuple[str, ...] = ()
    readings: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerSheet:
    """A sheet as it was handed in.

    Parameters
    ----------
    name : str
        Of its file, for messages.
    lesson, language, who : str
    seed : int
    seal : str
        Letters that go with lesson, name and number.
    answers : tuple of GivenAnswer
    """

    name: str
    lesson: str
    language: str
    who: str
    seed: int
    seal: str
    answers: tuple[GivenAnswer, ...]


def read_answer_sheet(text: str, name: str = "the sheet") -> AnswerSheet:
    """Read a sheet that was handed in.

    Parameters
    ----------
    text : str
        TOML or JSON; it is not trusted.
    name : str
        What messages call it.

    Raises
    ------
    FileError
        If it is neither, too long, has an unknown key, a value of the wrong kind or one that is not finite;
        with file, line, key and how to mend it.
    """
    if len(text) > MOST_CHARACTERS:
        raise FileError(
            f"{shown(name)} has {len(text):,} characters",
            expected=f"a sheet of answers, at most {MOST_CHARACTERS:,}",
            mend="Check that it is the right file",
        )
    source = Source(name=name, text=text)
    if is_json(text):
        values = parse_json(source, "sheet of answers", deepest=6, flatter="Write it as it was handed out")
        source = Source(name=name)  # JSON lines are not looked for
    else:
        values = parse_toml(source)
    return _sheet(Table(source, (), values, _TOP), values)


def _sheet(top: Table, values: Mapping[str, Any]) -> AnswerSheet:
    check_format(top.source, values, SHEET_FORMAT)
    lesson = top.text("lesson", longest=80)
    seal = top.text("seal", longest=12)
    for key, fits in (("lesson", is_name(lesson)), ("seal", _SEAL.fullmatch(seal) is not None)):
        if not fits:
            raise FileError(
                f"{where(top.source, (key,))} is {shown(repr(values[key]))}",
                expected="what stands there on the sheet that was handed out",
                mend="Copy the line from it again",
            )
    answers: list[GivenAnswer] = []
    for table in top.tables("question", _QUESTION, most=MOST_QUESTIONS, required=True):
        one = _answer(table)
        if any(one.item == other.item for other in answers):
            raise FileError(
                f"{where(top.source, (*table.path, 'id'))}: '{shown(one.item)}' stands there twice",
                expected="each question once",
                mend="Leave one of the two out; a former attempt belongs under 'earlier'",
            )
        answers.append(one)
    return AnswerSheet(
        name=top.source.name,
        lesson=lesson,
        language=known_language(top.text("language", "en", longest=12)) or "en",
        who=one_line(top.text("who", "", longest=LONGEST_WHO)),
        seed=top.whole("seed", least=0, most=MOST_CASE),
        seal=seal,
        answers=tuple(answers),
    )


def _answer(table: Table) -> GivenAnswer:
    earlier = [
        _typed(table, ("earlier", at), one)
        for at, one in enumerate(table.entries("earlier", most=MOST_EARLIER))
    ]
    texts = [*earlier, _typed(table, ("answer",), table.values.get("answer", ""))]
    readings = table.named("readings", most=12, mend="Leave out what is not asked for")
    return GivenAnswer(
        item=table.text("id", longest=120),
        texts=tuple(one for one in texts if one),
        readings=MappingProxyType(
            {key: _typed(readings, (key,), readings.values[key]) for key in readings.values}
        ),
    )


def _typed(table: Table, key: tuple[str | int, ...], value: object) -> str:
    """What was typed, in quotes or as a number."""
    if isinstance(value, str) and len(value) <= LONGEST_TYPED:
        return one_line(value)
    if (
        isinstance(value, (int, float))
        and not isinstance(value, bool)
        and -1e15 < value < 1e15
        and isfinite(value)
    ):
        text = repr(value)
        return f"{text}0" if _THREE_DECIMALS.fullmatch(text) else text  # a point here means decimals
    long = isinstance(value, str)
    raise FileError(
        f"{where(table.source, (*table.path, *key))} "
        + (f"has {len(value):,} characters" if isinstance(value, str) else f"is {shown(repr(value))}"),
        expected=f"at most {LONGEST_TYPED} characters" if long else "an answer in quotes, or a finite number",
        mend="Write the number and its unit alone" if long else 'Write it like answer = "12.5 W"',
    )


def check_seal(sheet: AnswerSheet, secret: str = "") -> ExerciseCase:
    """The case of a sheet, if name, lesson and number are as they were handed out.

    Raises
    ------
    FileError
        If they are not.
    """
    try:
        case = ExerciseCase(seed=sheet.seed, secret=secret)
    except ScenarioError as error:
        raise FileError(error.wrong, expected=error.expected, mend=error.mend) from None
    if not seals(sheet.seal, sheet.lesson, sheet.who, case):
        raise FileError(
            f"{shown(sheet.name)}: seed {sheet.seed} was not handed out to '{shown(sheet.who)}' for "
            f"'{shown(sheet.lesson)}'",
            expected="lesson, who, seed and seal as they were handed out, and the secret word of then",
            mend="Ask for the sheet as it was handed out; mark with --secret if it was made with one",
        )
    return case


def write_answer_sheet(
    questions: Sequence[GivenItem], *, lesson: str, language: str, who: str, case: ExerciseCase
) -> str:
    """A sheet to be handed out, in the language spoken now.

    Parameters
    ----------
    questions : sequence of GivenItem
        Which know no answers.
    """
    head = write_toml(
        {
            "format": SHEET_FORMAT,
            "lesson": lesson,
            "language": language,
            "who": who,
            "seed": case.seed,
            "seal": seal_of(lesson, who, case),
        },
        comment="\n".join(
            (
                _("Questions, written by pvsim {version}.").format(version=pvsim.__version__),
                _("Write each answer between its quotes, with its unit, and hand this file in."),
                _("Move an answer that you change to “earlier”. Leave all other lines as they are."),
                *map(_, MODEL_LIMITS),
            )
        ),
    )
    return "\n".join([head, *(_question(number, one) for number, one in enumerate(questions, start=1))])


def _question(number: int, given: GivenItem) -> str:
    lines = [_("Question {number}").format(number=number)]
    for paragraph in bare(given.stem).split("\n\n"):
        lines += ["", *wrap(paragraph, WIDTH)]
    lines.append("")
    for letter, text in zip(LETTERS, given.choices, strict=False):
        lines += wrap(f"{letter}  {bare(text)}", WIDTH, subsequent_indent="   ")
    lines += [f"{name}: {ask}" + (f", {unit}" if unit else "") for name, ask, unit in given.readings]
    if given.choices:
        lines.append(_("Answer with a letter."))
    elif given.unit:
        lines.append(_("Answer in {unit}.").format(unit=given.unit))
    entry: dict[str, Any] = {"id": given.id, "answer": "", "earlier": []}
    if given.readings:
        entry["readings"] = {name: "" for name, _ask, _unit in given.readings}
    return write_toml({"question": [entry]}, comment="\n".join(lines))
