"""The lesson region: plays the course on the state, one message at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import panel as pn
import param
from panel.io import hold

from pvsim.app.assets import css
from pvsim.app.component import ActComponent
from pvsim.app.lesson.contents import contents_page, glossary_page, shown_terms
from pvsim.app.lesson.page import lesson_page, region_words
from pvsim.app.lesson.trouble import said_of_reading, trouble_in
from pvsim.app.modules import module_address
from pvsim.app.open_course import LOOK_ms, OpenCourse
from pvsim.app.session.bench import Bench
from pvsim.app.session.state import State
from pvsim.app.words import _, language, ngettext, speaking
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import lecture_of
from pvsim.course.lecture.lecture_file import read_lecture
from pvsim.course.lesson.audience import lessons_in_order
from pvsim.course.lesson.giveaway import covered
from pvsim.course.lesson.lesson import Course, Lesson, Look, Step
from pvsim.course.number.solved_scenario import Situation, remember
from pvsim.course.play import player
from pvsim.course.play.player import Progress
from pvsim.course.play.whereabouts import spots
from pvsim.course.play.workbook import Workbook, merge, read_workbook, write_workbook
from pvsim.errors import PvsimError

__all__ = ["LessonView"]

GLOSSARY = "glossary"  # in place of a lesson, where no lesson is called so
SETTLE_MS = 150  # after a change of the array; a drag redraws the text once, not sixty times a second


class LessonText(ActComponent):
    """Shows one page of text; every press comes back as a message, answered by one."""

    page = param.Dict(default={}, doc="What is shown: see lesson_page.")
    workbook = param.String(doc="All progress, as the browser keeps it.")
    words = param.Dict(default={}, doc="Texts that never change.")
    terms = param.Dict(default={}, doc="The glossary: see shown_terms.")
    said = param.String(doc="What the last press did, for those who listen.")

    _esm = module_address("lesson/lesson.js")


class LessonView:
    """Carries the learner through a lesson: sets the array up, locks it, watches what is done.

    Parameters
    ----------
    state : State
        What the lesson acts on.
    course : Course or OpenCourse, optional
        The lessons; those that come with pvsim when left out. An open one that is live is looked at
        again and again, and what has changed in it is shown where the learner is.
    """

    def __init__(self, state: State, course: Course | OpenCourse | None = None) -> None:
        self._state = state
        self._language = language().code
        self._live = course if isinstance(course, OpenCourse) and course.live else None
        self._revision = self._live.revision if self._live else 0
        if isinstance(course, OpenCourse):
            course = course.course(self._language)
        self._course = course or own_course(self._language)
        self._progress: dict[str, Progress] = {}  # by slug; the browser keeps it beyond the session
        self._at = ""
        self._track = ""
        self._foreign: Mapping[str, Any] = {}
        self._unwritten = True
        self._open: str | None = None
        self._glossary = False
        self._wrong: dict[str, str] = {}
        self._waiting = False
        self._bench = Bench(state)
        self._done_from: object = None  # what the change set out from that did the act
        self._acts: dict[str, Callable[[Any], None]] = {
            "open": self._open_lesson,
            "contents": lambda _value: self._leave(),
            "glossary": lambda _value: self._open_glossary(),
            "track": self._choose_track,
            "turn": self._turn,
            "predict": self._predict,
            "observe": self._observe,
            "do": lambda _value: self._do(),
            "put_back": lambda _value: self._put_back(),
            "settle": lambda _value: self._settle(),
            "restart": lambda _value: self._restart(),
            "recall": self._recall,
            "take": self._take,
            "forget": lambda _value: self._forget(),
            "go_on": lambda _value: self._go_on(),
            "lecture": self._prepare_lecture,
        }
        self.root = LessonText(
            self._act,
            words=region_words(),
            terms=shown_terms(self._course),
            stylesheets=[css("controls"), css("lesson/lesson")],
            sizing_mode="stretch_both",
        )
        state.param.watch(self._watch, ["scenario"])
        state.param.watch(self._follow_address, ["lesson"])
        self._redraw()
        if state.lesson:
            self._follow_address()
        if self._live and pn.state.curdoc is not None:
            pn.state.curdoc.add_periodic_callback(self._look, LOOK_ms)

    # What comes from the page

    def _act(self, name: str, value: Any) -> None:
        act = self._acts.get(name)
        if act is None:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return
        self._wrong = {}
        self.root.said = ""
        try:
            act(value)
        except PvsimError as error:
            self._wrong = {name: str(error)}
            self.root.said = str(error)
        self._redraw()

    def _open_lesson(self, slug: Any) -> None:
        lesson = self._lesson(str(slug))
        if lesson is None:
            return
        self._open = self._at = lesson.slug
        self._unwritten = True
        self._progress.setdefault(lesson.slug, player.begin(lesson))
        self._enter()

    def _leave(self) -> None:
        self._open, self._glossary = None, False
        self._state.lock(False)
        self._state.lesson = ""
        self._state.give_back()

    def _open_glossary(self) -> None:
        self._leave()
        self._glossary = True
        self._state.lesson = self._address()

    def _choose_track(self, track: Any) -> None:
        """Read as on this track; "" leaves it open again."""
        if track == "" or any(one.id == track for one in self._course.tracks):
            self._track = track
            self._unwritten = True

    def _turn(self, page: Any) -> None:
        lesson = self._current()
        if lesson is None or isinstance(page, bool) or not isinstance(page, int):
            return
        if page > len(lesson.steps) + 1:
            following = self._following(lesson)
            self._open_lesson(following.slug) if following else self._leave()
            return
        self._set(player.go_to(lesson, self._progress[lesson.slug], page))
        self._enter()

    def _predict(self, given: Any) -> None:
        lesson = self._current()
        if lesson is None:
            return
        self._set(player.predict(lesson, self._progress[lesson.slug], given))
        self._lock()
        self.root.said = _("Prediction stored. The array is unlocked.")

    def _observe(self, given: Any) -> None:
        lesson = self._current()
        if lesson is None:
            return
        self._set(player.observe(lesson, self._progress[lesson.slug], given))
        step, mark = self._step()
        right = player.verdicts(step, mark)[1] if step is not None else None
        self.root.said = _("Right.") if right is not None and right.right else _("Not yet.")

    def _do(self) -> None:
        step, mark = self._step()
        if step is not None and mark.prediction is not None:
            self._state.replace(step.finish, step.title)

    def _put_back(self) -> None:
        step, mark = self._step()
        if step is not None:
            self._show(step, mark)

    def _settle(self) -> None:
        """Show the answer to the observation, and look where it is read."""
        lesson, (step, mark) = self._current(), self._step()
        if lesson is None:
            return
        self._set(player.settle(lesson, self._progress[lesson.slug]))
        if step is None or step.observe is None or mark.done is None:
            return
        for spot in spots(step.observe, player.readings_of(step, mark))[:1]:
            self._bench.look(Look(focus=spot.place, level=spot.level, quantity=spot.quantity))

    def _restart(self) -> None:
        lesson = self._current()
        if lesson is not None:
            self._set(player.restart_step(lesson, self._progress[lesson.slug]))
            self._enter()

    # The workbook: all progress, kept in the learner's own browser

    def _workbook(self) -> Workbook:
        return Workbook(
            progresses=self._progress, at=self._at, track=self._track, foreign=self._foreign
        )

    def _recall(self, text: Any) -> None:
        """What this browser, or another tab of it, has kept; what cannot be read is set aside there."""
        try:
            kept = read_workbook(str(text), self._course)
        except PvsimError as error:
            self._state.tell(str(error))
            self.root._send_msg({"unread": True})
            return
        self._join(kept)

    def _take(self, text: Any) -> None:
        """A workbook from a file."""
        taken = read_workbook(str(text), self._course)
        self._join(taken)
        count = len(taken.progresses)
        self.root.said = ngettext(
            "Work on {n} lesson taken over.", "Work on {n} lessons taken over.", count
        ).format(n=count)

    def _join(self, other: Workbook) -> None:
        lesson = self._current()
        here = self._progress[lesson.slug].page if lesson is not None else 0
        whole = merge(self._workbook(), other)
        self._progress, self._at, self._foreign = dict(whole.progresses), whole.at, whole.foreign
        self._track = whole.track
        self._unwritten = True
        if lesson is not None:  # the page somebody is on stays, however far they had come before
            self._progress[lesson.slug] = player.go_to(lesson, self._progress[lesson.slug], here)
        if lesson is not None and other.progresses.get(lesson.slug) not in (None, player.begin(lesson)):
            # Opened by an address before the browser told what it had kept: stay on that page.
            self._enter()

    def _forget(self) -> None:
        """Forget all progress, for the next person at this screen."""
        self._progress, self._at, self._foreign, self._unwritten = {}, "", {}, True
        self._track = ""
        self.root.said = _("Forgotten.")

    def _go_on(self) -> None:
        """Open the lesson that was open last, on the page where it was left."""
        if self._lesson(self._at) is not None:
            self._open_lesson(self._at)

    def _prepare_lecture(self, value: Any) -> None:
        """Prepare a lecture: of one lesson, of the whole course, or from a file."""
        fields = value if isinstance(value, dict) else {}
        if "text" in fields:
            name = str(fields.get("name", ""))[:80] or _("the lecture file")
            lecture = read_lecture(str(fields["text"]), name, self._course)
        else:
            lecture = lecture_of(self._course, str(fields.get("lesson", "")))
        self._leave()
        self._state.lecture = lecture

    # What comes from the state

    def _watch(self, *_events: object) -> None:
        """The array changed: see whether the act is done, and show it a little later."""
        lesson = self._current()
        if lesson is None or self._bench.setting_up:
            return
        before = self._progress[lesson.slug]
        live, base = Situation(self._state.scenario, self._state.solution), self._state.set_out_from
        going_on = base is not None and base is self._done_from
        after = player.watch(lesson, before, live, going_on=going_on)
        if after != before:
            remember(live)
            self._done_from = base
            self._set(after)
            self._tell_done(before, after)
        document = pn.state.curdoc
        if document is None or not document.session_context:
            self._redraw()
        elif not self._waiting:
            self._waiting = True
            document.add_timeout_callback(self._redraw_later, SETTLE_MS)

    def _look(self) -> None:
        """See whether the course was read again."""
        if self._live is None:
            return
        self._live.look()
        if self._revision != self._live.revision:
            self._revision = self._live.revision
            with speaking(self._language), hold():
                self.renew(self._live.course(self._language))

    def renew(self, course: Course) -> None:
        """Show another reading of the course: the same step and the same work, as far as they fit it.

        Parameters
        ----------
        course : Course
            In the language of the one before.
        """
        lesson, page = self._current(), self._page()
        setting = self._setting()
        kept = read_workbook(write_workbook(self._workbook(), self._course), course)
        self._course = course
        self._progress, self._foreign, self._unwritten = dict(kept.progresses), kept.foreign, True
        if lesson is not None:
            new = self._lesson(lesson.slug)
            if new is None:
                self._leave()
            else:
                start = self._progress.get(new.slug) or player.begin(new)
                self._set(player.go_to(new, start, player.same_page(lesson, page, new)))
                if self._setting() != setting:
                    self._enter()
                self._lock()
                self._state.lesson = self._address()
        elif self._state.lesson:
            self._follow_address()  # the page was opened for a lesson that was not in order yet
        self.root.terms = shown_terms(course)
        self.root.said = said_of_reading(course, self._open or "")
        self._redraw()

    def _follow_address(self, *_events: object) -> None:
        """The address of a page that was just opened names a lesson."""
        slug, _slash, page = self._state.lesson.partition("/")
        if self._state.lesson == self._address():
            return
        lesson = self._lesson(slug)
        if lesson is None and (slug == GLOSSARY or not slug):  # the browser went back there
            (self._open_glossary if slug else self._leave)()
            self._redraw()
            return
        if lesson is None:
            if self._open:  # no such lesson: the one that is open stays
                self._state.lesson = self._address()
            return
        self._open = self._at = lesson.slug
        start = self._progress.get(lesson.slug) or player.begin(lesson)
        self._set(player.go_to(lesson, start, int(page) if page.isdecimal() and len(page) < 3 else 0))
        self._enter()
        self._redraw()

    # How it is done

    def _setting(self) -> tuple[object, ...]:
        """What the page where the learner is puts on the bench."""
        lesson, (step, mark) = self._current(), self._step()
        if lesson is None:
            return ()
        return (lesson.steps[0].start,) if step is None else (step.start, step.look, mark.done)

    def _page(self) -> int:
        return self._progress[self._open].page if self._open in self._progress else 0

    def _enter(self) -> None:
        """Set the page up for the lesson's page: the array, where to look, the lock."""
        lesson = self._current()
        if lesson is None:
            return
        step, mark = self._step()
        if step is not None:
            self._show(step, mark)
        elif self._progress[lesson.slug].page == 0:
            self._show(lesson.steps[0], player.Mark())
        self._lock()
        self._state.lesson = self._address()

    def _show(self, step: Step, mark: player.Mark) -> None:
        """The step's beginning as the state to compare with, then what was done, then the look."""
        self._bench.put(step.title, step.start, mark.done)
        self._bench.look(step.look)

    def _lock(self) -> None:
        lesson = self._current()
        if lesson is None:
            self._state.lock(False)
            return
        progress = self._progress[lesson.slug]
        step, mark = self._step()
        if step is None and progress.page == 0:  # the first step's array is on the bench already
            step, mark = lesson.steps[0], progress.marks[0]
        back = covered(step) if step is not None and mark.prediction is None else ()
        self._state.lock(player.locked(lesson, progress), back)

    def _tell_done(self, before: Progress, after: Progress) -> None:
        at = after.page - 1
        if before.marks[at].done is None and after.marks[at].done is not None:
            self.root.said = _("Done. Now look at what happened.")

    def _redraw_later(self) -> None:
        self._waiting = False
        with hold():
            self._redraw()

    def _redraw(self) -> None:
        lesson = self._current()
        if self._unwritten:
            self._unwritten = False
            self.root.workbook = write_workbook(self._workbook(), self._course)
        if lesson is None:
            page = (
                glossary_page(self._course)
                if self._glossary
                else contents_page(self._course, self._progress, self._at, self._wrong, self._track)
            )
            self.root.page = page | {"live": self._live is not None}
            return
        live = Situation(self._state.scenario, self._state.solution)
        progress = self._progress[lesson.slug]
        page = lesson_page(self._course, lesson, progress, live, self._wrong, self._track)
        if self._live:
            page |= {"live": True, "trouble": trouble_in(self._course, lesson.slug)}
        self.root.page = page

    def _address(self) -> str:
        lesson = self._current()
        if lesson is None:
            return GLOSSARY if self._glossary else ""
        return f"{lesson.slug}/{self._progress[lesson.slug].page}"

    def _current(self) -> Lesson | None:
        return self._lesson(self._open) if self._open else None

    def _lesson(self, slug: str) -> Lesson | None:
        return next((one for one in self._course.lessons if one.slug == slug), None)

    def _following(self, lesson: Lesson) -> Lesson | None:
        lessons = lessons_in_order(self._course, self._track)
        place = lessons.index(lesson) + 1
        return lessons[place] if place < len(lessons) else None

    def _step(self) -> tuple[Step | None, player.Mark]:
        lesson = self._current()
        if lesson is None:
            return None, player.Mark()
        progress = self._progress[lesson.slug]
        return player.step_of(lesson, progress), player.mark_of(lesson, progress)

    def _set(self, progress: Progress) -> None:
        self._progress[progress.lesson] = progress
        self._unwritten = True
