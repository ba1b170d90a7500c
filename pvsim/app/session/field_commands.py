"""Measuring on the roof: instruments, switches and cloths, on the bench or in a search for a hidden fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from pvsim.app.session.debrief_errand import DebriefErrand
from pvsim.app.session.errand import Errand, NotYet
from pvsim.app.session.field_bench import FieldBench
from pvsim.app.session.field_kept import kept_text, work_kept
from pvsim.app.session.field_pasts import MOST_PASTS, past_of, pasts_kept
from pvsim.app.session.field_taken import done_all
from pvsim.app.session.field_work import (
    FieldWork,
    answered,
    begun,
    gone_place,
    roof_of_work,
    same_work,
    with_range,
)
from pvsim.app.session.foreseen import foreseen_in
from pvsim.app.session.parameters import FIELD_TABS
from pvsim.app.words import _
from pvsim.array.place import describe_place
from pvsim.array.scatter import MOST_SEED
from pvsim.circuit import budget
from pvsim.errors import PvsimError, ScenarioError
from pvsim.field.meter import Meter
from pvsim.field.search.act import Act
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase
from pvsim.field.search.debrief import Debrief, Verdict, verdict_of
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.hint import TAKE_HINT, Hint, hint_of, next_hint
from pvsim.field.search.transcript import do

__all__ = ["FieldCommands"]

LONGEST_REPLAY_S = 120.0  # of doing a search again, its waiting counted in; most take a second


class FieldCommands(FieldBench):
    """The commands of measuring; they change nothing of the array on the bench."""

    _debriefing: DebriefErrand | None = None
    _practised: bool = True  # whether the search that ended counts as practice
    _foreseen: Foresight | None = None
    _replaying: Errand | None = None
    _replayed: str = ""  # what the tab had kept, until it has been done again

    def open_field(self, opened: bool = True, *, tab: str = "") -> None:
        """Open the field desk, perhaps at "bench" or "search", or close it; a search goes on where it was."""
        self._update(field_open=bool(opened), field_tab=tab if tab in FIELD_TABS else self.field_tab)

    def barred_from_measuring(self) -> str:
        """Why nothing can be measured now; "" where it can."""
        if self.locked or self.kept_back:
            return _("A reading might answer your prediction. Instruments wait until that is stored.")
        if gone := gone_place(self.field, self.scenario):
            return _(
                "The array has changed: {place}, which this log has separated or covered, is no longer "
                "there. Begin a new log."
            ).format(place=describe_place(gone))
        return ""

    def measure(self, *acts: Act, then: Callable[[FieldWork], FieldWork] | None = None) -> None:
        """Do something on the roof and write it down; so is what is unsafe and not done.

        Parameters
        ----------
        *acts : Act
            One after the other, up to one that is refused.
        then : callable
            What else becomes of the work with that.
        """
        if barred := self.barred_from_measuring():
            self.tell(barred)
            return
        if self.field.over:
            self.tell(_("This search is over: begin another one."))
            return
        if self.computing:
            self.tell(_("Another array is still being worked out. Wait for it, or undo it."))
            return
        self._carry_out(partial(self._measure, acts, then or same_work))

    def begin_search(self, seed: int, level: int, family: str = "") -> None:
        """Put the array of a search on the bench, with its fault hidden; what was there lies aside."""
        if self._bench_is_taken():
            return
        self._drop_replay()
        try:
            work = begun(seed, level, family)
        except PvsimError as error:
            self._refuse(error)
            return
        self._lend_array(work, _("as the array of the search should be"))

    def resume_search(self, kept: str) -> None:
        """Go on with a search that the browser's tab has kept; see `work_kept`."""
        if self.locked or self.lesson or self.lecture is not None or self.field.case is not None:
            return  # it stays where it is kept
        self._replay(kept, self._resumed)

    def _replay(self, kept: str, over: Callable[[Callable[[], FieldWork]], None]) -> None:
        """Have what was kept done again, beside the event loop; `over` then gets it."""
        self._drop_replay()
        work = partial(work_kept, kept)
        if self.document is None:
            with budget.within(LONGEST_REPLAY_S):
                over(work)
            return
        self._replayed = kept
        self._replaying = Errand(self.document, longest_s=LONGEST_REPLAY_S, crew="replay")
        there = partial(self._replaying.here, "replay", work)
        self.tell(_("The search of before is done again, act by act …"))
        self._replaying.send(NotYet("replay", work), partial(over, there))

    def kept_search(self) -> str:
        """What the tab is to keep of a search: of one that is being done again, what it had kept."""
        return kept_text(self.field) or self._replayed

    def _resumed(self, there: Callable[[], FieldWork]) -> None:
        self._replayed, self._replaying = "", None
        try:
            work = there()
        except PvsimError as error:
            self._refuse(error)
            return
        if self.field.case is None and not (self.locked or self.lesson or self.lecture is not None):
            self._lend_array(work, _("as the array of the search should be"))

    def _drop_replay(self) -> None:
        if self._replaying is not None:
            self._replaying.give_up()
        self._replayed, self._replaying = "", None

    def take_pasts(self, kept: str) -> None:
        """Know of searches that this browser has kept, unless some were ended here already."""
        if not self.pasts:
            self._update(pasts=pasts_kept(kept))

    def show_search_again(self) -> None:
        """Put the array of the search on the bench once more, as it is seen."""
        if self.field.case is None:
            return
        if self._is_of_lesson(self.field):
            self._put_seen(self.field)
        elif not self._bench_is_taken():
            self._lend_array(self.field, _("as the array of the search should be"))

    def take_hint(self) -> None:
        """Ask somebody, which costs minutes."""
        if self.field.case is None or self.field.over:
            self.tell(_("No search is on."))
        elif not self.computing:
            self._carry_out(self._take_hint)

    def answer_search(self, answer: Answer) -> None:
        """Answer; with one for each fault the search is over, and what it could have told is worked out."""
        if self.field.case is None or self.field.over:
            self.tell(_("No search is on."))
            return
        try:
            work = answered(self.field, answer)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(field=work, notice="")
        if work.over:
            self._end(work)

    def drop_debrief(self) -> None:
        """Nobody waits for a debrief any more, nor for a search of before, as when the page has gone."""
        self._drop_replay()
        if self._debriefing is not None:
            self._debriefing.give_up()
        self._debriefing, self._foreseen = None, None

    def leave_search(self) -> None:
        """Let go of the search, and have on the bench what was there before.

        That of a lesson's step is kept, and its array stays on the bench.
        """
        if self.field.case is None:
            return
        if self._is_of_lesson(self.field):
            self._update(field_open=False)
            return
        self.drop_debrief()
        self._update(field=FieldWork(meters=self.field.meters))
        if self.own_scenario is not None and not self.lesson:
            self.give_back()

    def show_hidden(self) -> None:
        """After the answer: put the array with its fault on the bench, to look at."""
        work = self.field
        if work.case is None or not work.over:
            self.tell(_("The fault is shown once you have answered."))
        elif self._is_of_lesson(work):
            self._show_fault(work)
        elif not self._bench_is_taken():
            self.lend(work.case.scenario, _("the fault shown"))

    def clear_log(self) -> None:
        """On the bench, begin a new log with the plant as one finds it."""
        if self.field.case is None:
            self._update(field=FieldWork(meters=self.field.meters, ranges=self.field.ranges), notice="")

    def take_meters(self, number: int) -> None:
        """On the bench, take another set of meters; their errors are others, and the log begins anew."""
        if not 0 <= number <= MOST_SEED:
            self._refuse(
                ScenarioError(
                    _("there is no set of meters {number}").format(number=number),
                    expected=_("a number from 0 to {most}").format(most=MOST_SEED),
                    mend=_("Choose a number in this range"),
                )
            )
        elif self.field.case is None:
            self._update(field=FieldWork(meters=number, ranges=self.field.ranges), notice="")

    def set_range(self, meter: Meter, most: float) -> None:
        """Set a meter to one of its ranges, or with 0 let it choose; it costs no minute."""
        try:
            work = with_range(self.field, meter, most)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(field=work, notice="")

    def _end(self, work: FieldWork, *, practised: bool = True) -> None:
        """A search has all its answers; one of a lesson then shows its fault, so that the lesson goes on."""
        case = work.case
        assert case is not None
        self.drop_debrief()
        work = replace(work, so_far=verdict_of(case, work.transcript, work.answers), undone="")
        self._update(field=work)
        self._practised = practised
        self._debriefing = DebriefErrand(self.document)
        self._debriefing.start(
            case,
            work.transcript,
            work.answers,
            partial(self._debriefed, work, practised),
            foresight=self._foresight(case),
            so_far=partial(self._debriefed_so_far, work),
        )
        if self._is_of_lesson(work):
            self._show_fault(work)

    def debrief_again(self) -> None:
        """Have a debrief that could not be worked out worked out once more; the answers stay."""
        if self.field.undone:
            self._end(self.field, practised=self._practised)

    def _measure(self, acts: tuple[Act, ...], then: Callable[[FieldWork], FieldWork]) -> None:
        work = self.field
        roof = roof_of_work(work, self.scenario)
        key = ("field", (roof.seed, len(work.transcript.lines), acts))
        try:
            work = self._worked(key, partial(done_all, roof, work, acts))
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(field=then(work), notice="")

    def _take_hint(self) -> None:
        work = self.field
        assert work.case is not None
        number = next_hint(work.transcript)
        key = ("hint", (work.case.seed, work.case.level, len(work.transcript.lines)))
        try:
            hint: Hint = self._worked(key, partial(hint_of, work.case, work.transcript, number))
            outcome = do(work.case, work.transcript, TAKE_HINT)
        except PvsimError as error:
            self._refuse(error)
            return
        hints = (*work.hints, hint.sentence)
        self._update(field=replace(work, transcript=outcome.transcript, hints=hints), notice="")

    def _foresight(self, case: SearchCase) -> Foresight:
        """What is foreseen in a case, kept while it is searched in; for the row of DebriefErrand alone."""
        self._foreseen = foreseen_in(case)
        return self._foreseen

    def _debriefed_so_far(self, work: FieldWork, part: Verdict) -> None:
        if self._is_still(work):
            self._update(field=replace(self.field, so_far=part))

    def _debriefed(self, work: FieldWork, practised: bool, debrief: Debrief | None, _wrong: str) -> None:
        if not self._is_still(work):
            return  # another search has begun
        self._foreseen = None
        if debrief is None:
            assert self._debriefing is not None
            self._update(field=replace(self.field, undone=self._debriefing.why))
        else:
            new = (past_of(work, debrief),) if practised else ()
            pasts = (*self.pasts, *new)[-MOST_PASTS:]
            self._update(field=replace(self.field, so_far=None, debrief=debrief), pasts=pasts)

    def _is_still(self, work: FieldWork) -> bool:
        """Whether the desk has the search that some work was of, as it was answered."""
        now = self.field
        return now.transcript is work.transcript and now.answers is work.answers and now.case is work.case
