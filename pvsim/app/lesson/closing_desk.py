"""The closing test of a learner: drawn, asked, marked, and what it makes of the ideas to revisit."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from secrets import randbelow, token_hex
from typing import Any

from pvsim.app.lesson.closing_page import Answered, opening_page, question_page, result_page
from pvsim.app.lesson.learner import Learner
from pvsim.app.lesson.question import Page
from pvsim.app.words import _
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.course.lesson.lesson import Course
from pvsim.course.play.closing_work import MOST_SEED, AskedQuestion, answered
from pvsim.course.play.revisit import Idea
from pvsim.errors import PvsimError
from pvsim.exercise import ExerciseCase, Item, make_item, mark_answer
from pvsim.exercise.closing import draw_closing, idea_key, to_revisit
from pvsim.exercise.given import LETTERS
from pvsim.exercise.item import ChoiceItem
from pvsim.exercise.paper import closing_sheet, closing_solution, parts_of_closing, write_pdf
from pvsim.exercise.pool import Pool, course_pool

__all__ = ["ClosingDesk"]

MOST_PAPER = 999_999  # a number that is easily typed

Message = dict[str, Any]


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
        self._made: Pool | None = None  # looked for when first asked
        self._items: dict[tuple[int, str], Item] = {}  # by the test's seed
        self._answered: dict[tuple[int, str], Answered] = {}
        self._wrong = ""  # why what was typed last cannot be taken
        self._paper: int | None = None
        self._drawn: tuple[int, tuple[AskedQuestion, ...]] | None = None  # a new test that is not begun yet

    @property
    def lessons(self) -> tuple[str, ...]:
        """Slugs of the lessons that questions can come from, in the order of the course."""
        return self._pool.lessons

    @property
    def revisit(self) -> tuple[Idea, ...]:
        """The ideas to revisit: met in lessons and not answered rightly since, then met in tests."""
        learner = self._learner
        return to_revisit(learner.course, learner.progresses, learner.closing, self._pool)

    def open(self) -> None:
        """Open the test: where it was left, its result if it is done, or a new one."""
        work = self._learner.closing
        if not work.asked or any(self._pool.find(one.exercise) is None for one in work.asked):
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
            if anew or not asked or any(self._pool.find(one.exercise) is None for one in asked):
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

    @property
    def paper_number(self) -> int:
        """The number of the test on paper that was asked for last; a new one at first."""
        if self._paper is None:
            self._paper = randbelow(MOST_PAPER + 1)
        return self._paper

    def paper(self, *, solution: bool) -> Callable[[], Message]:
        """What makes a test on paper, or the solution of the one before, for the browser to save: it takes
        a second or two.

        A test on paper is another one than that on the page. Its number stands on it and gives its numbers,
        so that a lecturer can print the same; it is drawn for the ideas to revisit all the same.
        """
        if not solution:
            self._paper = None
        course, pool, seed, revisit = self._learner.course, self._pool, self.paper_number, self.revisit
        return partial(_paper, course, pool, seed, revisit, solution)

    def renew(self) -> None:
        """The course has been read again: so are its exercises."""
        self._made, self._items, self._drawn = None, {}, None

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
        item, template = self._item(found), self._pool.find(found.exercise)
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
        return draw_closing(self._pool, self.revisit, seed)

    def _item(self, asked: AskedQuestion, seed: int | None = None) -> Item | None:
        """The question with its numbers, of the learner's test unless another seed is given.

        None where its exercise is gone or no longer in order.
        """
        template = self._pool.find(asked.exercise)
        seed = self._learner.closing.seed if seed is None else seed
        key = (seed, asked.exercise)
        if key not in self._items and template is not None:
            try:
                self._items[key] = make_item(template, ExerciseCase(seed=seed, secret=self._secret))
            except PvsimError:
                return None
        return self._items.get(key)

    @property
    def _pool(self) -> Pool:
        """The exercises of the course; of those not in order none."""
        if self._made is None:
            self._made = course_pool(self._learner.course, self._folder, forgiving=True)
        return self._made


def _paper(course: Course, pool: Pool, seed: int, revisit: Sequence[Idea], solution: bool) -> Message:
    asked = draw_closing(pool, revisit, seed)
    parts = parts_of_closing(pool, asked, ExerciseCase(seed=seed), course, revisit if solution else None)
    make = closing_solution if solution else closing_sheet
    data = write_pdf(make(parts, title=course.title, language=course.language, case=str(seed)))
    name = f"closing-test-{seed}{'-solution' if solution else ''}.pdf"
    return {"file": name, "mime": "application/pdf", "base64": b64encode(data).decode("ascii")}


def _as_text(item: Item, given: Any) -> str:
    if not isinstance(item, ChoiceItem):
        return str(given)
    is_place = isinstance(given, int) and not isinstance(given, bool) and 0 <= given < len(item.choices)
    return LETTERS[given] if is_place else ""
