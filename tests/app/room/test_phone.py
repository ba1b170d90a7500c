"""Phones: what they are told, and that nothing odd which one sends disturbs the others."""

from __future__ import annotations

import asyncio
import gc
import time
import urllib.error
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from urllib.parse import quote

import pytest
from tornado.httpclient import HTTPClientError
from tornado.websocket import WebSocketClosedError, websocket_connect

from pvsim.app.door.admission import MOST_WAITING, WAIT_s, WRONG_1_s
from pvsim.app.room.hub import Hub
from pvsim.app.room.phone import PATIENCE, PhoneSocket
from pvsim.app.room.plain_page import MAX_MESSAGE
from pvsim.errors import StoreError
from pvsim.store.room import ALPHABET
from tests.store.conftest import CHOICE, NUMBER

from .conftest import VOTER, Class, meet  # isort: skip
from tests.patience import PATIENCE_s


@pytest.fixture(scope="module")
def open_house(tmp_path_factory):
    """A server for one class after the other."""
    served = Class(Hub(f"sqlite:///{tmp_path_factory.mktemp('house') / 'classes.sqlite'}"))
    yield served
    served.stop()


@pytest.fixture
def evening(open_house):
    """A new class, on a server that has had others; for tests that leave the server as it was."""
    open_house.do("open", "Evening class")
    yield open_house
    open_house.do("close")


def read(url, **headers):
    """Body and headers of an answer, whatever its status."""
    request = urllib.request.Request(url, headers={"Accept-Language": "en"} | headers)
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_s) as answer:
            return answer.read().decode("utf-8"), answer.headers
    except urllib.error.HTTPError as error:
        with error:
            return error.read().decode("utf-8"), error.headers


def test_a_class_answers_twice_on_phones(evening):
    async def lesson(join):
        phones = [await join(one) for one in range(3)]
        await asyncio.to_thread(evening.do, "ask", CHOICE)
        for phone, value in zip(phones, (0, 0, 1), strict=True):
            poll = await phone.hear_poll()
            assert poll["choices"] == CHOICE["choices"]
            about = {"poll": poll["id"], "round": 1}
            await phone.say({"do": "answer", **about, "value": value})
            assert await phone.hear("kept") == {**about, "value": value}
        await asyncio.to_thread(evening.do, "stop")
        for phone in phones:
            await phone.hear_poll(asking=False)
        await asyncio.to_thread(evening.do, "again")
        for phone in phones:
            poll = await phone.hear_poll()
            assert poll["round"] == 2
            await phone.say({"do": "answer", "poll": poll["id"], "round": 2, "value": 1})
            await phone.hear("kept")
        await asyncio.to_thread(evening.do, "close")
        for phone in phones:
            assert (await phone.hear("room")) == {"open": False, "poll": None}

    meet(evening, lesson)
    tally = evening.hub.store().look(evening.get("code")).tally
    assert [one.counts for one in tally.rounds] == [(2, 1, 0), (0, 3, 0)]


@pytest.mark.parametrize(
    ("typed", "value"),
    [("0.6", 0.6), ("0,6 V", 0.6), ("−600 mV", -0.6), ("  12 ", 12.0), (",5", 0.5), ("1e1", 10.0)],
)
def test_a_number_may_be_typed_with_either_decimal_mark_and_its_unit(evening, typed, value):
    evening.do("ask", NUMBER)

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        assert poll["unit"] == "V"
        await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": typed})
        assert (await phone.hear("kept"))["value"] == pytest.approx(value)

    meet(evening, lesson)


@pytest.mark.parametrize("typed", ["", "many", "1,234", "5 A", "nan", "1e999", "1" * 60, 7, None, ["1"]])
def test_what_is_no_number_is_refused_with_a_reason(evening, typed):
    evening.do("ask", NUMBER)

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": typed})
        assert await phone.hear("refused") == {"poll": poll["id"], "round": 1}
        assert len(phone.heard[-1]["why"]) > 20

    meet(evening, lesson)
    assert evening.hub.store().tally(evening.get("poll")).rounds[0].phones == 0


def test_a_phone_that_comes_back_is_told_what_it_had_answered(evening):
    evening.do("ask", CHOICE)

    async def lesson(join):
        phone = await join(5)
        poll = await phone.hear_poll()
        about = {"poll": poll["id"], "round": 1}
        await phone.say({"do": "answer", **about, "value": 2})
        await phone.hear("kept")
        phone.socket.close()
        again = await join(5)
        assert await again.hear("known") == {**about, "value": 2}
        await again.say({"do": "answer", **about, "value": 1})  # and may change its mind
        await again.hear("kept")
        other = await join(6)
        await other.hear_poll()
        await other.say({"do": "answer", **about, "value": 0})
        await other.hear("kept")
        assert not any("known" in one for one in other.heard)

    meet(evening, lesson)
    assert evening.hub.store().tally(evening.get("poll")).rounds[0].counts == (1, 1, 0)


ODD = [
    "",
    "{",
    "null",
    "[]",
    "[" * 2000,
    '{"do":' * 300,
    b"\x00\xff",
    {"do": "hello"},
    {"do": "hello", "voter": 7},
    {"do": "hello", "voter": "short"},
    {"do": "hello", "voter": "'; DROP TABLE pvsim_answers; --"},
    {"do": "close"},
    {"do": ["answer"]},
    {"do": "answer"},
    {"do": "answer", "poll": "1", "round": 1, "value": 0},
    {"do": "answer", "poll": True, "round": True, "value": 0},
    {"do": "answer", "poll": 10**40, "round": 1, "value": 0},
    {"do": "answer", "poll": -1, "round": 1, "value": 0},
    {"do": "answer", "poll": 999, "round": 1, "value": 0},
    {"do": "answer", "poll": {"id": 1}, "round": [], "value": 0},
]
WRONG = [3, -1, 1.5, True, "0", None, [0], {"a": 1}, 10**40, "<script>alert(1)</script>", "' OR 1=1 --"]


@pytest.mark.parametrize("odd", ODD, ids=lambda one: str(one)[:24])
def test_an_odd_message_does_nothing_and_the_phone_may_still_answer(evening, odd):
    evening.do("ask", CHOICE)

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        await phone.say(odd)
        await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": 2})
        assert (await phone.hear("kept"))["value"] == 2

    meet(evening, lesson)
    assert evening.hub.store().tally(evening.get("poll")).rounds[0].counts == (0, 0, 1)


@pytest.mark.parametrize("value", WRONG, ids=str)
def test_a_value_that_is_no_choice_is_refused_in_words(evening, value):
    evening.do("ask", CHOICE)

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": value})
        await phone.hear("refused")
        assert phone.heard[-1]["why"] == "This is no answer to this question."

    meet(evening, lesson)
    assert evening.hub.store().tally(evening.get("poll")).rounds[0].phones == 0


def test_an_answer_before_hello_or_after_the_round_counts_for_nothing(evening):
    evening.do("ask", CHOICE)
    poll = evening.get("poll")

    async def lesson(join):
        phone = await join()
        await phone.hear_poll()
        await asyncio.to_thread(evening.do, "stop")
        await phone.say({"do": "answer", "poll": poll, "round": 1, "value": 0})
        await phone.hear("refused")
        assert phone.heard[-1]["why"] == "This round was closed before the answer arrived."
        await phone.say({"do": "answer", "poll": poll, "round": 2, "value": 0})
        await phone.hear("refused")

    meet(evening, lesson)
    assert evening.hub.store().tally(poll).rounds[0].phones == 0


def test_a_phone_of_one_class_cannot_answer_in_another(evening):
    evening.do("ask", CHOICE)
    poll = evening.get("poll")
    other = evening.hub.store().open_room("Another class").code

    async def lesson(join):
        phone = await join(code=other)
        await phone.hear("room")
        await phone.say({"do": "answer", "poll": poll, "round": 1, "value": 0})
        await phone.hear("refused")

    meet(evening, lesson)
    assert evening.hub.store().tally(poll).rounds[0].phones == 0


def test_a_giant_message_ends_that_connection_alone(taught):
    taught.do("ask", CHOICE)

    async def lesson(join):
        giant, calm = [await join(one) for one in range(2)]
        poll = await calm.hear_poll()
        await giant.say({"do": "answer", "value": "x" * 10 * MAX_MESSAGE})
        assert await giant.closed()
        await calm.say({"do": "answer", "poll": poll["id"], "round": 1, "value": 0})
        await calm.hear("kept")

    meet(taught, lesson)


def test_a_flood_is_let_through_slowly_and_then_cut_off_while_others_are_answered_at_once(taught):
    taught.do("ask", CHOICE)
    store, writes = taught.hub.store(), []
    usual = store.answer_all
    store.answer_all = lambda given: writes.append(len(given)) or usual(given)

    async def lesson(join):
        flood, calm = [await join(one) for one in range(2)]
        poll = await calm.hear_poll()
        about = {"do": "answer", "poll": poll["id"], "round": 1}
        for number in range(PATIENCE + 100):
            await flood.say({**about, "value": number % 3})
        begin = asyncio.get_running_loop().time()
        await calm.say({**about, "value": 2})
        await calm.hear("kept")
        assert asyncio.get_running_loop().time() - begin < 2.0
        assert await flood.closed()

    meet(taught, lesson)
    assert sum(writes) < 60
    assert store.tally(taught.get("poll")).rounds[0].phones == 2


def test_one_machine_with_ever_new_voters_cannot_fill_the_class(taught, monkeypatch):
    monkeypatch.setattr("pvsim.app.door.admission.MAX_VOTERS_FROM_ADDRESS", 3)
    taught.do("ask", CHOICE)

    async def lesson(join):
        answers = []
        for number in range(5):
            phone = await join(number)
            poll = await phone.hear_poll()
            await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": 0})
            await phone.hear("kept", "refused")
            answers.append("kept" in phone.heard[-1])
        return answers

    assert meet(taught, lesson) == [True, True, True, False, False]


def test_only_so_many_connections_are_let_in_and_one_that_leaves_makes_room(taught, monkeypatch):
    monkeypatch.setattr("pvsim.app.door.admission.MAX_IN_ROOM", 2)

    async def lesson(join):
        phones = [await join(one) for one in range(2)]
        for phone in phones:
            await phone.hear("room")  # both are in, before a third asks
        assert await (await join(2)).closed()
        phones[0].socket.close()
        await asyncio.sleep(0.3)
        late = await join(3)
        await late.hear("room")

    meet(taught, lesson)


def test_one_connection_has_one_voter(evening):
    evening.do("ask", CHOICE)

    async def lesson(join):
        phone = await join(0)
        poll = await phone.hear_poll()
        about = {"do": "answer", "poll": poll["id"], "round": 1}
        await phone.say({**about, "value": 0})
        await phone.hear("kept")
        await phone.say({"do": "hello", "voter": VOTER.format(0)})  # the same once more does no harm
        with suppress(WebSocketClosedError):  # before all of it is said
            for number in range(1, 21):
                await phone.say({"do": "hello", "voter": VOTER.format(number)})
                await phone.say({**about, "value": 1})
        assert await phone.closed()
        assert phone.socket.close_code == 1008

    meet(evening, lesson)
    assert evening.hub.store().tally(evening.get("poll")).rounds[0].counts == (1, 0, 0)


def test_sockets_to_codes_of_no_class_take_nobody_s_place(taught, monkeypatch):
    monkeypatch.setattr("pvsim.app.door.admission.MAX_FROM_ADDRESS", 5)
    monkeypatch.setattr("pvsim.app.door.admission.WAIT_s", 0.5)
    address = taught.url.replace("http", "ws", 1)

    async def lesson(join):
        strangers = []
        for kind in ("join", "notes"):
            for number in range(150):
                code = f"AA{ALPHABET[number % 23]}{ALPHABET[number // 23]}A"
                if code != taught.get("code"):
                    strangers.append(await websocket_connect(f"{address}{kind}/{code}/socket"))
        # They stay there, silent; the class comes in all the same, the first held back a moment at most.
        for number in range(5):
            while True:
                phone = await join(number)
                await asyncio.wait({asyncio.ensure_future(phone.told())})
                if not phone.gone:
                    break
            assert phone.heard[0]["room"]["open"]
        for socket in strangers:
            assert await end_of(socket) in (1008, 1013)

    meet(taught, lesson)


def test_codes_are_tried_slowly_and_the_class_gets_in_meanwhile(taught, monkeypatch):
    monkeypatch.setattr("pvsim.app.door.admission.WRONG_AT_ONCE", 20)
    wrong = [f"AA{one}{two}A" for one in ALPHABET[:8] for two in ALPHABET]
    wrong = [code for code in wrong if code != taught.get("code")]

    async def lesson(join):
        assert (await (await join()).hear("room"))["open"]  # somebody of the class is in
        begin = time.monotonic()
        loop, urls = asyncio.get_running_loop(), [f"{taught.url}join/{code}" for code in wrong]
        trying = asyncio.gather(*(loop.run_in_executor(strangers, ask, url) for url in urls))
        for number in range(1, 6):
            assert (await (await join(number)).hear("room"))["open"]
        statuses = await trying
        return statuses, time.monotonic() - begin

    with ThreadPoolExecutor(30) as strangers:
        statuses, seconds = meet(taught, lesson)
    looked_up = statuses.count(200)
    assert set(statuses) == {200, 429}
    assert looked_up <= 20 + (WRONG_1_s + MOST_WAITING / WAIT_s) * (seconds + WAIT_s)
    assert taught.hub.gate.crowd(taught.get("code")).wrong == looked_up
    text, _headers = read(f"{taught.url}join/{taught.get('code')}")
    assert f'data-code="{taught.get("code")}"' in text


async def end_of(socket):
    """With which code the server ended a connection."""
    while await socket.read_message() is not None:
        pass
    socket.close()
    return socket.close_code


def ask(url):
    try:
        with urllib.request.urlopen(url, timeout=PATIENCE_s) as answer:
            return answer.status
    except urllib.error.HTTPError as error:
        with error:
            assert error.headers["Refresh"]
            assert "tries again by itself" in error.read().decode()
            return error.code


def test_a_phone_that_has_left_is_let_go_of(taught, monkeypatch):
    # Until then nothing may hold it.
    monkeypatch.setattr("pvsim.app.room.plain_page.HELLO_s", 10 * PATIENCE_s)

    async def lesson(join):
        for number in range(3):
            await (await join(number)).hear("room")

    def count():
        gc.collect()
        return sum(isinstance(one, PhoneSocket) for one in gc.get_objects())

    before = count()
    meet(taught, lesson)
    end = time.monotonic() + PATIENCE_s
    while taught.call(count) > before:
        assert time.monotonic() < end
        time.sleep(0.1)


@pytest.mark.parametrize("kind", ["join", "notes"])
def test_who_says_nothing_has_to_go(taught, monkeypatch, kind):
    monkeypatch.setattr("pvsim.app.room.plain_page.HELLO_s", 0.1)

    async def lesson(join):
        address = f"{taught.url.replace('http', 'ws', 1)}{kind}/{taught.get('code')}/socket"
        socket = await websocket_connect(address)
        assert await end_of(socket) == 1008
        phone = await join()  # who has said who it is may stay
        await phone.hear("room")
        await asyncio.sleep(0.5)
        await asyncio.to_thread(taught.do, "ask", CHOICE)
        await phone.hear_poll()

    meet(taught, lesson)


def test_a_page_of_another_site_gets_no_socket(evening):
    async def lesson(join):
        phone = await join(Origin=evening.url.rstrip("/"))
        assert (await phone.hear("room"))["open"]
        for origin in ("http://elsewhere.example", "http://127.0.0.1:1", "null"):
            with pytest.raises(HTTPClientError, match="403"):
                await join(Origin=origin)

    meet(evening, lesson)


CODES = ["AAAAA", "x", "%00", "' OR 1=1 --", "<script>alert(1)</script>", "..%2f..", "ÄÖÜ"]


@pytest.mark.parametrize("code", CODES)
def test_an_unknown_code_leads_to_the_form_and_shows_nothing_unescaped(taught, code):
    text, _ = read(f"{taught.url}join/{quote(code, safe='%')}")
    assert "Code of the class" in text or "404" in text
    assert "<script>alert" not in text

    async def lesson(join):
        phone = await join(code=quote(code, safe="%"))
        assert await phone.hear("room") == {"open": False, "poll": None}
        assert await phone.closed()
        assert phone.socket.close_code == 1008

    if "%2f" not in code:
        meet(taught, lesson)


@pytest.mark.parametrize("query", ["lang=%ff", "code=%ff", "lang=..%2F..&code=%00", "lang=de&lang=%3Cb%3E"])
def test_a_broken_address_leads_to_the_form_all_the_same(taught, query):
    text, _ = read(f"{taught.url}join?{query}")
    assert "Code of the class" in text


def test_the_pages_set_no_cookie_and_load_nothing_from_elsewhere(evening):
    for path in ("join", f"join/{evening.get('code')}", "join/AAAAA"):
        text, headers = read(evening.url + path)
        assert headers["Set-Cookie"] is None
        assert headers["Content-Security-Policy"].startswith("default-src 'none'; script-src 'self'")
        assert headers["Cache-Control"] == "no-store"
        assert "http:" not in text
        assert "https:" not in text
        assert len(text) < 6000


def test_a_typed_code_leads_to_its_page_in_whatever_case_and_spacing(evening):
    code = evening.get("code")
    typed = f"{code[:2].lower()}+{code[2:].lower()}"
    text, _ = read(f"{evening.url}join?code={typed}")
    assert f'data-code="{code}"' in text


def test_the_phone_speaks_what_its_browser_likes(evening):
    for language in ("en", "de"):
        text, _ = read(f"{evening.url}join/{evening.get('code')}", **{"Accept-Language": f"{language}-AT"})
        assert f'<html lang="{language}">' in text


def test_a_title_of_markup_is_shown_as_it_is(evening):
    evening.do("open", "<img src=x onerror=alert(1)>")
    text, _ = read(f"{evening.url}join/{evening.get('code')}")
    assert "<img" not in text
    assert "&lt;img" in text


def test_looking_for_codes_makes_no_store(tmp_path):
    from tests.app.conftest import Served

    file = tmp_path / "none.sqlite"
    served = Served(hub=Hub(f"sqlite:///{file}"))
    try:
        for path in ("join", "join/AAAAA"):
            assert "Code of the class" in read(served.url + path)[0]
        assert not file.exists()
    finally:
        served.stop()


def test_an_answer_the_store_cannot_take_is_sent_again_and_the_lecturer_hears_why(taught, monkeypatch):
    taught.do("ask", CHOICE)
    store = taught.hub.store()
    usual = store.answer_all

    def full(given):
        raise StoreError("the store x cannot be written: its disk is full", expected="room", mend="Make room")

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        about = {"poll": poll["id"], "round": 1}
        monkeypatch.setattr(store, "answer_all", full)
        await phone.say({"do": "answer", **about, "value": 1})
        assert await phone.hear("refused") == about
        assert phone.heard[-1]["again"]
        assert "could not be kept yet" in phone.heard[-1]["why"]
        assert "disk is full" in await asyncio.to_thread(taught.get, "trouble")
        monkeypatch.setattr(store, "answer_all", usual)
        await phone.say({"do": "answer", **about, "value": 1})
        await phone.hear("kept")
        while await asyncio.to_thread(taught.get, "trouble"):
            await asyncio.sleep(0.05)

    meet(taught, lesson)
    assert store.tally(taught.get("poll")).rounds[0].counts == (0, 1, 0)


def test_whatever_else_breaks_while_an_answer_is_written_no_phone_waits_for_ever(taught, monkeypatch):
    taught.do("ask", CHOICE)

    def broken(given):
        raise ZeroDivisionError

    async def lesson(join):
        phone = await join()
        poll = await phone.hear_poll()
        monkeypatch.setattr(taught.hub.store(), "answer_all", broken)
        await phone.say({"do": "answer", "poll": poll["id"], "round": 1, "value": 1})
        await phone.hear("refused")
        assert phone.heard[-1]["again"]

    meet(taught, lesson)
