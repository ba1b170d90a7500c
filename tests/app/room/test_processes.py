"""Real server processes: killed in the middle of a poll, and two of them for one class."""

from __future__ import annotations

import asyncio
import json
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import pytest
from tornado.websocket import WebSocketClosedError, websocket_connect

from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from tests.loop import run_async
from tests.store.conftest import CHOICE

from .conftest import VOTER, Phone  # isort: skip
from .test_classroom import until  # isort: skip
from tests.patience import PATIENCE_s

PHONES = 12


@contextmanager
def server(store_url, *more) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A process of `pvsim serve`, and where its web sockets are."""
    command = [sys.executable, "-m", "pvsim", "serve", "--no-browser", "--port", "0", "--store", store_url]
    process = subprocess.Popen([*command, *more], stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        found = re.search(r"http(://\S+)", process.stdout.readline())
        assert found is not None
        yield process, f"ws{found[1]}"
    finally:
        process.kill()
        process.communicate(timeout=PATIENCE_s)


async def join(url, code, number) -> Phone:
    """A phone that has said hello and was asked."""
    phone = Phone(await websocket_connect(f"{url}join/{code}/socket"))
    await phone.say({"do": "hello", "voter": VOTER.format(number)})
    return phone


async def leave(phones) -> None:
    """Close all connections."""
    for phone in phones:
        phone.socket.close()
        await phone.closed()
    await asyncio.sleep(0.05)


async def change_mind(phone, about, said, acknowledged) -> None:
    """Answer again and again until the connection breaks."""
    for number in count():
        value = number % 3
        said.append(value)
        try:
            await phone.say({"do": "answer", **about, "value": value})
            kept = None
            while kept is None:
                text = await phone.socket.read_message()
                if text is None:
                    phone.gone = True
                    return
                kept = json.loads(text).get("kept")
        except WebSocketClosedError:
            phone.gone = True
            return
        acknowledged.append(len(said) - 1)
        await asyncio.sleep(0.3)  # within what one phone may say


def test_two_servers_hold_one_class_and_one_that_is_killed_amid_a_poll_loses_no_answer_it_acknowledged(
    store_url,
):
    hub = Hub(store_url)
    with server(store_url) as (process, one):
        with server(store_url) as (_, other):
            run_async(held_by_two(hub, (one, other)))
        killed_amid_a_poll(hub, store_url, process, one)
    hub.close()


async def held_by_two(hub, urls):
    """Two rounds of a question, asked and answered through two servers by turns."""
    room = Classroom(hub)
    room.open("Evening class")
    phones = [await join(urls[number % 2], room.code, number) for number in range(PHONES)]
    room.ask(CHOICE)
    polls = [await phone.hear_poll() for phone in phones]
    assert {poll["id"] for poll in polls} == {room.poll}

    async def answer(number, phone, round):
        await phone.say({"do": "answer", "poll": room.poll, "round": round, "value": number % 3})
        await phone.hear("kept")

    await asyncio.gather(*(answer(number, phone, 1) for number, phone in enumerate(phones)))
    await until(lambda: room.count == PHONES)
    assert room.tally().rounds[0].counts == (4, 4, 4)
    room.stop()
    for phone in phones:
        await phone.hear_poll(asking=False)
    room.again()
    for phone in phones:
        assert (await phone.hear_poll())["round"] == 2
    await asyncio.gather(*(answer(0, phone, 2) for phone in phones))
    await until(lambda: room.tally().rounds[1].counts == (PHONES, 0, 0))
    room.close()
    for phone in phones:
        assert not (await phone.hear("room"))["open"]
    await leave(phones)


def killed_amid_a_poll(hub, store_url, process, url):
    """Nothing that a server said it had kept is lost with it; one started anew goes on."""
    room = Classroom(hub)
    room.open("Evening class")
    room.ask(CHOICE)
    about = {"poll": room.poll, "round": 1}
    said = [[] for _ in range(PHONES)]
    acknowledged = [[] for _ in range(PHONES)]

    async def lesson():
        phones = [await join(url, room.code, number) for number in range(PHONES)]
        tasks = [
            asyncio.create_task(change_mind(phone, about, *lists))
            for phone, *lists in zip(phones, said, acknowledged, strict=True)
        ]
        await until(lambda: sum(map(len, acknowledged)) > 4 * PHONES, 60)
        process.send_signal(signal.SIGKILL)
        await asyncio.wait_for(asyncio.gather(*tasks), 30)
        await leave(phones)

    run_async(lesson())
    store = hub.store()
    for number in range(PHONES):
        kept = store.given_by(room.poll, 1, VOTER.format(number))
        assert acknowledged[number]
        # The last one acknowledged, or one that was sent after it and whose word did not come back.
        assert kept in said[number][acknowledged[number][-1] :]
    assert store.tally(room.poll).rounds[0].phones == PHONES

    async def go_on(url):  # with a server started anew
        phones = [await join(url, room.code, number) for number in range(PHONES)]
        for number, phone in enumerate(phones):
            assert (await phone.hear("known"))["value"] == store.given_by(room.poll, 1, VOTER.format(number))
            await phone.say({"do": "answer", **about, "value": 1})
            await phone.hear("kept")
        await leave(phones)

    with server(store_url) as (_, url):
        run_async(go_on(url))
    assert store.tally(room.poll).rounds[0].counts == (0, PHONES, 0)


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are looked for in /proc")
def test_processes_that_share_a_port_serve_one_class_and_end_with_the_first(tmp_path):
    store_url = f"sqlite:///{tmp_path / 'classes.sqlite'}"
    hub = Hub(store_url)

    async def lesson(url):
        room = Classroom(hub)
        room.open("Evening class")
        room.ask(CHOICE)
        phones = [await join(url, room.code, number) for number in range(PHONES)]
        for phone in phones:
            await phone.hear_poll()
            await phone.say({"do": "answer", "poll": room.poll, "round": 1, "value": 1})
            await phone.hear("kept")
        await until(lambda: room.count == PHONES)
        await leave(phones)
        room.close()

    with server(store_url, "--processes", "2") as (process, url):
        run_async(lesson(url))
        children = children_of(process.pid)
        assert len(children) == 2
    end = time.monotonic() + PATIENCE_s
    while any(map(is_alive, children)):
        assert time.monotonic() < end, "a process serves on without the one that started it"
        time.sleep(0.1)
    hub.close()


def children_of(parent):
    """Processes that a process has started."""
    found = {int(path.parent.name): stat_of(path) for path in Path("/proc").glob("[0-9]*/stat")}
    return [pid for pid, (_, ppid) in found.items() if ppid == parent]


def is_alive(pid):
    """Whether a process works, or has not been cleared away."""
    return stat_of(Path(f"/proc/{pid}/stat"))[0] not in ("", "Z")


def stat_of(path):
    """State of a process, and who started it; nothing of one that is gone."""
    try:
        state, parent = path.read_text(encoding="utf-8").rpartition(")")[2].split()[:2]
    except OSError:
        return "", 0
    return state, int(parent)
