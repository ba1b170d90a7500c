"""The notes window: shown to the holder of the key alone."""

from __future__ import annotations

import asyncio
import json

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from pvsim.app.room.notes import TEXTS, notes_view
from tests.loop import run_async
from tests.store.conftest import CHOICE

from .conftest import Phone  # isort: skip
from .test_phone import read  # isort: skip

SCENE = {
    "lesson": "The cell that eats power",
    "step": "Shade one cell",
    "moment": "ask",
    "notes": "<p>Let them <strong>vote</strong> first.</p>",
    "next": "Do it",
    "next_notes": "<p>Slowly.</p>",
    "started": 1_700_000_000.0,
    "planned_minutes": 45,
    "open": True,
    "answers": 0,
}


def peep(taught, lesson, code=None):
    """Run a lesson that is given a socket of the notes window."""

    async def run():
        url = f"{taught.url.replace('http', 'ws', 1)}notes/{code or taught.get('code')}/socket"
        window = Phone(await websocket_connect(HTTPRequest(url)))
        try:
            return await lesson(window)
        finally:
            window.socket.close()
            await window.closed()
            await asyncio.sleep(0.05)

    return run_async(run())


def test_the_scene_and_the_count_of_answers_are_shown_as_they_change(taught):
    taught.do("show", SCENE)
    taught.do("ask", CHOICE)

    async def lesson(window):
        await window.say({"do": "hello", "key": taught.get("key")})
        view = await window.hear("notes")
        assert {key: view[key] for key in ("step", "notes", "next", "answers")} == {
            "step": "Shade one cell",
            "notes": SCENE["notes"],
            "next": "Do it",
            "answers": 0,
        }
        taught.hub.store().answer(taught.get("poll"), 1, "a", 0)
        assert (await window.hear("notes"))["answers"] == 1
        await asyncio.to_thread(taught.do, "show", SCENE | {"step": "Another"})
        assert (await window.hear("notes"))["step"] == "Another"
        await asyncio.to_thread(taught.do, "close")
        assert await window.hear("notes") == {"open": False}

    peep(taught, lesson)


@pytest.mark.parametrize("key", ["", "guessed", "x" * 1000, None, 7, ["x"], "' OR 1=1 --"])
def test_nothing_is_shown_without_the_key(taught, key):
    taught.do("show", SCENE)

    async def lesson(window):
        await window.say({"do": "hello", "key": key})
        await window.say({"do": "hello", "key": "wrong"})
        await window.hear("refused")
        await asyncio.to_thread(taught.do, "show", SCENE | {"step": "Another"})
        with pytest.raises(TimeoutError):
            await window.hear("notes", seconds=0.8)
        assert "Shade" not in json.dumps(window.heard)

    peep(taught, lesson)


def test_the_key_of_another_class_opens_nothing(taught):
    other = taught.hub.store().open_room("Another")

    async def lesson(window):
        await window.say({"do": "hello", "key": other.key})
        assert await window.hear("refused")

    peep(taught, lesson)


def test_keys_cannot_be_tried_at_length(taught):
    async def lesson(window):
        for number in range(20):
            await window.say({"do": "hello", "key": f"guess {number}"})
        assert await window.closed()
        assert window.socket.close_code == 1008

    peep(taught, lesson)


def test_the_page_holds_neither_key_nor_notes_and_sets_no_cookie(taught):
    taught.do("show", SCENE)
    text, headers = read(f"{taught.url}notes/{taught.get('code')}")
    assert taught.get("key") not in text
    assert "vote" not in text
    assert headers["Set-Cookie"] is None
    assert "default-src 'none'" in headers["Content-Security-Policy"]


ODD = [
    {},
    {"step": 7, "notes": None, "started": "now", "planned_minutes": True},
    {"next": ["x"], "open": False, "answers": "many"},
]


@pytest.mark.parametrize("scene", ODD)
def test_a_scene_with_parts_missing_or_odd_is_shown_without_them(taught, scene):
    taught.do("show", scene)
    view = notes_view(taught.hub.store().look(taught.get("code")))
    assert view["open"]
    assert all(isinstance(view[key], str) for key in TEXTS)
    assert view["started"] is None
    assert view["planned_minutes"] is None
    assert view["answers"] == 0


def test_answers_counted_by_the_lecture_itself_are_shown_while_no_phone_was_asked(taught):
    taught.do("show", {"answers": 12})
    assert notes_view(taught.hub.store().look(taught.get("code")))["answers"] == 12
    taught.do("ask", CHOICE)
    assert notes_view(taught.hub.store().look(taught.get("code")))["answers"] == 0
    taught.do("set_hands", [1, 2])
    assert notes_view(taught.hub.store().look(taught.get("code")))["answers"] == 3
