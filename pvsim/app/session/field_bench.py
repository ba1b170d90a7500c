"""Whose bench it is that a search wants: one's own, lent for it, or that of the lesson whose step it is."""

from __future__ import annotations

from pvsim.app.session.field_work import FieldWork, seen_by_all
from pvsim.app.session.lending import Lending
from pvsim.app.words import _
from pvsim.array.scenario import Scenario

__all__ = ["FieldBench"]


class FieldBench(Lending):
    """The bench as a search finds it and leaves it."""

    def _bench_is_taken(self) -> bool:
        """Whether a lesson or lecture has the bench; says so where it is."""
        if self.locked_now():
            return True
        if self.lesson or (self.lecture is not None and not self._lecture_lends()):
            self.tell(_("A lesson has the bench. Leave it first; it is kept where you are."))
            return True
        return False

    def _lecture_lends(self) -> bool:
        """Whether a lecture is where nothing more is done on the bench: at a reason, or at its end."""
        cues = self.lecture.cues
        return 0 <= self.cue < len(cues) and cues[self.cue].moment in ("explain", "closing")

    def _is_of_lesson(self, work: FieldWork) -> bool:
        """Whether it is the search of the step that a lesson or a lecture has open."""
        return work.case is not None and work.case == self.lesson_search

    def _put_seen(self, work: FieldWork) -> None:
        """On a lesson's bench: what an eye sees, where something else has come there."""
        seen = seen_by_all(work)
        assert seen is not None
        if self.scenario != seen:
            self._commit(lambda _now: seen, _("as the array of the search should be"))

    def _show_fault(self, work: FieldWork) -> None:
        """On a lesson's bench: the array as it is, held against what was seen of it."""
        case = work.case
        assert case is not None
        if self.scenario != case.scenario:
            self._commit(lambda _now: case.scenario, _("the fault shown"))

    def _lend_array(self, work: FieldWork, what: str) -> None:
        seen = seen_by_all(work)
        assert isinstance(seen, Scenario)
        self._update(field=work, field_open=True)
        self.lend(seen, what)
