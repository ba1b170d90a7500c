"""The lesson region: hears its page and the State, and draws what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from bokeh.document import Document
from panel.io import hold

from pvsim.app.assets import css
from pvsim.app.component import Wish
from pvsim.app.later import Later
from pvsim.app.lesson.bench import LessonBench
from pvsim.app.lesson.closing_desk import ClosingDesk
from pvsim.app.lesson.closing_page import closing_entry, making_page
from pvsim.app.lesson.contents import contents_page, glossary_page, shown_terms
from pvsim.app.lesson.learner import CLOSING, GLOSSARY, Learner
from pvsim.app.lesson.lecture_wanted import lecture_wanted
from pvsim.app.lesson.page import lesson_page
from pvsim.app.lesson.preview import Preview
from pvsim.app.lesson.step_acts import ACTS
from pvsim.app.lesson.text import LessonText
from pvsim.app.lesson.trouble import said_of_reading, trouble_in
from pvsim.app.lesson.words import region_words
from pvsim.app.open_course import OpenCourse, course_in
from pvsim.app.plain import Keyed
from pvsim.app.session.errand import Errand, NotYet
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _, language, ngettext
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import remember
from pvsim.course.play import player
from pvsim.course.play.workbook import Workbook, read_workbook, write_workbook
from pvsim.errors import PvsimError

__all__ = ["LessonView"]

LONGEST_MAKING_S = 60.0  # of a closing test, its waiting counted in; most take a second
MADE = "made"  # what an errand of the closing test has come back with
SETTLE_MS = 150  # after a change of the array; a drag redraws the text once, not sixty times a second


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
        self._learner = Learner(course_in(course, language().code))
        self._bench = LessonBench(state, self._learner)
        self._closing = ClosingDesk(
            self._learner, course.folder if isinstance(course, OpenCourse) else OWN_LESSONS
        )
        self._printing: Errand | None = None  # of one on paper
        self._making: Errand | None = None  # of a closing test that is being made
        self._wrong: dict[str, str] = {}
        self._preview: Preview | None = None
        self._settled = Later(self._redraw_at_once, state.document)
        self._done_from: object = None  # what the change set out from that did the act
        self._acts: dict[str, Callable[[Any], str]] = {
            "open": self._open_lesson,
            "contents": lambda _value: self._leave(),
            "glossary": lambda _value: self._leave(glossary=True),
            "go_on": lambda _value: self._open_lesson(self._learner.at),
            "search": lambda _value: self._search(),
            "track": self._choose_track,
            "closing": lambda _value: self._open_closing(),
            "closing_anew": lambda _value: self._open_closing(anew=True),
            "closing_answer": self._closing.answer,
            "closing_opening": lambda _value: self._open_closing(page=0),
            "closing_paper": lambda value: self._print_closing(solution=value == "solution"),
            "turn": self._turn,
            "recall": self._recall,
            "take": self._take,
            "forget": lambda _value: self._forget(),
            "lecture": self._prepare_lecture,
        }
        self.root = LessonText(
            self._obey,
            words=Keyed(region_words()),
            terms=shown_terms(self._learner.course),
            stylesheets=[css("controls"), css("lesson/lesson")],
            sizing_mode="stretch_both",
        )
        Following(state, {self._watch: ["scenario"], self._follow_address: ["lesson"]})
        if isinstance(course, OpenCourse) and course.live:
            self._preview = Preview(course, language().code, self.renew, state.document)
        self._redraw()
        if state.lesson:
            self._follow_address()

    # What comes from the page; each act gives back what is said of it

    def _obey(self, wish: Wish) -> None:
        name, value = wish["do"], wish.get("value")
        if name not in self._acts and name not in ACTS:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return
        self._wrong = {}
        self.root.said = ""
        try:
            said = self._acts[name](value) if name in self._acts else self._do(name, value)
        except PvsimError as error:
            self._wrong = {name: str(error)}
            said = str(error)
        if said:
            self.root.said = said
        self._redraw()

    def _do(self, name: str, value: Any) -> str:
        return ACTS[name](self._learner, self._bench, value)

    def _open_lesson(self, slug: Any) -> str:
        lesson = self._learner.find(str(slug))
        if lesson is not None:
            self._learner.open(lesson)
            self._bench.set_up()
        return ""

    def _leave(self, *, glossary: bool = False) -> str:
        self._learner.close(glossary=glossary)
        self._bench.leave()
        return ""

    def _open_closing(self, *, anew: bool = False, page: int | None = None) -> str:
        if not self._closing.lessons:
            if page is not None:
                self._state.tell(_("No lesson of this course has exercises that a closing test could ask."))
            return ""
        document = self._state.document
        if document is None or self._closing.is_ready(anew=anew):
            self._open_made(anew, page)
            self._bench.leave()
            return ""
        self._learner.close(closing_page=0)
        self._bench.leave()
        work = self._closing.prepare(anew=anew)
        self._making = self._beside(document, work, self._closing_made, anew, page)
        return _("The test is being made …")

    def _open_made(self, anew: bool, page: int | None) -> None:
        (self._closing.begin if anew else self._closing.open)()
        if page is not None:
            self._closing.turn(page)

    @staticmethod
    def _beside(
        document: Document, work: Callable[[], Any], arrived: Callable[..., None], *told: Any
    ) -> Errand:
        """Have something made beside the event loop; `arrived` hears of its errand and what is told."""
        errand = Errand(document, longest_s=LONGEST_MAKING_S, crew="closing")
        errand.send(NotYet(MADE, work), partial(arrived, errand, *told))
        return errand

    @contextmanager
    def _telling(self, first: Callable[[], object] = lambda: None) -> Iterator[None]:
        """What goes wrong in here is told, after `first`; pvsim's own errors are raised for the log too."""
        try:
            yield
        except PvsimError as error:
            first()
            self._state.tell(str(error))
        except Exception:
            first()
            self._state.tell(_("The test could not be made: pvsim itself has an error here. Try once more."))
            raise

    def _closing_made(self, errand: Errand, anew: bool, page: int | None) -> None:
        """The test has been made: open it, if the learner is still there."""
        if errand is not self._making:
            return
        self._making, waits = None, self._learner.closing_page is not None
        self.root.said = ""
        try:
            with self._telling(self._leave):
                errand.here(MADE, _nothing)
                if waits:
                    self._open_made(anew, page)
        finally:
            self._redraw()

    def _print_closing(self, *, solution: bool) -> str:
        """Have a test made for paper, beside the event loop; it is saved when it is there."""
        if self._printing or not self._closing.lessons:
            return ""
        work = self._closing.paper(solution=solution)
        document = self._state.document
        if document is None:
            return self._save(work())
        self._printing = self._beside(document, work, self._printed)
        return _("The file is being made.")

    def _printed(self, errand: Errand) -> None:
        self._printing = None
        with self._telling():
            self.root.said = self._save(errand.here(MADE, _nothing))

    def _save(self, message: Any) -> str:
        self.root.tell(message)
        return _("{file} is there.").format(file=message["file"])

    def _search(self) -> str:
        self._state.open_field(tab="search")
        return ""

    def _choose_track(self, track: Any) -> str:
        self._learner.choose_track(track)
        return ""

    def _turn(self, page: Any) -> str:
        lesson = self._learner.lesson
        if isinstance(page, bool) or not isinstance(page, int):
            return ""
        if self._learner.closing_page is not None and self._making is None:
            if page > len(self._learner.closing.asked) + 1:
                return self._leave()
            self._closing.turn(page)
            return ""
        if lesson is None:
            return ""
        if page > len(lesson.steps) + 1:
            following = self._learner.following(lesson)
            if following is not None:
                return self._open_lesson(following.slug)
            return self._open_closing() if self._closing.lessons else self._leave()
        self._learner.turn(page)
        self._bench.set_up()
        return ""

    # Files, and what the browser keeps

    def _recall(self, text: Any) -> str:
        """What this browser, or another tab of it, has kept; what cannot be read is set aside there."""
        try:
            kept = read_workbook(str(text), self._learner.course)
        except PvsimError as error:
            self._state.tell(str(error))
            self.root.tell({"unread": True})
            return ""
        self._join(kept)
        return ""

    def _join(self, other: Workbook) -> None:
        learner, test = self._learner, self._learner.closing.seed
        if learner.join(other):
            self._bench.set_up()
        if learner.closing_page is not None and learner.closing.seed != test:
            self._open_closing()

    def _take(self, text: Any) -> str:
        """A workbook from a file."""
        taken = read_workbook(str(text), self._learner.course)
        self._join(taken)
        count = len(taken.progresses)
        return ngettext(
            "Work on {n} lesson taken over.", "Work on {n} lessons taken over.", count
        ).format(n=count)

    def _forget(self) -> str:
        self._learner.forget()
        return _("Forgotten.")

    def _prepare_lecture(self, value: Any) -> str:
        """Prepare a lecture; the lesson that is open is left for it."""
        lecture = lecture_wanted(value, self._learner.course)
        self._leave()
        self._state.lecture = lecture
        return ""

    # What comes from the state

    def _watch(self, *_events: object) -> None:
        """The array changed: see whether the act is done, and show it a little later."""
        lesson = self._learner.lesson
        if lesson is None or self._bench.setting_up:
            return
        before, live, base = self._learner.progress, self._bench.now, self._state.set_out_from
        going_on = base is not None and base is self._done_from
        after = player.watch(lesson, before, live, going_on=going_on)
        if after != before:
            remember(live)
            was_done = self._learner.mark.done is not None
            self._done_from = base
            self._learner.set(after)
            if not was_done and self._learner.mark.done is not None:
                self.root.said = _("Done. Now look at what happened.")
        self._settled.ask(SETTLE_MS)

    def _follow_address(self, *_events: object) -> None:
        """The address of a page that was just opened names a lesson."""
        slug, _slash, page = self._state.lesson.partition("/")
        if self._state.lesson == self._learner.address:
            return
        lesson = self._learner.find(slug)
        if lesson is not None:
            self._learner.open(lesson, int(page) if page.isdecimal() and len(page) < 3 else 0)
            self._bench.set_up()
            self._redraw()
        elif slug == CLOSING and self._closing.lessons:
            self._open_closing()
            self._redraw()
        elif slug in (GLOSSARY, ""):  # the browser went back there
            self._leave(glossary=bool(slug))
            self._redraw()
        elif self._learner.lesson is not None:  # no such lesson: the one that is open stays
            self._state.lesson = self._learner.address

    # A course that is being written

    def renew(self, course: Course) -> None:
        """Show another reading of the course: the same step and the same work, as far as they fit it.

        Parameters
        ----------
        course : Course
            In the language of the one before.
        """
        learner = self._learner
        open_before, wanted = learner.lesson, learner.wanted
        learner.renew(course)
        self._closing.renew()
        if learner.lesson is not None:
            if learner.wanted != wanted:
                self._bench.set_up()
            self._bench.lock()
            self._state.lesson = learner.address
        elif open_before is not None:
            self._leave()
        elif self._state.lesson:
            self._follow_address()  # the page was opened for a lesson that was not in order yet
        self.root.terms = shown_terms(course)
        self.root.said = said_of_reading(course, learner.lesson.slug if learner.lesson else "")
        self._redraw()

    # What is shown

    def _redraw_at_once(self) -> None:
        with hold():
            self._redraw()

    def _redraw(self) -> None:
        learner, live = self._learner, self._preview is not None
        course, lesson = learner.course, learner.lesson
        if learner.unwritten:
            learner.unwritten = False
            self.root.workbook = write_workbook(learner.workbook, course)
        if lesson is not None:
            page = lesson_page(
                course,
                lesson,
                learner.progress,
                self._bench.now,
                self._wrong,
                learner.track,
                closing=bool(self._closing.lessons),
            )
            if live:
                page |= {"live": True, "trouble": trouble_in(course, lesson.slug)}
        elif learner.closing_page is not None:
            page = (making_page() if self._making else self._closing.page()) | {"live": live}
        elif learner.glossary:
            page = glossary_page(course) | {"live": live}
        else:
            page = contents_page(course, learner.progresses, learner.at, self._wrong, learner.track)
            page |= {"live": live, "begun": page["begun"] or learner.closing.number > 0}
            page["closing"] = closing_entry(learner.closing) if self._closing.lessons else None
        self.root.page = page


def _nothing() -> None:
    """What is asked for has been made already."""
