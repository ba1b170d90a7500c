"""The classroom: what a lecturer's session does with its class and hears of it."""

from __future__ import annotations

import asyncio
import gc
import weakref
from contextvars import ContextVar
from pathlib import Path

import pytest
from bokeh.document import Document

from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.errors import StoreError
from pvsim.store import Given, open_store
from tests.loop import run_async
from tests.store.conftest import CHOICE, NUMBER


async def until(holds, seconds=10.0):
    """Let the loop go on until something holds."""
    end = asyncio.get_running_loop().time() + seconds
    while not holds():
        assert asyncio.get_running_loop().time() < end, "it did not come to hold"
        await asyncio.sleep(0.01)


def test_a_class_goes_through_two_rounds(hub):
    room = Classroom(hub)
    told = []
    room.watch(lambda: told.append((room.round, room.asking, room.count)))
    room.open("Evening class")
    assert room.is_open
    assert room.url == f"http://192.0.2.7:5610/join/{room.code}"
    assert room.notes_path == f"/notes/{room.code}#{room.key}"
    room.ask(CHOICE)
    assert hub.store().answer(room.poll, 1, "a", 1) == "kept"
    room.stop()
    room.again()
    assert hub.store().answer(room.poll, 2, "a", 2) == "kept"
    room.set_hands([0, 3, 1])
    assert told == [(0, False, 0), (1, True, 0), (1, False, 1), (2, True, 0), (2, True, 1)]
    first, second = room.tally().rounds
    assert (first.counts, second.counts, second.hands) == ((0, 1, 0), (0, 0, 1), (0, 3, 1))
    room.ask(NUMBER)
    assert (room.round, room.asking, room.count, len(room.tally().rounds)) == (1, True, 0, 1)
    room.close()
    assert not room.is_open
    assert not hub.store().look(room.code).open


def test_no_store_is_made_before_a_class_is_opened(hub, store_file):
    folder = Path(store_file.removeprefix("sqlite:///")).parent
    room = Classroom(hub)
    assert (room.code, room.url, room.count, room.tally(), room.asking) == ("", "", 0, None, False)
    assert run_async(hub.look("AAAAA")) is None
    for act in (room.stop, room.again, lambda: room.ask(CHOICE), lambda: room.show({}), room.close):
        if act != room.close:
            with pytest.raises(StoreError, match="no class is open"):
                act()
        else:
            act()
    assert not folder.exists()
    room.open("")
    assert folder.exists()


def test_a_lecturer_comes_back_with_code_and_key_and_nobody_else_does(hub, store_file):
    room = Classroom(hub)
    room.open("Mine")
    room.ask(CHOICE)
    other = Hub(store_file)
    again = Classroom(other)
    assert not again.enter(room.code, "guessed")
    assert not again.is_open
    assert again.enter(room.code, room.key)
    assert (again.poll, again.round, again.title) == (room.poll, 1, "Mine")
    room.close()
    assert not again.enter(room.code, room.key)
    other.close()


def test_answers_taken_by_another_process_are_heard(hub, store_file):
    elsewhere = open_store(store_file)

    async def lesson():
        room = Classroom(hub)
        room.open("")
        room.ask(CHOICE)
        elsewhere.answer(room.poll, 1, "a", 1)
        await until(lambda: room.count == 1)
        elsewhere.answer(room.poll, 1, "b", 1)
        await until(lambda: room.tally().rounds[0].counts == (0, 2, 0))
        room.close()

    run_async(lesson())
    elsewhere.close()


def test_nothing_is_looked_at_while_nobody_listens(hub):
    async def lesson():
        room = Classroom(hub)
        room.open("")
        assert hub._watch is not None
        room.close()
        await until(hub._watch.done)
        room.open("")  # and it is looked at again
        assert not hub._watch.done()
        room.close()

    run_async(lesson())


def test_trouble_with_the_store_is_told_and_forgotten_when_it_is_over(hub, monkeypatch):
    async def lesson():
        room = Classroom(hub)
        room.open("")
        room.ask(CHOICE)
        usual = hub.store().revisions

        def broken(codes):
            raise StoreError("the store x is locked", expected="no lock", mend="Unlock it")

        monkeypatch.setattr(hub.store(), "revisions", broken)
        await until(lambda: room.trouble)
        assert room.trouble == "the store x is locked; expected no lock. Unlock it."
        assert room.is_open
        monkeypatch.setattr(hub.store(), "revisions", usual)
        await until(lambda: not room.trouble)
        room.close()

    run_async(lesson())


def test_changes_are_told_in_the_session_s_document_and_only_once_for_several(hub):
    class Told(Document):
        def __init__(self):
            super().__init__()
            self.next = []

        def add_next_tick_callback(self, callback):
            self.next.append(callback)

    document = Told()
    room = Classroom(hub, document)
    told = []
    room.watch(lambda: told.append(room.round))
    room.open("")
    room.ask(CHOICE)
    assert told == []
    assert len(document.next) == 1
    document.next.pop()()
    assert told == [1]
    room.stop()
    assert len(document.next) == 1


def test_the_hub_keeps_nothing_of_the_session_that_began_its_work(hub):
    class Session:
        pass

    variable = ContextVar("session")

    async def open_class():
        session = Session()
        variable.set(session)
        room = Classroom(hub)
        room.open("")
        room.ask(CHOICE)
        await hub.answer(room.code, Given(poll=room.poll, round=1, voter="a", value=0))
        room.close()
        return weakref.ref(session)

    async def lesson():
        gone = await asyncio.create_task(open_class())
        await until(lambda: (gc.collect() and False) or gone() is None)

    run_async(lesson())


def test_a_session_that_ends_is_let_go_of_and_the_class_stays_open(hub):
    async def lesson():
        document = Document()
        room = Classroom(hub, document)
        room.open("")
        code, gone = room.code, weakref.ref(room)
        for callback in document.session_destroyed_callbacks:
            callback(None)
        del room, document, callback
        gc.collect()
        assert gone() is None
        assert hub.store().look(code).open

    run_async(lesson())
