"""The lecture on the page: hears its sheet, the State and the class, and draws what comes of it.

It stands where the lesson stands otherwise. While a lecture is held the type is large; what the page
looked like before comes back when it ends. How a lecture is gone through is told by its Performance.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from panel.io import hold

from pvsim.app.assets import css
from pvsim.app.component import Reply, Wish
from pvsim.app.later import Later
from pvsim.app.lecture.bench import LectureBench
from pvsim.app.lecture.hall import Hall
from pvsim.app.lecture.kept import read_kept
from pvsim.app.lecture.live import Live
from pvsim.app.lecture.page import cue_page
from pvsim.app.lecture.performance import ACTS, Performance
from pvsim.app.lecture.phones import Phones
from pvsim.app.lecture.ready_page import ready_page
from pvsim.app.lecture.rehearsal import Rehearsal
from pvsim.app.lecture.replay import Replay
from pvsim.app.lecture.results_page import results_page
from pvsim.app.lecture.sheet import LectureSheet
from pvsim.app.lecture.tab import Tab
from pvsim.app.lecture.words import lecture_words
from pvsim.app.open_course import OpenCourse, course_in
from pvsim.app.plain import Keyed
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _, language
from pvsim.course.lecture.lecture_file import lecture_file_name, write_lecture
from pvsim.course.lecture.lecture_record import podium_at
from pvsim.course.lecture.results import Result, results_csv, results_of
from pvsim.course.lesson.lesson import Course
from pvsim.errors import PvsimError

__all__ = ["LectureView"]

SETTLE_MS = 150  # after a change of the array; a drag redraws the sheet once, not sixty times a second
KEEP_MS = 2000  # after that the tab keeps what was done on the bench; presses of the lecture at once
PHONE_MS = 400  # so that sixty phones redraw the bars twice a second

MOVES = ("next", "back", "go", "right")
WAYS = {one.mode: one for one in (Live, Rehearsal, Replay)}


class LectureView:
    """Holds a lecture on the state.

    Parameters
    ----------
    state : State
        What the lecture acts on; `state.lecture` is the one to be held.
    course : Course or OpenCourse, optional
        The lessons; those that come with pvsim when left out. One that is read again while a lecture
        is held is taken up by the next.
    clock : callable
        Seconds since 1970.
    """

    def __init__(
        self,
        state: State,
        course: Course | OpenCourse | None = None,
        clock: Callable[[], float] = time.time,
    ) -> None:
        self._state, self._clock = state, clock
        self._source, self._language = course, language().code
        self._phones = Phones(state.classroom, self._hear)
        self._bench = self._new_bench()
        self._performance: Performance | None = None
        self._large = False
        self._wrong = self._hint = ""
        self._settled, self._rested = (Later(do, state.document) for do in (self._settle, self._keep))
        self._acts: dict[str, Callable[[Any], Reply]] = {
            "begin": self._begin,
            "letters": lambda value: self._state.show(keys=bool(value)),
            "save": lambda _value: self._save(),
            "results": lambda _value: self._results(),
            "search": lambda _value: self._state.open_field(tab="search"),
            "results-csv": lambda _value: self._results_csv(),
            "resume": self._resume,
            "leave": lambda _value: self._leave(),
        }
        self.root = LectureSheet(
            self._obey,
            words=Keyed(lecture_words()),
            letters=state.keys,
            stylesheets=[css("controls"), css("lesson/lesson"), css("lecture/lecture")],
            sizing_mode="stretch_both",
        )
        self._tab = Tab(self.root)
        calls = {
            self._watch: ["scenario"],
            self._letters: ["keys"],
            self._follow: ["lecture"],
            self._follow_cue: ["cue"],
        }
        Following(state, calls)

    # What comes from the page

    def _obey(self, wish: Wish) -> Reply:
        name, value = wish["do"], wish.get("value")
        if name not in self._acts and name not in ACTS:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return None
        self._wrong = self._hint = self.root.said = ""
        if self._performance is not None:
            self._performance.heed(name)
        reply = None
        try:
            reply = self._acts[name](value) if name in self._acts else self._perform(name, value)
        except PvsimError as error:
            if name in ("hands", "count"):
                self._wrong = str(error)
            else:
                self._state.tell(str(error))
            self.root.said = str(error)
        self._redraw()
        self._keep()
        return reply

    def _perform(self, name: str, value: Any) -> Reply:
        if self._performance is None:
            return None
        state = self._state
        searching = state.field.case is not None or state.field_tab == "search"
        covered = self.root.page.get("layout") == "text" or (name in MOVES and self._seeks())
        if state.field_open and searching and covered:
            state.open_field(False)  # a search stood in place of the words: they come back first
            return None
        told = ACTS[name](self._performance, value)
        self.root.said, self._hint = told.said, told.hint
        return told.reply

    def _seeks(self) -> bool:
        """Whether the search of the cue's step is on, or just over."""
        case = self._state.field.case
        return case is not None and case == self._state.lesson_search

    def _begin(self, mode: Any) -> None:
        lecture, way = self._state.lecture, WAYS.get(str(mode))
        performance = way and lecture and way.of(lecture, self._bench, self._phones, self._clock)
        if performance is not None:
            self._performance = performance
            performance.enter()

    def _resume(self, text: Any) -> None:
        """Go on with what this tab kept before it was loaded anew."""
        if self._state.lecture is not None:
            return
        self._bench = self._new_bench()
        try:
            kept = read_kept(text, self._bench.course)
        except PvsimError:  # nothing of ours: it is not worth a word to the class
            return
        self._state.lecture = kept.lecture
        way = WAYS.get(kept.mode)
        performance = way and way.resumed(kept, self._bench, self._phones, self._clock)
        if performance is not None:
            self._performance = performance
            performance.go_on(kept)

    def _save(self) -> Reply:
        lecture = self._state.lecture
        if lecture is None:
            return None
        return {"file": lecture_file_name(lecture), "text": write_lecture(lecture, self._bench.course)}

    def _found(self) -> tuple[Result, ...]:
        """What came of the questions: of the lecture that is held, else of its record."""
        lecture, course = self._state.lecture, self._bench.course
        if lecture is None:
            return ()
        now = self._performance
        podium = now.podium if now and now.held else podium_at(lecture, course, len(lecture.played))
        return results_of(podium, course)

    def _results(self) -> Reply:
        lecture = self._state.lecture
        if lecture is None:
            return None
        return {"results": results_page(lecture.title, self._found(), invented=self._invented())}

    def _invented(self) -> bool:
        return self._performance is not None and self._performance.mode == Rehearsal.mode

    def _results_csv(self) -> Reply:
        lecture = self._state.lecture
        if lecture is None:
            return None
        name = lecture_file_name(lecture).removesuffix(".toml")
        text = results_csv(lecture.title, self._found(), invented=self._invented())
        what = "rehearsal" if self._invented() else "results"
        return {"file": f"{name}-{what}.csv", "mime": "text/csv", "text": text}

    def _leave(self) -> None:
        self._state.lecture = None

    # What comes from elsewhere

    def _new_bench(self) -> LectureBench:
        """The bench with the lessons as they are now; they stay so until the lecture ends."""
        return LectureBench(self._state, course_in(self._source, self._language))

    def _follow(self, *_events: object) -> None:
        """A lecture was chosen, or left."""
        state = self._state
        if self._bench.setting_up:
            return
        if state.lecture is None:
            self._end()
        elif self._performance is None:
            self._bench = self._new_bench()
            self._large = self._large if self.root.page else state.large
            state.show(large=True)
        self._redraw()

    def _follow_cue(self, *_events: object) -> None:
        """The browser went back to a cue."""
        performance, cue = self._performance, self._state.cue
        if performance is None or cue == performance.podium.at:
            return
        performance.go(min(max(cue, 0), len(performance.podium.lecture.cues) - 1))
        self._state.cue = performance.podium.at
        self._redraw()
        self._keep()

    def _end(self) -> None:
        self._phones.close()
        self._performance = None
        self._tab.forget()
        self._state.cue = -1
        self._bench.leave()
        if self.root.page:
            self._state.show(large=self._large)

    def _letters(self, *_events: object) -> None:
        self.root.letters = self._state.keys
        self._redraw()

    def _watch(self, *_events: object) -> None:
        """The array changed: see what comes of it, and show it a little later."""
        if self._performance is None or self._bench.setting_up:
            return
        if self._performance.watch():
            self._settled.ask(SETTLE_MS)

    def _hear(self) -> None:
        """Something changed in the class."""
        if self._performance is not None:
            self._performance.hear()
            self._settled.ask(PHONE_MS)

    def _settle(self) -> None:
        if self._performance is not None:
            with hold():
                self._performance.settle()
                self._redraw()
        self._rested.ask(KEEP_MS)

    # What is kept and shown

    def _keep(self) -> None:
        if self._state.lecture is not None:
            self._tab.keep(self._state.lecture, self._performance, self._phones, self._bench.course)

    def _redraw(self) -> None:
        lecture, performance, course = self._state.lecture, self._performance, self._bench.course
        if lecture is None:
            self.root.param.update(page={}, began_s=-1.0)
            return
        if performance is None:
            self._keep()
            page = ready_page(lecture, course, keys=self._state.keys, network=self._phones.network)
            self.root.param.update(page=page, began_s=-1.0)
            return
        hall = Hall(
            mode=performance.mode,
            held=performance.held,
            live=self._bench.now,
            keys=self._state.keys,
            room=self._phones.page(),
            wrong=self._wrong,
            hint=self._hint,
            entry=performance.entry,
        )
        page = cue_page(performance.podium, course, hall)
        self.root.param.update(page=page, began_s=performance.seconds)
