"""The search that is the act of a lesson's step: begun, gone on with, shown by its solution, forgotten."""

from __future__ import annotations

from collections.abc import Callable

from pvsim.app.session.field_commands import FieldCommands
from pvsim.app.session.field_kept import is_kept_of
from pvsim.app.session.field_work import FieldWork
from pvsim.errors import PvsimError
from pvsim.field.search.answer import Answer
from pvsim.field.search.transcript import Transcript

__all__ = ["LessonSearch"]


class LessonSearch(FieldCommands):
    """The commands of it; they do nothing where the open step has no search."""

    def begin_lesson_search(self, kept: str = "") -> None:
        """Begin the search that is the act of the open step, or go on with it.

        Parameters
        ----------
        kept : str
            What the browser's tab has kept; of another search it is left alone.
        """
        case = self.lesson_search
        if case is None or self.locked_now():
            return
        if self.field.case == case and not self.field.over:
            self._go_on_in_lesson(self.field)
        elif is_kept_of(case, kept):
            self._replay(kept, self._resumed_in_lesson)
        else:
            self._go_on_in_lesson(FieldWork(case=case))

    def solve_lesson_search(self, transcript: Transcript, answers: tuple[Answer, ...]) -> None:
        """Have that search done as the step's own solution does it; it is nobody's practice."""
        case = self.lesson_search
        if case is None or self.locked_now():
            return
        work = FieldWork(case=case, transcript=transcript, answers=answers)
        self._put_seen(work)
        self._update(field=work, notice="")
        self._end(work, practised=False)

    def drop_lesson_search(self) -> None:
        """Forget what was done in it, as when its step is begun again."""
        if self.lesson_search is not None and self.field.case == self.lesson_search:
            self.drop_debrief()
            self._update(field=FieldWork(meters=self.field.meters), field_open=False)

    def _resumed_in_lesson(self, there: Callable[[], FieldWork]) -> None:
        self._replayed, self._replaying = "", None
        case = self.lesson_search
        try:
            work = there()
        except PvsimError:  # spoilt: it is begun anew
            work = FieldWork(case=case)
        if case is not None and work.case == case and not self.locked:
            self._go_on_in_lesson(work)

    def _go_on_in_lesson(self, work: FieldWork) -> None:
        self._put_seen(work)
        self._update(field=work, field_open=True, field_tab="search", notice="")
