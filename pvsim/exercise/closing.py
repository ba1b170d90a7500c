"""Draws a closing test: exercises for the ideas that a learner has to revisit, then for all of a course."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import zip_longest

from pvsim.course.lesson.lesson import Course
from pvsim.course.play.closing_work import AskedQuestion, ClosingWork
from pvsim.course.play.player import Progress
from pvsim.course.play.revisit import Idea, ideas_met
from pvsim.exercise.case import ExerciseCase, chosen
from pvsim.exercise.pool import Pool, idea_ids, ideas_named
from pvsim.exercise.template import Template

__all__ = ["MOST_QUESTIONS", "draw_closing", "idea_key", "idea_text", "to_revisit"]

MOST_QUESTIONS = 6


def to_revisit(
    course: Course, progresses: Mapping[str, Progress], work: ClosingWork, pool: Pool
) -> tuple[Idea, ...]:
    """The ideas that a learner has to revisit: met in lessons and not answered rightly since, then in tests.

    Parameters
    ----------
    course : Course
    progresses : mapping of str to Progress
        By slug.
    work : ClosingWork
        What their tests made of it.
    pool : Pool
        Of the course.
    """
    found = [*ideas_met(course, progresses, work.learned)]
    for key in work.met:
        template = pool.find(key.partition("#")[0])
        text, name = ("", "") if template is None else _idea_at(template, key)
        if text:
            found.append(Idea(key=key, lesson=key.partition("/")[0], text=text, id=name))
    return tuple(found)


def draw_closing(
    pool: Pool, revisit: Sequence[Idea], seed: int, most: int = MOST_QUESTIONS
) -> tuple[AskedQuestion, ...]:
    """The questions of a test, the same for the same exercises, list and seed.

    An idea is asked for by an exercise of its lesson that names it, in its words or by its name; where none
    does, by one of another lesson that names it; where none does either, by another one of its lesson. Each
    lesson has its turn before one has a second. What is left goes to the other lessons.

    Parameters
    ----------
    pool : Pool
        What it is drawn from.
    revisit : sequence of Idea
    seed : int
        Not negative.
    most : int
        How many questions; fewer where the course has no more exercises.
    """
    drawing = _Drawing(pool, seed, most)
    for one in drawing.in_turns([idea for idea in revisit if drawing.lessons_for(idea)]):
        drawing.add_for(one)
    rest = drawing.shuffled("lesson", list(pool.lessons))
    fresh = [slug for slug in rest if slug not in drawing.lessons]
    for slug in [*fresh, *(rest * most)]:
        if len(drawing.asked) == most:
            break
        drawing.add_from(slug)
    return tuple(AskedQuestion(exercise=name, ideas=tuple(keys)) for name, keys in drawing.asked.items())


class _Drawing:
    """A test while it is drawn: by exercise, the keys of the ideas that it stands for."""

    def __init__(self, pool: Pool, seed: int, most: int) -> None:
        self._case, self._most = ExerciseCase(seed=seed), most
        self._pool = pool
        self.asked: dict[str, list[str]] = {}
        self._for: dict[tuple[str, str], str] = {}  # an idea -> its exercise

    @property
    def lessons(self) -> set[str]:
        return {name.partition("/")[0] for name in self.asked}

    def lessons_for(self, idea: Idea) -> tuple[str, ...]:
        """The lessons whose exercises an idea can be asked for by, its own first."""
        own = [idea.lesson] if idea.lesson in self._pool.lessons else []
        return tuple(dict.fromkeys([*own, *self._pool.asking(idea.id)]))

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
        """Have a question ask for an idea: one that is there already, or a new one."""
        able = self._able(idea.lesson) if idea.lesson in self._pool.lessons else []
        named = self._naming(idea, able)
        there = [one.id for one in named if one.id in self.asked]
        free = [one.id for one in named or able if one.id not in self.asked]
        told = ("", idea.id) if idea.id else (idea.lesson, idea.text)
        if there or told in self._for:
            self.asked[self._for.get(told) or there[0]].append(idea.key)
        elif free and len(self.asked) < self._most:
            self._for[told] = self.shuffled("exercise", free)[0]
            self.asked[self._for[told]] = [idea.key]

    def _naming(self, idea: Idea, able: list[Template]) -> list[Template]:
        """Exercises that name an idea: of its lesson, or of the first of the others that has one."""
        own = [one for one in able if idea.text in ideas_named(one) or idea.id in filter(None, idea_ids(one))]
        others = [slug for slug in self.lessons_for(idea) if slug != idea.lesson]
        for slug in self.shuffled("other", others) if not own else ():
            found = [one for one in self._able(slug) if idea.id in idea_ids(one)]
            if found:
                return found
        return own

    def add_from(self, slug: str) -> None:
        """One more question of a lesson, if it has one."""
        free = [one.id for one in self._able(slug) if one.id not in self.asked]
        if free:
            self.asked[self.shuffled("exercise", free)[0]] = []

    def _able(self, slug: str) -> list[Template]:
        """The exercises of a lesson that can be answered in one field."""
        return [one for one in self._pool.read(slug) if "reading" not in one.values]


def idea_key(template: Template, idea: str) -> str:
    """The key of an idea, as a workbook keeps it; empty where the exercise does not name it."""
    named = ideas_named(template)
    return f"{template.id}#{named.index(idea)}" if idea and idea in named else ""


def idea_text(template: Template, key: str) -> str:
    """The words for a key, in the exercise's language; empty where there are none."""
    return _idea_at(template, key)[0]


def _idea_at(template: Template, key: str) -> tuple[str, str]:
    """The words and the name of the idea that a key means; empty where an exercise has none such."""
    exercise, _hash, place = key.partition("#")
    named = ideas_named(template)
    if exercise != template.id or not place.isdecimal() or int(place) >= len(named):
        return "", ""
    return named[int(place)], idea_ids(template)[int(place)]
