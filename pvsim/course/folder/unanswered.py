"""Warns of comparisons in words that stand beside no computed number. A warning keeps no lesson out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from pvsim.course.folder.course_folder import open_home, text_of
from pvsim.course.folder.course_reader import course_folders, is_name
from pvsim.course.lesson.draft import Draft, read_draft, translated_draft
from pvsim.course.problem import Problem
from pvsim.course.table import Enough, KeyPath, Report
from pvsim.course.text.body import NOTES
from pvsim.course.text.claim import Claim, open_claims
from pvsim.errors import PvsimError

EXPECTED = "a comparison that is computed, checked, or gone"
MEND = (
    "Write a number beside it, put {{ holds ... }} or {{ checked ... }} into the sentence, or say it without"
)
PLAIN_MEND = "Say it without, or in the lesson's text, where a number can stand beside it"
PLAIN = ("objectives", "limits")  # shown as they are written


def course_warnings(folder: Path) -> list[Problem]:
    """The open claims of every lesson of a course in every language.

    A glossary is left alone: what its terms mean is defined there, each with its source.
    """
    try:
        home = open_home(folder)
    except PvsimError:  # told as a problem
        return []
    languages = [("", home.plan.language), *((one, one) for one in course_folders(folder))]
    return [
        warning
        for inside, language in languages
        for slug in home.plan.order
        for warning in lesson_warnings(folder, slug, inside, language)
    ]


def lesson_warnings(folder: Path, slug: str, inside: str, language: str) -> list[Problem]:
    """The open claims of one lesson; none when it is not there, or not in order.

    Parameters
    ----------
    folder : Path
        Of the course.
    slug : str
    inside : str
        The folder of the translation within the course; empty for the lesson itself.
    language : str
        The file is written in.
    """
    if not is_name(slug):  # told as a problem
        return []
    original = _text(folder, f"{slug}.md")
    file = f"{inside}/{slug}.md" if inside else f"{slug}.md"
    text = _text(folder, file)
    return (
        []
        if original is None or text is None
        else warnings_of(text, file, language, original if inside else "")
    )


def warnings_of(text: str, file: str, language: str, original: str = "") -> list[Problem]:
    """The open claims of a lesson that stands alone, or of a translation of the original."""
    report = Report(file=file)
    slug = file.rpartition("/")[2].removesuffix(".md")
    draft = None
    with suppress(Enough):
        draft = translated_draft(text, original, slug, report) if original else read_draft(text, report)
    if draft is None or report.problems:
        return []
    return sorted(_of_draft(draft, report, language), key=lambda one: one.line)


def _of_draft(draft: Draft, report: Report, language: str) -> Iterator[Problem]:
    for (_, part), section in draft.sections.items():
        for claim in open_claims(section.text, language, others=part == NOTES):
            yield _warning(report.file, section.line + claim.line, claim, MEND)
    for text, path in _answers(draft.values, ()):
        for claim in open_claims(text, language):
            yield _warning(report.file, report.line(path), claim, MEND)
    for key in PLAIN:
        value = draft.values.get(key, [])
        for number, one in enumerate(value if isinstance(value, list) else [value]):
            for claim in open_claims(str(one), language):
                yield _warning(report.file, report.line((key, number)), claim, PLAIN_MEND)


def _answers(values: Mapping[str, Any], path: KeyPath) -> Iterator[tuple[str, KeyPath]]:
    """What is said to answers, and right choices that the solver is not asked about."""
    for key, value in values.items():
        here = (*path, key)
        by_solver = key == "text" and (values.get("right") is not True or "when" in values)
        if key in ("feedback", "text") and isinstance(value, str) and not by_solver:
            yield value, here
        elif isinstance(value, dict) and key != "scenario":
            yield from _answers(value, here)
        elif isinstance(value, list):
            for number, one in enumerate(value):
                if isinstance(one, dict):
                    yield from _answers(one, (*here, number))


def _warning(file: str, line: int, claim: Claim, mend: str) -> Problem:
    words = ", ".join(f"'{one}'" for one in dict.fromkeys(claim.words))
    verb = "stands" if len(set(claim.words)) == 1 else "stand"
    return Problem(
        file=file,
        line=line,
        wrong=f"{words} {verb} beside no computed number",
        expected=EXPECTED,
        mend=mend,
    )


def _text(folder: Path, file: str) -> str | None:
    path = folder / file
    return text_of(path, file)[0] if path.exists() else None
