"""Files come packed, are packed once, and are what they were."""

from __future__ import annotations

import gzip
from typing import Any

import pytest
from tornado.httpclient import AsyncHTTPClient
from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port
from tornado.web import Application

from pvsim.app import packed_files
from pvsim.app.packed_files import PackedFiles
from pvsim.app.packing import pack
from tests.loop import run_async

LONG = "export const one = 1\n" * 200


@pytest.fixture
def get(tmp_path, monkeypatch) -> Any:
    """Asks a server of one folder; `packs` counts how often anything was packed."""
    (tmp_path / "long.js").write_text(LONG)
    (tmp_path / "short.js").write_text("1")
    (tmp_path / "mark.png").write_bytes(b"\x89PNG" + bytes(5000))
    packed_files._packed_file.cache_clear()
    packs = []

    def counting(content: bytes) -> bytes:
        packs.append(len(content))
        return pack(content)

    monkeypatch.setattr(packed_files, "pack", counting)
    routes = [("/(.*)", PackedFiles, {"path": str(tmp_path)})]

    def ask(*requests: tuple[str, dict[str, str]]) -> list[Any]:
        async def all_of_them() -> list[Any]:
            server = HTTPServer(Application(routes, compress_response=True))
            socket, port = bind_unused_port()
            server.add_socket(socket)
            client = AsyncHTTPClient()
            try:
                return [
                    await client.fetch(
                        f"http://127.0.0.1:{port}/{path}",
                        headers=headers,
                        decompress_response=False,
                        raise_error=False,
                    )
                    for path, headers in requests
                ]
            finally:
                server.stop()
                await server.close_all_connections()

        return run_async(all_of_them())

    ask.packs, ask.folder = packs, tmp_path
    return ask


PACKED = {"Accept-Encoding": "gzip"}


def test_a_file_comes_packed_and_is_packed_once_for_everybody(get) -> None:
    answers = get(*[("long.js", PACKED)] * 3)
    for answer in answers:
        assert answer.headers["Content-Encoding"] == "gzip"
        assert answer.headers["Vary"] == "Accept-Encoding"
        assert gzip.decompress(answer.body).decode() == LONG
        assert len(answer.body) < len(LONG) / 10
    assert get.packs == [len(LONG)]


def test_a_browser_that_takes_it_plain_or_in_parts_gets_it_so(get) -> None:
    plain, part = get(("long.js", {}), ("long.js", {"Range": "bytes=7-11"}))
    assert plain.body.decode() == LONG
    assert "Content-Encoding" not in plain.headers
    assert (part.code, part.body) == (206, b"const")


def test_what_packing_makes_no_smaller_is_not_kept_packed(get) -> None:
    short, picture = get(("short.js", {}), ("mark.png", PACKED))
    assert short.body == b"1"
    assert picture.body.startswith(b"\x89PNG")
    assert get.packs == []


def test_a_file_that_was_changed_goes_as_it_is_now(get) -> None:
    get(("long.js", PACKED))
    (get.folder / "long.js").write_text(LONG + "// more\n")
    (answer,) = get(("long.js", PACKED))
    assert gzip.decompress(answer.body).decode().endswith("// more\n")


def test_a_browser_that_has_it_is_told_so(get) -> None:
    (first,) = get(("long.js", PACKED))
    (again,) = get(("long.js", {**PACKED, "If-None-Match": first.headers["Etag"]}))
    assert (again.code, again.body) == (304, b"")


def test_what_is_not_there_is_told(get) -> None:
    assert [answer.code for answer in get(("none.js", PACKED), ("../long.js", PACKED))] == [404, 403]


def test_what_may_change_at_its_address_is_asked_for_again(get) -> None:
    """A phone that was here before an upgrade must not go on with half of the old scripts."""
    plain, marked = get(("long.js", {}), ("long.js?v=1", {}))
    assert plain.headers["Cache-Control"] == "no-cache"
    assert "max-age" in marked.headers["Cache-Control"]
