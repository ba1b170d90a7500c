"""The closing test of a learner: drawn, asked, marked, and what it makes of the ideas to revisit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from secrets import randbelow, token_hex
from typing import Any

from pvsim.app.lesson.closing_page import Answered, opening_page, question_page, result_page
from pvsim.app.lesson.learner import Learner
from pvsim.app.lesson.question import Page
from pvsim.app.words import _
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.course.play.closing_work import MOST_SEED, AskedQuestion, answered
from pvsim.course.play.revisit import Idea, ideas_met
from pvsim.errors import PvsimError
from pvsim.exercise import (
    ExerciseCase,
    Item,
    Template,
    exercise_lessons,
    make_item,
    mark_answer,
    own_exercises,
    read_exercises,
)
from pvsim.exercise.closing import draw_closing, idea_key, idea_text
from pvsim.exercise.given import LETTERS
from pvsim.exercise.item import ChoiceItem

__all__ = ["ClosingDesk"]


class ClosingDesk:
    """Asks and marks a closing test for one page.

    The numbers of a case come from the workbook's seed and from a word that never leaves this object: what
    the browser keeps does not give them. A question that is not answered yet has other numbers on a page
    that is loaded anew.

    Parameters
    ----------
    learner : Learner
        Whose workbook it draws on and writes to.
    folder : Path
        Of the course, with its exercises.
    seed : callable, optional
        Gives the seed of a new test.
    """

    def __init__(
        self, learner: Learner, folder: Path = OWN_LESSONS, seed: Callable[[], int] | None = None
    ) -> None:
        self._learner, self._folder = learner, folder
        self._seed = seed or (lambda: randbelow(MOST_SEED + 1))
        self._secret = token_hex(16)
        self._known: frozenset[str] | None = None  # lessons with exercises; looked for when first asked
        self._read: dict[str, Sequence[Template]] = {}
        self._items: dict[tuple[int, str], Item] = {}  # by the test's seed
        self._answered: dict[tuple[int, str], Answered] = {}
        self._wrong = ""  # why what was typed last cannot be taken
        self._drawn: tuple[int, tuple[AskedQuestion, ...]] | None = None  # a new test that is not begun yet

    @property
    def lessons(self) -> tuple[str, ...]:
        """Slugs of the lessons that questions can come from, in the order of the course."""
        if self._known is None:
            self._known = frozenset(exercise_lessons(self._folder))
        return tuple(one.slug for one in self._learner.course.lessons if one.slug in self._known)

    @property
    def revisit(self) -> tuple[Idea, ...]:
        """The ideas to revisit: met in lessons and not answered rightly since, then met in tests."""
        learner = self._learner
        found = [*ideas_met(learner.course, learner.progresses, learner.closing.learned)]
        for key in learner.closing.met:
            slug = key.partition("/")[0]
            texts = [idea_text(one, key) for one in self._exercises(slug)] if slug in self.lessons else []
            found += [Idea(key=key, lesson=slug, text=text) for text in texts if text]
        return tuple(found)

    def open(self) -> None:
        """Open the test: where it was left, its result if it is done, or a new one."""
        work = self._learner.closing
        if not work.asked or any(self._template(one.exercise) is None for one in work.asked):
            self.begin()
            return
        left = [at for at, one in enumerate(work.asked, start=1) if one.share is None]
        self._learner.close(closing_page=[*left, len(work.asked) + 1][0] if work.answers else 0)

    def prepare(self, *, anew: bool = False) -> Callable[[], None]:
        """What makes the test that `open`, or `begin`, opens: it takes a second or two, in any thread.

        Exercises are read, the questions of a new test drawn, and their numbers solved for.
        """
        seed = self._seed()

        def made() -> None:
            asked = self._learner.closing.asked
            test = self._learner.closing.seed
            if anew or not asked or any(self._template(one.exercise) is None for one in asked):
                test, asked = seed, self._draw(seed)
                self._drawn = seed, asked
            for one in asked:
                if one.share is None:
                    self._item(one, test)

        return made

    def is_ready(self, *, anew: bool = False) -> bool:
        """Whether opening the test takes no time: all of it has been made."""
        work = self._learner.closing
        return (
            not anew
            and bool(work.asked)
            and all(one.share is not None or (work.seed, one.exercise) in self._items for one in work.asked)
        )

    def begin(self) -> None:
        """Draw a new test, and open it."""
        learner, drawn = self._learner, self._drawn
        self._drawn = None
        seed, asked = drawn or ((seed := self._seed()), self._draw(seed))
        number = learner.closing.number + 1
        learner.set_closing(replace(learner.closing, number=number, seed=seed, asked=asked))
        learner.close(closing_page=0)

    def turn(self, page: int) -> None:
        """To a page: 0 the opening, then the questions, then the result; beyond the ends, to the nearest."""
        self._learner.close(closing_page=min(max(page, 0), len(self._learner.closing.asked) + 1))

    def renew(self) -> None:
        """The course has been read again: so are its exercises."""
        self._known, self._read, self._items, self._drawn = None, {}, {}, None

    def answer(self, given: object) -> str:
        """Mark an answer to the question of the page; what is said of it.

        Parameters
        ----------
        given : str or int
            What was typed, or the place of the choice, from 0. What cannot be read is no answer yet.
        """
        found = self._asked
        if found is None or found.share is not None:
            return ""
        item, template = self._item(found), self._template(found.exercise)
        if item is None or template is None:
            return ""
        text = _as_text(item, given)
        mark = mark_answer(item, text)
        if mark.verdict in ("empty", "unreadable"):
            self._wrong = " ".join(mark.feedback)
            return self._wrong
        learner = self._learner
        self._answered[learner.closing.seed, found.exercise] = Answered(text=text, mark=mark)
        at = (learner.closing_page or 1) - 1
        learner.set_closing(answered(learner.closing, at, mark.share, idea_key(template, mark.idea)))
        return {"right": _("Right."), "part": _("Right in part.")}.get(mark.verdict, _("Not right."))

    def page(self) -> Page:
        """What stands on the page that is open; what was wrong with the last answer is said once."""
        wrong, self._wrong = self._wrong, ""
        course, work, at = self._learner.course, self._learner.closing, self._learner.closing_page or 0
        if at == 0:
            return opening_page(course, work, self.revisit)
        found = self._asked
        if found is None:
            return result_page(course, work, self.revisit)
        told = self._answered.get((work.seed, found.exercise))
        gone = found.share is not None and told is None
        return question_page(course, work, at, None if gone else self._item(found), told, wrong)

    @property
    def _asked(self) -> AskedQuestion | None:
        page, asked = self._learner.closing_page or 0, self._learner.closing.asked
        return asked[page - 1] if 1 <= page <= len(asked) else None

    def _draw(self, seed: int) -> tuple[AskedQuestion, ...]:
        return draw_closing(self.lessons, self.revisit, self._exercises, seed)

    def _item(self, asked: AskedQuestion, seed: int | None = None) -> Item | None:
        """The question with its numbers, of the learner's test unless another seed is given.

        None where its exercise is gone or no longer in order.
        """
        template = self._template(asked.exercise)
        seed = self._learner.closing.seed if seed is None else seed
        key = (seed, asked.exercise)
        if key not in self._items and template is not None:
            try:
                self._items[key] = make_item(template, ExerciseCase(seed=seed, secret=self._secret))
            except PvsimError:
                return None
        return self._items.get(key)

    def _template(self, name: str) -> Template | None:
        slug = name.partition("/")[0]
        found = self._exercises(slug) if slug in self.lessons else ()
        return next((one for one in found if one.id == name), None)

    def _exercises(self, slug: str) -> Sequence[Template]:
        """Exercises of a lesson; none where they are not in order."""
        if slug not in self._read:
            language = self._learner.course.language
            try:
                self._read[slug] = (
                    own_exercises(slug, language)
                    if self._folder == OWN_LESSONS
                    else read_exercises(self._folder, slug, language)
                )
            except PvsimError:
                self._read[slug] = ()
        return self._read[slug]


def _as_text(item: Item, given: Any) -> str:
    if not isinstance(item, ChoiceItem):
        return str(given)
    is_place = isinstance(given, int) and not isinstance(given, bool) and 0 <= given < len(item.choices)
    return LETTERS[given] if is_place else ""
