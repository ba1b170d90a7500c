"""Names of ideas, by which exercises ask for what lessons have met: read from files alone, nothing is solved.

An idea is the same whatever words a lesson, an exercise or a translation has for it. Its name (`idea_id`)
says so. What has none is known by its words, within its lesson.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from pvsim.course.lesson.draft import read_draft
from pvsim.course.problem import Problem
from pvsim.course.table import KeyPath, Report
from pvsim.errors import PvsimError, nearest
from pvsim.exercise.exercise_file import EXERCISES, exercise_lessons
from pvsim.files.source import read_source
from pvsim.files.toml import read_toml

__all__ = ["ideas_asked", "ideas_met_in", "unmet_ideas"]


def ideas_asked(folder: Path, slug: str) -> tuple[str, ...]:
    """The names of ideas that a lesson's exercises ask for.

    None where the file cannot be read; whoever reads the exercises is told why.
    """
    return tuple(dict.fromkeys(name for _path, name in _in_exercises(_text(folder, slug))))


def ideas_met_in(folder: Path, slug: str) -> tuple[str, ...]:
    """The names of ideas that a lesson can meet; none where it cannot be read."""
    try:
        draft = read_draft(read_source(folder / f"{slug}.md").text, Report(file=f"{slug}.md"))
    except PvsimError:
        return ()
    steps = _listed(draft.values.get("step")) if draft is not None else []
    asked = [step.get(part) for step in steps for part in ("predict", "observe")]
    return tuple(dict.fromkeys(name for one in asked for _path, name in _in_question(one)))


def unmet_ideas(folder: Path, lessons: Sequence[str]) -> list[Problem]:
    """Names that exercises have for ideas and no lesson of the course has: most likely a slip.

    Parameters
    ----------
    folder : Path
        Of the course.
    lessons : sequence of str
        Slugs of all of them.
    """
    known = {name for slug in lessons for name in ideas_met_in(folder, slug)}
    return [one for slug in exercise_lessons(folder) for one in _unmet(folder, slug, known)]


def _unmet(folder: Path, slug: str, known: Collection[str]) -> Iterator[Problem]:
    text = _text(folder, slug)
    report = Report(file=f"{EXERCISES}/{slug}.toml", toml=text, whole="the file")
    for path, name in _in_exercises(text):
        if name not in known:
            yield Problem(
                file=report.file,
                line=report.line(path),
                wrong=f"no lesson of the course has an idea called '{name[:60]}'",
                expected="the idea_id of a prediction or an observation",
                mend=nearest(name[:60], sorted(known), "Give the lesson's idea this name, or take it away"),
            )


def _text(folder: Path, slug: str) -> str:
    try:
        return read_source(folder / EXERCISES / f"{slug}.toml").text
    except PvsimError:
        return ""


def _in_exercises(text: str) -> Iterator[tuple[KeyPath, str]]:
    values = read_toml(text)
    listed = _listed(values.get("exercise")) if isinstance(values, dict) else []
    for at, one in enumerate(listed):
        for path, name in _in_question(one):
            yield ("exercise", at, *path), name


def _in_question(question: Any) -> Iterator[tuple[KeyPath, str]]:
    """The names of a question's ideas, each with its path."""
    for key in ("choice", "mistake") if isinstance(question, Mapping) else ():
        for at, one in enumerate(_listed(question.get(key))):
            if isinstance(one.get("idea_id"), str) and one["idea_id"]:
                yield (key, at, "idea_id"), one["idea_id"]


def _listed(part: Any) -> list[dict[str, Any]]:
    return [one for one in (part if isinstance(part, list) else [part]) if isinstance(one, dict)]
