"""The class of a lecture on its phones: asked once for each question, heard, shown, and told in the notes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from pvsim.app.door.admission import WRONG_AT_ONCE, Crowd
from pvsim.app.lecture.class_messages import ClassOf, phones_of, scene_of, sheet_of
from pvsim.app.qr import qr_path
from pvsim.app.words import _, ngettext
from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.class_answers import size
from pvsim.course.lecture.lecture_state import Podium
from pvsim.course.lesson.lesson import ChoiceQuestion, Course

__all__ = ["Phones"]

MANY = 6  # voters from one address: a family of devices has fewer

Key = tuple[int, int]


class Phones:
    """What a lecture has to do with its class; does nothing while no class is open.

    Parameters
    ----------
    room : ClassOf or None
        The session's classroom.
    heard : callable
        Called after every change in the class.
    """

    def __init__(self, room: ClassOf | None, heard: Callable[[], None]) -> None:
        self._room = room
        self.asked = False  # phones are asked and the code is on the screen; else there are notes alone
        self.polls: dict[Key, tuple[int, int]] = {}  # by part and page: poll, its first round
        if room is not None:
            room.watch(heard)

    @property
    def network(self) -> bool:
        """Whether phones can reach this page."""
        return self._room is not None and self._room.network

    @property
    def there(self) -> bool:
        """Whether there is a classroom at all."""
        return self._room is not None

    @property
    def trouble(self) -> str:
        """Why the class cannot be reached just now."""
        return self._room.trouble if self._room is not None else ""

    def _open(self) -> ClassOf | None:
        return self._room if self._room is not None and self._room.is_open else None

    def open(self, podium: Podium, *, ask: bool) -> None:
        """Open the class, for its phones or for the notes alone."""
        if self._room is None:
            return
        if not self._room.is_open:
            self._room.open(podium.lecture.title)
            self.polls = {}
        self.asked = self.asked or ask

    def close(self) -> None:
        """Close it."""
        room = self._open()
        if room is not None:
            room.close()
        self.asked, self.polls = False, {}

    def enter(self, code: str, key: str, asked: bool, polls: dict[Key, tuple[int, int]]) -> None:
        """Go on with a class, after a reload."""
        if self._room is not None and self._room.enter(code, key):
            self.asked, self.polls = asked, polls

    def kept(self) -> tuple[str, str, bool] | None:
        """What `enter` needs."""
        room = self._open()
        return None if room is None else (room.code, room.key, self.asked)

    def attend(self, podium: Podium, course: Course) -> None:
        """Take answers while the class is asked and nobody has seen what comes of it; else take none.

        Whatever leads away from the question closes the round, and coming back before the act is done
        opens the same one again.
        """
        room = self._open()
        if room is None or not self.asked:
            return
        step, cue = stand.step_of(podium, course), stand.cue_of(podium)
        standing = stand.standing_of(podium)
        asked = step is not None and cue.moment == "ask" and podium.lecture.parts[cue.part].poll
        if step is None or not asked or standing.done is not None:
            self._stop(room)
            return
        known = self.polls.get((cue.part, cue.page))
        if known is None:
            room.ask(sheet_of(course, cue, step))
            if room.poll is not None:
                self.polls[cue.part, cue.page] = (room.poll, len(standing.rounds) - 1)
        elif known[0] != room.poll:  # another question was asked since; a class answers the latest alone
            self._stop(room)
        elif not room.asking:
            room.go_on()

    @staticmethod
    def _stop(room: ClassOf) -> None:
        if room.asking:
            room.stop()

    def again(self, key: Key) -> None:
        """The second round."""
        room = self._open()
        if room is not None and key in self.polls:
            room.again()

    def keep_hands(self, key: Key, question: object, hands: Sequence[float]) -> None:
        """Keep counted hands beside the phones' answers."""
        room = self._open()
        if room is not None and key in self.polls and isinstance(question, ChoiceQuestion):
            room.set_hands([int(one) for one in hands])

    def hear(self, podium: Podium, key: Key) -> Podium:
        """The podium with what the phones have answered by now."""
        room, poll = self._open(), self.polls.get(key)
        tally = None if room is None else room.tally()
        if tally is None or poll is None or tally.poll != poll[0]:
            return podium
        rounds = len(stand.standing_of(podium).rounds)
        return stand.take_phones(podium, phones_of(tally, poll[1], rounds))

    def tell(self, podium: Podium, course: Course, began: float) -> str:
        """Tell the notes window what is on the screen; its path, empty while there is none."""
        room = self._open()
        if room is None:
            return ""
        step = stand.step_of(podium, course)
        rounds = stand.standing_of(podium).rounds
        answers = 0 if step is None else size(step.predict, rounds[-1])
        plain = replace(podium, lecture=replace(podium.lecture, played=()))
        room.show(scene_of(plain, course, began=began, is_open=room.asking, answers=answers))
        return room.notes_path

    def page(self) -> dict[str, Any]:
        """The class as the sheet shows it; empty while nobody is asked."""
        room = self._open()
        if room is None or not self.asked:
            return {}
        dots, path = qr_path(room.url)
        count = ngettext("{n} phone answered", "{n} phones answered", room.count).format(n=room.count)
        if _is_often(room.crowd):
            count = _("{count} · {most} from one address").format(count=count, most=room.crowd.most)
        return {
            "code": room.code,
            "address": room.join_url.split("//")[-1],
            "dots": dots,
            "path": path,
            "count": count,
            "seen": _seen(room.crowd),
            "asking": room.asking,
            "far": "" if room.network else _("Only this machine can join: start pvsim with --network."),
        }


def _is_often(crowd: Crowd) -> bool:
    """Whether one address stands out: it sent many voters, and others came from elsewhere."""
    return MANY <= crowd.most < crowd.everybody


def _seen(crowd: Crowd) -> list[str]:
    """What a lecturer should know of who answers; sentences."""
    told = []
    if _is_often(crowd):
        told.append(
            _(
                "{most} of {all} phones have answered from one address of the network. Behind a router that "
                "many share, that is usual; otherwise one person may be answering often."
            ).format(most=crowd.most, all=crowd.everybody)
        )
    if crowd.wrong > WRONG_AT_ONCE:
        told.append(
            _("Somebody is trying codes: {n} wrong ones came from one address.").format(n=crowd.wrong)
        )
    return told
