"""A hostile client: everything somebody on the class's network may try at the server's door.

Each attack went through before there was a door, or is a neighbour of one that did. All of them knock at one
process of `pvsim serve`, which must go on answering, keep its memory and write no long lines into its log.
"""

from __future__ import annotations

import asyncio
import base64
import gzip
import json
import os
import struct
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tornado.httpclient import HTTPClientError, HTTPRequest
from tornado.websocket import websocket_connect

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from bokeh.util.token import generate_jwt_token, get_session_id

from pvsim.app.server import MESSAGE_BYTES
from pvsim.benchmark.student import data_event
from pvsim.commands.log import LONGEST_LINE
from tests.app.wishes import message as spoken
from tests.loop import run_async

from .stranger import House, Stranger, visit  # isort: skip

pytestmark = pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")

SWELL_MB = 150.0  # what an attack may add to the process: its own message a few times over, and a page


@pytest.fixture(scope="module")
def house(tmp_path_factory) -> Iterator[House]:
    house = House(tmp_path_factory.mktemp("house"))
    try:
        assert house.alive()  # and all that a page needs is in memory
        yield house
        assert house.alive()
    finally:
        house.stop()


@pytest.fixture(autouse=True)
def unharmed(house) -> Iterator[None]:
    """After every attack the server answers, has not swollen, and wrote no long line."""
    before = house.peak_MB()
    yield
    assert house.get("join")[0] == 200
    assert house.peak_MB() - before < SWELL_MB
    assert max(map(len, house.log()), default=0) <= LONGEST_LINE


def png(marker: bytes) -> bytes:
    """A picture of one point that carries a text."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"tEXt", b"Comment\0" + marker)
    return b"\x89PNG\r\n\x1a\n" + body + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")


# Reading files of the machine


def tool(icon: str) -> dict[str, Any]:
    """A model with a property of images, which takes a path and sends what is there."""
    return {
        "type": "object",
        "name": "CustomAction",
        "id": "x1",
        "attributes": {"icon": icon, "description": "x"},
    }


def event(data: Any, name: str = "data_event", model: str = "") -> dict[str, Any]:
    """An event as the protocol writes one."""
    entries = ([["model", {"id": model}]] if model else []) + [["data", data]]
    values = {"type": "map", "entries": entries}
    message = {"type": "event", "name": name, "values": values}
    return {"events": [{"kind": "MessageSent", "msg_type": "bokeh_event", "msg_data": message}]}


def readers(icon: str, roof: str) -> dict[str, tuple[dict[str, Any], str]]:
    """Ways to have the server make such a model: content and kind of a message each."""
    model = tool(icon)
    document = {"doc": {"version": "3.9.2", "title": "x", "roots": [model]}}
    changed = {"kind": "ModelChanged", "model": {"id": roof}}
    return {
        "root": ({"events": [{"kind": "RootAdded", "model": model}]}, "PATCH-DOC"),
        "attribute": ({"events": [changed | {"attr": "tags", "new": [model]}]}, "PATCH-DOC"),
        "known attribute": ({"events": [changed | {"attr": "inner_width", "new": model}]}, "PATCH-DOC"),
        "data": (event(model, model=roof), "PATCH-DOC"),
        "deep in data": (event([[{"type": "map", "entries": [["a", model]]}]], model=roof), "PATCH-DOC"),
        "as the model": (
            {"events": [{"kind": "ModelChanged", "model": model, "attr": "inner_width", "new": 1}]},
            "PATCH-DOC",
        ),
        "push": (document, "PUSH-DOC"),
    }


async def steal(one: Stranger, path: Path) -> dict[str, str]:
    """All that comes back when such a model is made in each way, and the document asked for."""
    roof = (await one.parts())["roof"]
    back = {}
    for way, (content, kind) in readers(str(path), roof).items():
        back[way] = "".join(await one.ask(content, kind))
    return back | {"document": await one.pull()}


@pytest.mark.parametrize("name", ["secret.png", "secret.svg"])
def test_no_file_of_the_machine_comes_back(house, tmp_path, name):
    path = tmp_path / name
    secret = b"the answers of the examination"
    svg = b'<svg xmlns="http://www.w3.org/2000/svg">%s</svg>' % secret
    path.write_bytes(png(secret) if name.endswith("png") else svg)
    whole = base64.b64encode(path.read_bytes()).decode("ascii")
    back = visit(house, lambda one: steal(one, path))
    assert "roots" in back["document"]
    for way, text in back.items():
        assert whole[:40] not in text, way
        assert "answers of the examination" not in text, way
        assert path.name not in text, way


def test_no_terminal_or_pipe_is_opened(house, tmp_path):
    pipe = tmp_path / "pipe.png"
    os.mkfifo(pipe)  # whoever opens it waits for a writer for ever
    for path in (pipe, Path("/dev/tty")):
        assert "roots" in visit(house, lambda one, path=path: steal(one, path))["document"]


# One message that stops the server


def swelling(size: int) -> str:
    """Zeros, packed a thousandfold."""
    return base64.b64encode(gzip.compress(bytes(size), 9)).decode("ascii")


def arrays(roof: str) -> list[dict[str, Any]]:
    """Messages with an array that swells."""
    data = {"type": "bytes", "data": swelling(400_000_000)}
    array = {"type": "ndarray", "array": data, "shape": [50_000_000], "dtype": "float64", "order": "little"}
    typed = {"type": "typed_array", "array": data, "dtype": "float64", "order": "little"}
    changed = {"kind": "ModelChanged", "model": {"id": roof}, "attr": "inner_width"}
    return [
        *(event(one, model=roof) for one in (data, array, typed, [array] * 4)),
        *({"events": [changed | {"new": one}]} for one in (data, array)),
        {
            "events": [
                {
                    "kind": "ColumnDataChanged",
                    "model": {"id": roof},
                    "attr": "data",
                    "data": array,
                    "cols": ["x"],
                }
            ]
        },
        {"events": [{"kind": "RootAdded", "model": array}]},
    ]


def test_a_small_message_does_not_swell_into_gigabytes(house):
    async def swell(one: Stranger) -> list[str]:
        roof = (await one.parts())["roof"]
        return [(await one.ask(content))[0] for content in arrays(roof)]

    assert set(visit(house, swell)) == {"ERROR"}


def test_buffers_beside_a_message_are_not_collected(house):
    async def fill(one: Stranger) -> str:
        head = json.dumps({"msgid": "b", "msgtype": "PATCH-DOC", "num_buffers": 10_000})
        await one.send(head, "{}", '{"events": []}')
        for number in range(300):
            await one.send(json.dumps({"id": f"b{number}"}), bytes(1_000_000))
        return (await one.answer("none"))[0]

    assert visit(house, fill) == "closed"


@pytest.mark.parametrize(
    "content",
    [
        pytest.param("[" * 1_000_000, id="nested"),
        pytest.param('{"a":' * 300_000, id="nested-tables"),
        pytest.param("x" * 2_000_000, id="no-json"),
        pytest.param("[" + "0," * 900_000 + "0]", id="long-list"),
        pytest.param('{"events":[' + "{}," * 600_000 + "{}]}", id="many-events"),
        pytest.param('{"events":[' + "[" * 400 + "]" * 400 + "]}", id="a-little-nested"),
        pytest.param("1" * 1_000_000, id="long-number"),
        pytest.param("\u0000\ud7ff", id="odd-characters"),
        pytest.param("", id="nothing"),
    ],
)
def test_a_message_of_two_megabytes_does_nothing(house, content):
    async def shout(one: Stranger) -> str:
        await one.send('{"msgid": "m", "msgtype": "PATCH-DOC"}', "{}", content)
        return (await one.answer("m"))[0]

    assert visit(house, shout) in ("closed", "ERROR")


@pytest.mark.parametrize("part", [0, 1])
def test_neither_header_nor_metadata_may_be_nested_for_ever(house, part):
    async def shout(one: Stranger) -> str:
        parts = ['{"msgid": "m", "msgtype": "PATCH-DOC"}', "{}", '{"events": []}']
        parts[part] = "[" * 1_000_000
        await one.send(*parts)
        return (await one.answer("m"))[0]

    assert visit(house, shout) == "closed"


def test_a_longer_message_ends_the_connection(house):
    async def shout(one: Stranger) -> str:
        await one.send("x" * (MESSAGE_BYTES + 1))
        return (await one.answer("none"))[0]

    assert visit(house, shout) == "closed"


def test_thousands_of_wishes_are_not_carried_out(house):
    wishes = [{"do": "apply", "place": f"1/{1 + k % 8}/{1 + k % 60}"} for k in range(2600)]
    assert len(json.dumps(wishes)) > 90_000

    async def wish(one: Stranger) -> tuple[str, str]:
        roof = (await one.parts())["roof"]
        answer = await one.ask(data_event(roof, {"number": 1, "wishes": wishes}))
        return answer[0], await one.pull()

    kind, after = visit(house, wish)
    assert kind == "OK"
    assert "That cannot be done." in after


@pytest.mark.parametrize("count", [65, 1000])
def test_many_events_in_one_message_are_refused(house, count):
    async def wish(one: Stranger) -> str:
        part = (await one.parts())["bar"]
        events = data_event(part, spoken("light_preset", "haze"))["events"] * count
        return (await one.ask({"events": events}))[0]

    assert visit(house, wish) == "ERROR"


def test_who_goes_on_sending_nonsense_is_cut_off(house):
    async def babble(one: Stranger) -> list[str]:
        return [(await one.ask({"events": []}))[0] for _ in range(40)]

    kinds = visit(house, babble)
    assert kinds[0] == "ERROR"
    assert kinds[-1] == "closed"


def test_the_document_is_not_handed_out_without_end(house):
    async def pull(one: Stranger) -> list[str]:
        return [(await one.ask({}, "PULL-DOC-REQ"))[0] for _ in range(60)]

    kinds = visit(house, pull)
    assert kinds.count("PULL-DOC-REPLY") < 40
    assert kinds[0] == "PULL-DOC-REPLY"


def test_a_body_of_a_request_is_not_collected(house):
    async def post() -> str:
        reader, writer = await asyncio.open_connection("127.0.0.1", house.port)
        writer.write(b"POST /join HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 90000000\r\n\r\n")
        try:
            for _ in range(90):
                writer.write(bytes(1_000_000))
                await writer.drain()
            return (await reader.read(100)).decode("ascii")
        except OSError:
            return ""
        finally:
            writer.close()

    answer = run_async(post())
    assert "200" not in answer


# Sessions of others


def document_of(house: House, token: str, **headers: str) -> str:
    """What tells one session from another, as a socket with this token gets it."""

    async def look() -> str:
        async with Stranger(house, token, **headers) as one:
            roots = json.loads(await one.pull())["doc"]["roots"]
            (frame,) = (root for root in roots if root["attributes"].get("name") == "frame")
            data = frame["attributes"]["data"]
            return str(data["attributes"]["session"])

    return run_async(look())


def test_a_page_finds_its_own_session_again(house):
    token = house.token()
    assert document_of(house, token) == document_of(house, token)


@pytest.mark.parametrize("place", ["query", "token", "header", "both"])
def test_no_session_is_taken_from_an_address_or_a_header(house, place):
    token = house.token()
    name = get_session_id(token)
    query = {"query": f"?bokeh-session-id={name}", "token": f"?bokeh-token={token}"}.get(place, "")
    headers = {"Bokeh-Session-Id": name} if place in ("header", "both") else {}
    if place == "both":
        query = f"?bokeh-session-id={name}&bokeh-token={token}"
    for more in ("", "&lang=de") if query else ("",):
        status, text, _headers = house.get(query + more, **headers)
        assert status == 403
        assert '"token"' not in text
    assert "not opened" in house.get(query, **headers)[1]


@pytest.mark.parametrize("place", ["query", "header"])
def test_no_session_gets_a_name_of_the_stranger_s(house, place):
    name = "A" * 44
    if place == "query":
        assert house.get(f"?bokeh-session-id={name}")[0] == 403
    else:
        assert house.get(**{"Bokeh-Session-Id": name})[0] == 403


def test_a_cookie_names_no_session(house):
    token = house.token()
    name = get_session_id(token)
    cookie = f"bokeh-session-id={name}; bokeh-token={token}; Bokeh-Session-Id={name}; session={name}"
    status, text, _headers = house.get(Cookie=cookie)
    assert status == 200
    assert name not in text


def test_a_token_that_this_server_has_not_signed_leads_to_no_session_of_anybody(house):
    token = house.token()
    mine = document_of(house, token)
    name = get_session_id(token)
    body, _dot, signature = token.partition(".")
    forged = [
        generate_jwt_token(name, signed=False, expiration=3600),
        generate_jwt_token(name, secret_key=b"guessed", signed=True, expiration=3600),
        generate_jwt_token("A" * 44, signed=False, expiration=3600),
        body,
        f"{body}.{signature[:-2]}xx",
        f"{body[:-4]}AAAA.{signature}",
        f"{base64.urlsafe_b64encode(b'[' * 30_000).decode('ascii').rstrip('=')}.{signature}",
        "x",
        "a.b",
    ]
    found = [document_of(house, one) for one in forged]
    assert mine not in found
    assert len(set(found)) == len(found)  # nor do two share one


# Names of other sites


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:{port}",
        "127.0.0.1.evil.example",
        "127.0.0.2",
        "[::2]:{port}",
        "a@127.0.0.1:x",
        "x" * 3000,
    ],
)
@pytest.mark.parametrize(
    "path", ["", "join", "assets/theme.css", "static/js/bokeh.min.js", "notes/AAAAA", "nothing"]
)
def test_nothing_is_handed_out_under_the_name_of_another_site(house, path, host):
    status, text, _headers = house.get(path, Host=host.format(port=house.port))
    assert status == 421 or (status == 400 and "@" in host)  # no header of HTTP at all
    assert len(text) < 600
    assert "<script" not in text


@pytest.mark.parametrize(
    "host", ["localhost", "localhost:{port}", "127.0.0.1:{port}", "127.0.0.1:9", "LOCALHOST.", "[::1]"]
)
def test_the_server_s_own_names_are_known(house, host):
    assert house.get("join", Host=host.format(port=house.port))[0] == 200


STRANGE_ORIGINS = (
    "http://evil.example:{port}",
    "http://127.0.0.1:1",
    "https://localhost",
    "null",
    "file://",
    "x",
)


@pytest.mark.parametrize("path", ["ws", "join/AAAAA/socket", "notes/AAAAA/socket"])
@pytest.mark.parametrize("origin", STRANGE_ORIGINS)
@pytest.mark.parametrize("same_host", [False, True])
def test_no_page_of_another_site_gets_a_socket(house, path, origin, same_host):
    """Also not one whose name leads to this machine, so that Origin and Host are the same."""
    origin = origin.format(port=house.port)
    host = origin.rpartition("/")[2] if same_host else f"127.0.0.1:{house.port}"

    with pytest.raises(HTTPClientError, match=r"40[03]|421"):
        run_async(knock_at(house, path, origin, host))


async def knock_at(house: House, path: str, origin: str, host: str) -> None:
    """Ask for a socket as a page of somewhere does."""
    headers = {"Origin": origin} | ({"Host": host} if host else {})
    url = f"ws://127.0.0.1:{house.port}/{path}"
    socket = await websocket_connect(HTTPRequest(url, headers=headers), subprotocols=["bokeh", "x"])
    socket.close()


# Ways in that are not needed


@pytest.mark.parametrize(
    "path",
    [
        "autoload.js?bokeh-autoload-element=x",
        "autoload.js",
        "metadata",
        "components/antigravity/x/__css__/x",
        "components/pvsim.app.page/x/_css/x",
        "rest/session_info",
        "static/extensions/panel/../../../server.py",
        "static/..%2f..%2fserver.py",
        "assets/..%2fserver.py",
    ],
)
def test_what_the_page_does_not_need_is_not_there(house, path):
    status, text, _headers = house.get(path)
    assert status in (403, 404)
    assert "import" not in text


@pytest.mark.parametrize("path", ["", "join", "assets/theme.css", "static/js/bokeh.min.js", "autoload.js"])
def test_no_other_site_may_read_an_answer(house, path):
    headers = house.get(path, Origin="http://evil.example")[2]
    assert not [name for name in headers if name.lower().startswith("access-control-")]


def test_long_addresses_make_no_long_lines(house):
    for path in ("x" * 50_000, "assets/" + "y" * 50_000, "join?" + "z" * 50_000, "static/js/" + "w" * 50_000):
        house.get(path)
    assert any("xxx" in line for line in house.log())  # it was written, and cut


def test_an_array_of_numbers_is_still_read():
    """The attack above is one: what it sends is what an unguarded server would unpack."""
    data = gzip.decompress(base64.b64decode(swelling(8_000)))
    assert np.frombuffer(data, dtype="float64").shape == (1000,)
