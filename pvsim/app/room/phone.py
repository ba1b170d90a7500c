"""Phones: the page on which a class answers, and its web socket."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from pvsim.app.door.admission import Bucket
from pvsim.app.room.phone_words import entry_words, outcome_words, phone_words
from pvsim.app.room.plain_page import Busy, PlainPage, PlainSocket, read_message
from pvsim.app.words import _, speaking
from pvsim.course.number.units import UNITS
from pvsim.course.play.answers import read_number
from pvsim.errors import LessonError, StoreError

if TYPE_CHECKING:
    from pvsim.store import RoomState

__all__ = ["EntryPage", "PhonePage", "PhoneSocket", "phone_view"]

AT_ONCE, RATE_1_s = 12, 4.0  # messages of one phone; a person who changes their mind sends one a second
AGAIN_s = 3  # after which a page that could not be looked up is asked for again
PATIENCE = 400  # messages beyond that; then the connection is ended
VOTER = re.compile(r"[A-Za-z0-9_-]{16,64}")


class EntryPage(PlainPage):
    """GET /join: type the code."""

    async def get(self) -> None:
        """The form, or the way on from it."""
        from pvsim.store.room import read_code  # loads the store's packages

        typed = self.request.query_arguments.get("code", [b""])[-1].decode("utf-8", "replace")
        code = read_code(typed)
        if code is not None:
            self.redirect(f"/join/{code}")
            return
        with speaking(self.speaks):
            wrong = _("“{code}” is no code of a class.").format(code=typed[:12]) if typed.strip() else ""
            self.show("entry.html", words=entry_words(), wrong=wrong)


class PhonePage(PlainPage):
    """GET /join/CODE: answer."""

    async def get(self, typed: str) -> None:
        """The page of an open class; for any other code the form that asks for one."""
        with speaking(self.speaks):
            try:
                state = await self.find(typed)
            except Busy:
                self.set_status(429)
                self.set_header("Refresh", str(AGAIN_s))
                wrong = _(
                    "Many wrong codes come from your network just now. This page tries again by itself."
                )
                self.show("entry.html", words=entry_words(), wrong=wrong)
                return
            except StoreError:
                self.set_status(503)
                wrong = _("The class cannot be reached just now. Please try again in a moment.")
                self.show("entry.html", words=entry_words(), wrong=wrong)
                return
            if state is None:
                wrong = _("No class has the code “{code}” just now.").format(code=typed[:12])
                self.show("entry.html", words=entry_words(), wrong=wrong)
                return
            self.show("phone.html", words=phone_words(), code=state.code, title=state.title)


class PhoneSocket(PlainSocket):
    """The socket of a phone: it hears what is asked, and answers."""

    voter = ""

    async def open(self, typed: str) -> None:
        """Let the phone in, if its class is open."""
        self._bucket, self._beyond = Bucket(AT_ONCE, RATE_1_s), 0
        self._state: RoomState | None = None
        self._told: dict[str, Any] | None = None
        state = await self.come_in(typed)
        if state is not None:
            self.set_nodelay(True)
            self.listen(state)

    @property
    def greeted(self) -> bool:
        """Whether it has said whose answers these are."""
        return bool(self.voter)

    def refuse_code(self) -> None:
        """As a class that is over."""
        self.say({"room": phone_view(None)})

    async def on_message(self, message: str | bytes) -> None:
        """Take an answer, or greet; anything else is nothing."""
        if self.ending:
            return
        if not self._bucket.take():
            self._beyond += 1
            if self._beyond > PATIENCE:
                self.close(1008, "flood")
            return
        asked = read_message(message)
        voter = asked.get("voter")
        if asked.get("do") == "hello" and isinstance(voter, str) and VOTER.fullmatch(voter):
            await self._greet(voter)
        elif asked.get("do") == "answer" and self.voter:
            await self._answer(asked)

    async def _greet(self, voter: str) -> None:
        """Know the phone, and say what it has answered before a gap. One connection has one voter."""
        if self.voter not in ("", voter):
            self.close(1008, "voter")
            return
        self.voter = voter
        state = self._state
        if state is None or state.poll is None:
            return
        try:
            poll, number = state.poll, state.round
            value = await self.hub.call(lambda store: store.given_by(poll, number, voter))
        except StoreError:
            value = None  # the phone knows itself what it has sent
        if value is not None:
            self.say({"known": {"poll": poll, "round": number, "value": value}})

    async def _answer(self, asked: dict[str, Any]) -> None:
        """Keep an answer, and only then say so."""
        from pvsim.store import Given

        poll, number, value = asked.get("poll"), asked.get("round"), asked.get("value")
        about = {"poll": poll, "round": number} if _is_small(poll) and _is_small(number) else {}
        state = self._state
        with speaking(self.speaks):
            now = {"poll": state.poll, "round": state.round} if state and state.asking else None
            if state is None or state.sheet is None or about != now:
                self.say({"refused": about, "why": outcome_words("closed")})
                return
            try:
                read = _read(state.sheet, value)
            except LessonError as error:
                why = f"{error.wrong[:1].upper()}{error.wrong[1:]}. {error.mend}."
                self.say({"refused": about, "why": why})
                return
            if not self.gate.vote(self.code, self.address, self.voter):
                self.say({"refused": about, "why": outcome_words("full")})
                return
            given = Given(**about, voter=self.voter, value=read)
            try:
                outcome = await self.hub.answer(self.code, given)
            except StoreError as error:
                self.hub.tell(self.code, error)  # the lecturer hears of it
                self.say({"refused": about, "why": outcome_words("store"), "again": True})
                return
            if outcome == "kept":
                self.say({"kept": {**about, "value": read}})
            else:
                self.say({"refused": about, "why": outcome_words(outcome)})

    def hear(self, news: RoomState | StoreError | None) -> None:
        """Tell the phone what it does not know yet."""
        if isinstance(news, StoreError):
            return  # told where it stands in the way of an answer
        self._state = news
        view = phone_view(news)
        if view != self._told:
            self._told = view
            self.say({"room": view})


def phone_view(state: RoomState | None) -> dict[str, Any]:
    """What a phone shows of a room.

    Parameters
    ----------
    state : RoomState or None
    """
    if state is None or not state.open:
        return {"open": False, "poll": None}
    poll = None
    if state.sheet is not None and state.round:
        poll = {
            "id": state.poll,
            "round": state.round,
            "asking": state.asking,
            "kind": state.sheet["kind"],
            "question": state.sheet["question"],
            "choices": state.sheet["choices"],
            "unit": _unit(state.sheet).symbol,
        }
        if not state.sheet["lesson"]:  # nothing to foresee: what is to be done next
            poll["vote"] = True
    return {"open": True, "poll": poll}


def _unit(sheet: dict[str, Any]) -> Any:
    return UNITS.get(sheet["unit"], UNITS["plain"])


def _read(sheet: dict[str, Any], value: object) -> float:
    """The value of an answer; what the store finds wrong is left to it.

    Raises
    ------
    LessonError
        If a typed number cannot be read.
    """
    if sheet["kind"] == "number":
        return read_number(value if isinstance(value, str) else "", _unit(sheet))
    return value if _is_small(value) else -1  # type: ignore[return-value]


def _is_small(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**31
