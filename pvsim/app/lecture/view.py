"""The lecture on the page: shows cues, keeps the array locked until the class has answered, puts right.

It stands where the lesson stands otherwise. While a lecture is held the type is large; what the page
looked like before comes back when it ends.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import panel as pn
from panel.io import hold

from pvsim.app.assets import css
from pvsim.app.component import Reply, Wish
from pvsim.app.lecture.kept import Kept, read_kept, write_kept
from pvsim.app.lecture.page import Hall, cue_page, ready_page
from pvsim.app.lecture.phones import Phones
from pvsim.app.lecture.replay import Replay
from pvsim.app.lecture.sheet import LectureSheet
from pvsim.app.lecture.words import lecture_words
from pvsim.app.open_course import OpenCourse
from pvsim.app.session.set_up import look_at, put_on_bench
from pvsim.app.session.state import State
from pvsim.app.words import _, language
from pvsim.array.scenario import Scenario
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.class_answers import read_hands
from pvsim.course.lecture.lecture_file import write_lecture
from pvsim.course.lecture.lecture_record import moment_of, note, podium_at
from pvsim.course.lecture.lecture_state import Podium
from pvsim.course.lecture.rehearsal import invent
from pvsim.course.lesson.giveaway import covered
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import Situation, remember
from pvsim.errors import PvsimError

__all__ = ["LectureView"]

SETTLE_MS = 150  # after a change of the array; a drag redraws the sheet once, not sixty times a second
KEEP_MS = 2000  # after that the tab keeps what was done on the bench; presses of the lecture at once
PHONE_MS = 400  # so that sixty phones redraw the bars twice a second


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
        self._podium: Podium | None = None
        self._mode = "ready"
        self._began = 0.0
        self._replay: Replay | None = None
        self._large = False
        self._wrong = self._hint = ""
        self._done_from: object = None  # what the change set out from that did the act
        self._asked_twice = False  # the last press asked for the act although nobody had answered
        self._close_twice = False  # the last press asked for the end of the class
        self._unattended = False  # the class could not be told what the podium wants of it
        self._noted = False  # something of this performance is in the record
        self._read_course()
        self._unkept = self._keeping = self._busy = self._waiting = False
        self._acts: dict[str, Callable[[Any], Reply]] = {
            "begin": self._begin,
            "next": self._next,
            "back": self._back,
            "go": self._go,
            "right": lambda _value: self._right(),
            "reveal": lambda _value: self._reveal(),
            "again": lambda _value: self._again(),
            "hands": self._hands,
            "count": self._count,
            "do": lambda _value: self._do(),
            "class": lambda _value: self._class(),
            "notes": lambda _value: self._notes(),
            "letters": lambda value: self._state.show(keys=bool(value)),
            "save": lambda _value: self._save(),
            "resume": self._resume,
            "leave": lambda _value: self._leave(),
        }
        self.root = LectureSheet(
            self._obey,
            words=lecture_words(),
            letters=state.keys,
            stylesheets=[css("controls"), css("lesson/lesson"), css("lecture/lecture")],
            sizing_mode="stretch_both",
        )
        state.param.watch(self._watch, ["scenario"])
        state.param.watch(self._letters, ["keys"])
        state.param.watch(self._follow, ["lecture"])
        state.param.watch(self._follow_cue, ["cue"])

    # What comes from the page

    def _obey(self, wish: Wish) -> Reply:
        name = wish["do"]
        act = self._acts.get(name)
        if act is None:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return None
        self._wrong = self._hint = self.root.said = ""
        self._close_twice = self._close_twice and name == "class"
        reply = None
        try:
            reply = act(wish.get("value"))
        except PvsimError as error:
            if name in ("hands", "count"):
                self._wrong = str(error)
            else:
                self._state.tell(str(error))
            self.root.said = str(error)
        self._redraw()
        self._keep()
        return reply

    def _begin(self, mode: Any) -> None:
        lecture = self._state.lecture
        if lecture is None or mode not in ("live", "rehearsal", "replay"):
            return
        if mode == "replay":
            if lecture.played:
                self._mode, self._replay = mode, Replay(lecture, self._course)
                self._show_replay()
            return
        self._mode, self._began = mode, self._clock()
        self._podium = Podium(lecture=replace(lecture, played=()))
        self._enter()

    def _next(self, _value: Any) -> None:
        podium = self._podium
        if self._replay is not None:
            self._replay.turn(1)
            self._show_replay()
        elif podium is None:
            self._begin("live")
        elif podium.at == len(podium.lecture.cues) - 1:
            self._hint = _("This was the last cue. Save the lecture file or leave the lecture.")
        elif stand.cue_of(podium).moment in ("ask", "act") and not stand.answered(podium, self._course):
            self._without(podium)
        else:
            self._move(stand.forward(podium))

    def _without(self, podium: Podium) -> None:
        """On without answers: only when it is asked for twice."""
        if self._asked_twice:
            self._move(stand.forward(stand.waive(podium)))
        else:
            self._asked_twice = True
            self._hint = _("Nobody has answered yet. Count hands, or press → once more to go on without.")

    def _back(self, _value: Any) -> None:
        if self._replay is not None:
            self._replay.turn(-1)
            self._show_replay()
        elif self._podium is not None:
            self._move(stand.back(self._podium))

    def _go(self, at: Any) -> None:
        if self._podium is None or isinstance(at, bool) or not isinstance(at, int):
            return
        if self._replay is not None:
            self._replay.go(at)
            self._show_replay()
        else:
            self._move(stand.go_to(self._podium, at))

    def _right(self) -> None:
        if self._replay is not None:
            self._show_replay()
        elif self._podium is not None:
            self._set_up()
            self.root.said = _("Everything is as this cue wants it.")

    def _reveal(self) -> None:
        if self._podium is not None:
            self._change(stand.reveal(self._podium, self._course))

    def _again(self) -> None:
        podium = self._podium
        if podium is None or self._mode == "replay":
            return
        later = stand.ask_again(podium, self._course)
        if later is podium:
            return
        self._change(later)
        if self._mode == "rehearsal":
            self._podium = invent(later, self._course)
        else:
            self._phones.again(self._key())
        self._tell()
        self.root.said = _("Second round.")

    def _hands(self, text: Any) -> None:
        podium = self._asking()
        if podium is None:
            return
        step = stand.step_of(podium, self._course)
        assert step is not None
        self._take_hands(read_hands(step.predict, str(text)))

    def _count(self, value: Any) -> None:
        """One hand more or fewer for a choice."""
        podium, fields = self._asking(), value if isinstance(value, dict) else {}
        if podium is None:
            return
        choice, by = fields.get("choice"), fields.get("by")
        question = stand.step_of(podium, self._course).predict  # type: ignore[union-attr]
        many = len(getattr(question, "choices", ()))
        if not isinstance(choice, int) or choice not in range(many) or by not in (-1, 1):
            return
        hands = stand.standing_of(podium).rounds[-1].hands
        counts = [hands[k] if k < len(hands) else 0.0 for k in range(many)]
        counts[choice] = min(max(counts[choice] + by, 0.0), 999.0)
        self._take_hands(tuple(counts))

    def _do(self) -> None:
        podium = self._podium
        step = stand.step_of(podium, self._course) if podium is not None else None
        if step is not None and podium is not None and not stand.locked(podium, self._course):
            self._state.replace(step.finish, step.title)

    def _class(self) -> None:
        podium = self._podium
        if not self._phones.there:
            self._state.tell(_("This page has no class. Count hands instead."))
        elif self._mode == "rehearsal":
            self._state.tell(_("In a rehearsal the class is imaginary; nobody can join it."))
        elif self._phones.asked and not self._close_twice:
            self._close_twice = True
            self._hint = _("Press O once more to close the class; its phones are told that it is over.")
        elif self._phones.asked:
            self._phones.close()
            self.root.said = _("The class is closed.")
        elif podium is not None:
            self._phones.open(podium, ask=True)
            self._attend()
            self._tell()
            self.root.said = _("The class is open.")
        self._unkept = True

    def _notes(self) -> Reply:
        if not self._phones.there or self._podium is None:
            self._state.tell(_("This page has no notes window."))
            return {"notes": ""}
        self._phones.open(self._podium, ask=False)
        self._unkept = True
        return {"notes": self._tell()}

    def _save(self) -> Reply:
        lecture = self._state.lecture
        if lecture is None:
            return None
        name = "".join(one if one.isalnum() else "-" for one in lecture.title.lower()).strip("-") or "lecture"
        return {"file": f"{name[:60]}.toml", "text": write_lecture(lecture, self._course)}

    def _leave(self) -> None:
        self._state.lecture = None

    # Going on after a reload

    def _resume(self, text: Any) -> None:
        """Go on with what this tab kept before it was loaded anew."""
        if self._state.lecture is not None:
            return
        self._read_course()
        try:
            kept = read_kept(text, self._course)
        except PvsimError:  # nothing of ours: it is not worth a word to the class
            return
        self._state.lecture = kept.lecture
        if kept.mode not in ("live", "rehearsal") or not kept.lecture.played:
            return
        self._mode, self._began, self._noted = kept.mode, kept.began, True
        self._podium = podium_at(kept.lecture, self._course, len(kept.lecture.played))
        if kept.room is not None:
            self._phones.enter(*kept.room, kept.polls)
        self._set_up()
        self._attend()

    # What comes from elsewhere

    def _read_course(self) -> None:
        """The lessons as they are now; they stay so until the lecture ends."""
        source = self._source
        if isinstance(source, OpenCourse):
            source = source.course(self._language)
        self._course = self._phones.course = source or own_course(self._language)

    def _follow(self, *_events: object) -> None:
        """A lecture was chosen, or left."""
        state = self._state
        if self._busy:
            return
        if state.lecture is None:
            self._end()
        elif self._podium is None and self._mode == "ready":
            self._read_course()
            self._large = self._large if self.root.page else state.large
            state.show(large=True)
        self._unkept = True
        self._redraw()

    def _follow_cue(self, *_events: object) -> None:
        """The browser went back to a cue."""
        podium, cue = self._podium, self._state.cue
        if podium is None or cue == podium.at:
            return
        self._go(min(max(cue, 0), len(podium.lecture.cues) - 1))
        self._state.cue = self._podium.at if self._podium is not None else -1
        self._redraw()
        self._keep()

    def _end(self) -> None:
        self._phones.close()
        self._podium, self._replay, self._mode = None, None, "ready"
        self._state.cue = -1
        self._asked_twice = self._noted = False
        self._state.lock(False)
        self._state.give_back()
        if self.root.page:
            self._state.show(large=self._large)

    def _letters(self, *_events: object) -> None:
        self.root.letters = self._state.keys
        self._redraw()

    def _watch(self, *_events: object) -> None:
        """The array changed: see whether the act is done, and show it a little later."""
        podium = self._podium
        if podium is None or self._busy or self._mode == "replay":
            return
        live, base = Situation(self._state.scenario, self._state.solution), self._state.set_out_from
        going_on = base is not None and base is self._done_from
        later = stand.watch(podium, self._course, live, going_on=going_on)
        if later is not podium:
            remember(live)
            self._podium, self._done_from = later, base
            self._attend()
        self._later(SETTLE_MS)

    def _hear(self) -> None:
        """Something changed in the class."""
        if self._podium is None:
            return
        if self._phones.trouble:
            self._state.tell(self._phones.trouble)
        elif self._unattended:
            self._attend()
        self._podium = self._phones.hear(self._podium, self._key())
        self._later(PHONE_MS)

    def _later(self, wait_ms: int) -> None:
        document = pn.state.curdoc
        if document is None or not document.session_context:
            self._settled()
        elif not self._waiting:
            self._waiting = True
            document.add_timeout_callback(self._settled, wait_ms)

    def _settled(self) -> None:
        self._waiting = False
        if self._podium is not None:
            with hold():
                self._note()
                self._redraw()
        document = pn.state.curdoc
        if document is None or not document.session_context:
            self._keep()
        elif not self._keeping:
            self._keeping = True
            document.add_timeout_callback(self._keep_later, KEEP_MS)

    def _keep_later(self) -> None:
        self._keeping = False
        self._keep()

    # How it is done

    def _asking(self) -> Podium | None:
        """The podium, where hands can be counted."""
        podium = self._podium
        if podium is None or self._mode == "replay" or stand.cue_of(podium).moment != "ask":
            return None
        return podium

    def _take_hands(self, hands: tuple[float, ...]) -> None:
        assert self._podium is not None
        last = stand.standing_of(self._podium).rounds[-1]
        self._change(stand.take(self._podium, replace(last, hands=hands)))
        question = stand.step_of(self._podium, self._course).predict  # type: ignore[union-attr]
        self._phones.keep_hands(self._key(), question, hands)
        self._tell()

    def _key(self) -> tuple[int, int]:
        assert self._podium is not None
        cue = stand.cue_of(self._podium)
        return cue.part, cue.page

    def _move(self, podium: Podium) -> None:
        """To another cue, with the bench as it wants it."""
        if podium.at == getattr(self._podium, "at", None):
            return
        self._podium = podium
        self._enter()

    def _enter(self) -> None:
        assert self._podium is not None
        self._asked_twice = False
        if self._mode == "rehearsal" and stand.cue_of(self._podium).moment == "ask":
            self._podium = invent(self._podium, self._course)
        self._set_up()
        self._attend()
        self._note()
        self._tell()

    def _attend(self) -> None:
        """Let the class answer, or not, as the podium wants it."""
        if self._podium is None or self._mode != "live":
            return
        self._unattended = False
        try:
            self._phones.attend(self._podium)
        except PvsimError as error:
            self._unattended = True
            self._state.tell(str(error))

    def _change(self, podium: Podium) -> None:
        self._podium = podium
        self._lock(podium)
        self._note()

    def _tell(self) -> str:
        """Tell the notes window how it stands; its path."""
        return "" if self._podium is None else self._phones.tell(self._podium, self._began)

    def _set_up(self) -> None:
        """Put the bench as the cue wants it, whatever was pressed; the page's menus follow by themselves."""
        podium = self._podium
        assert podium is not None
        start, finish = stand.wanted(podium, self._course)
        self._show(start, finish)
        step = stand.step_of(podium, self._course)
        moment = stand.cue_of(podium).moment
        if step is not None and finish is not None and moment in ("look", "explain"):
            self._podium = stand.with_done(podium, finish)
        self._lock(self._podium or podium)

    def _lock(self, podium: Podium) -> None:
        """Lock the array while the class is asked, and keep back what would answer it."""
        locked = stand.locked(podium, self._course)
        step = stand.step_of(podium, self._course)
        if stand.cue_of(podium).moment == "opening":  # the first step's array is on the bench already
            step = stand.lesson_of(podium, self._course).steps[0]
        waits = locked or stand.cue_of(podium).moment == "opening"
        self._state.lock(locked, covered(step) if step is not None and waits else ())

    def _show(self, start: Scenario, finish: Scenario | None) -> None:
        assert self._podium is not None
        lesson, step = stand.lesson_of(self._podium, self._course), stand.step_of(self._podium, self._course)
        self._state.cue = self._podium.at
        self._busy = True
        try:
            put_on_bench(self._state, lesson.title if step is None else step.title, start, finish)
        finally:
            self._busy = False
        self._state.put_right()
        look_at(self._state, (step or lesson.steps[0]).look)

    def _show_replay(self) -> None:
        assert self._replay is not None
        self._podium = self._replay.podium
        self._show(*self._replay.bench)
        self._state.lock(False)

    def _note(self) -> None:
        """Write this moment down, in the file that is saved and in what the tab keeps."""
        podium, lecture = self._podium, self._state.lecture
        if podium is None or lecture is None or self._mode == "replay":
            return
        now = moment_of(podium, self._state.scenario, self._clock() - self._began)
        played = note(lecture.played if self._noted else (), now)
        self._noted = True
        if played != lecture.played:
            self._busy = True
            try:
                self._state.lecture = replace(lecture, played=played)
            finally:
                self._busy = False
            self._unkept = True

    def _keep(self) -> None:
        """Let the tab keep what it needs after a reload; the record of an hour has some hundred kB."""
        lecture = self._state.lecture
        if lecture is None or not self._unkept:
            return
        self._unkept = False
        kept = Kept(
            lecture=lecture,
            mode=self._mode,
            began=self._began,
            room=self._phones.kept(),
            polls=self._phones.polls,
        )
        self.root.kept = write_kept(kept, self._course)

    def _redraw(self) -> None:
        lecture, state = self._state.lecture, self._state
        if lecture is None:
            self.root.param.update(page={}, kept="", began_s=-1.0)
            return
        if self._podium is None:
            self._keep()
            page = ready_page(lecture, self._course, keys=state.keys, network=self._phones.network)
            self.root.param.update(page=page, began_s=-1.0)
            return
        hall = Hall(
            mode=self._mode,
            live=Situation(state.scenario, state.solution),
            keys=state.keys,
            room=self._phones.page(),
            wrong=self._wrong,
            hint=self._hint,
            entry="" if self._replay is None else self._replay.words,
        )
        seconds = self._clock() - self._began
        if self._replay is not None:
            seconds = self._replay.seconds
        self.root.param.update(page=cue_page(self._podium, self._course, hall), began_s=seconds)
