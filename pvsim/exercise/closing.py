"""Draws a closing test: exercises for the ideas that a learner has to revisit, then for all of a course."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest

from pvsim.course.play.closing_work import AskedQuestion
from pvsim.course.play.revisit import Idea
from pvsim.exercise.case import ExerciseCase, chosen
from pvsim.exercise.template import Template

__all__ = ["MOST_QUESTIONS", "draw_closing", "idea_key", "idea_text", "ideas_named"]

MOST_QUESTIONS = 6

Read = Callable[[str], Sequence[Template]]


def draw_closing(
    lessons: Sequence[str], revisit: Sequence[Idea], read: Read, seed: int, most: int = MOST_QUESTIONS
) -> tuple[AskedQuestion, ...]:
    """The questions of a test, the same for the same exercises, list and seed.

    An idea is asked for by an exercise of its lesson that names it; where none does, by another one of that
    lesson. Each lesson has its turn before one has a second. What is left goes to the other lessons.

    Parameters
    ----------
    lessons : sequence of str
        Slugs of those that have exercises.
    revisit : sequence of Idea
    read : callable
        Slug -> the exercises of a lesson.
    seed : int
        Not negative.
    most : int
        How many questions; fewer where the course has no more exercises.
    """
    drawing = _Drawing(read, seed, most)
    for one in drawing.in_turns([idea for idea in revisit if idea.lesson in lessons]):
        drawing.add_for(one)
    rest = drawing.shuffled("lesson", list(lessons))
    fresh = [slug for slug in rest if slug not in drawing.lessons]
    for slug in [*fresh, *(rest * most)]:
        if len(drawing.asked) == most:
            break
        drawing.add_from(slug)
    return tuple(AskedQuestion(exercise=name, ideas=tuple(keys)) for name, keys in drawing.asked.items())


class _Drawing:
    """A test while it is drawn: by exercise, the keys of the ideas that it stands for."""

    def __init__(self, read: Read, seed: int, most: int) -> None:
        self._case, self._most = ExerciseCase(seed=seed), most
        self._read = read
        self.asked: dict[str, list[str]] = {}
        self._for: dict[tuple[str, str], str] = {}  # lesson and words of an idea -> exercise

    @property
    def lessons(self) -> set[str]:
        return {name.partition("/")[0] for name in self.asked}

    def shuffled(self, what: str, names: Sequence[str]) -> list[str]:
        return sorted(names, key=lambda name: chosen(self._case, f"closing/{what}/{name}", 1 << 40))

    def in_turns(self, revisit: Sequence[Idea]) -> list[Idea]:
        """One idea of each lesson, then the next of each."""
        by_lesson: dict[str, list[Idea]] = {}
        for one in revisit:
            by_lesson.setdefault(one.lesson, []).append(one)
        for slug, ideas in by_lesson.items():
            order = self.shuffled("idea", [one.key for one in ideas])
            by_lesson[slug] = sorted(ideas, key=lambda one: order.index(one.key))
        columns = [by_lesson[slug] for slug in self.shuffled("first", list(by_lesson))]
        return [one for row in zip_longest(*columns) for one in row if one is not None]

    def add_for(self, idea: Idea) -> None:
        """Have a question ask for an idea: one that is there already, or a new one of its lesson."""
        able = self._able(idea.lesson)
        named = [one for one in able if idea.text in ideas_named(one)]
        there = [one.id for one in named if one.id in self.asked]
        free = [one.id for one in named or able if one.id not in self.asked]
        told = (idea.lesson, idea.text)
        if there or told in self._for:
            self.asked[self._for.get(told) or there[0]].append(idea.key)
        elif free and len(self.asked) < self._most:
            self._for[told] = self.shuffled("exercise", free)[0]
            self.asked[self._for[told]] = [idea.key]

    def add_from(self, slug: str) -> None:
        """One more question of a lesson, if it has one."""
        free = [one.id for one in self._able(slug) if one.id not in self.asked]
        if free:
            self.asked[self.shuffled("exercise", free)[0]] = []

    def _able(self, slug: str) -> list[Template]:
        """The exercises of a lesson that can be answered in one field."""
        return [one for one in self._read(slug) if "reading" not in one.values]


def ideas_named(template: Template) -> tuple[str, ...]:
    """The ideas that an exercise knows, in their order; empty for a right choice."""
    entries = template.values.get("choice") or template.values.get("mistake") or []
    return tuple(str(one.get("idea", "")) for one in (entries if isinstance(entries, list) else [entries]))


def idea_key(template: Template, idea: str) -> str:
    """The key of an idea, as a workbook keeps it; empty where the exercise does not name it."""
    named = ideas_named(template)
    return f"{template.id}#{named.index(idea)}" if idea and idea in named else ""


def idea_text(template: Template, key: str) -> str:
    """The words for a key, in the exercise's language; empty where there are none."""
    name, _hash, place = key.partition("#")
    named = ideas_named(template)
    return named[int(place)] if name == template.id and place.isdecimal() and int(place) < len(named) else ""
