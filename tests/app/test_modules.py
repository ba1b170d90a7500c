"""The page's scripts: each at an address that changes with it, and all that a page needs fetched at once."""

from __future__ import annotations

import gzip
import re
from pathlib import Path
from typing import Any

import pytest
from tornado.httpclient import AsyncHTTPClient
from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port
from tornado.web import Application

from pvsim.app import assets, modules
from pvsim.app.modules import MODULE_PATH, answer_module, loaded_with, module_address
from tests.loop import run_async

ONE = """import { two } from "./part/two.js"
import {
  three,
} from "./three.js"
export const one = two + three
"""
FILES = {
    "one.js": ONE,
    "part/two.js": 'import { three } from "../three.js"\nexport const two = three\n',
    "three.js": "export const three = 3\n",
    "other.js": 'export { one } from "./one.js"\n',
}


@pytest.fixture
def static(tmp_path, monkeypatch) -> Any:
    """A folder of its own, written anew by calling it with other texts."""

    def write(**texts: str) -> Path:
        for name, text in (FILES | {f"{name}.js": text for name, text in texts.items()}).items():
            path = tmp_path / name
            path.parent.mkdir(exist_ok=True)
            path.write_text(text)
        forget()
        return tmp_path

    monkeypatch.setattr(assets, "STATIC", tmp_path)
    write()
    yield write
    forget()


def forget() -> None:
    """As in a fresh process."""
    for one in (modules._texts, modules._mark, modules._packed, loaded_with):
        one.cache_clear()


def ask(*requests: tuple[str, dict[str, Any]]) -> list[Any]:
    """Answers of a server that has nothing but modules."""

    async def all_of_them() -> list[Any]:
        server = HTTPServer(Application([(MODULE_PATH, answer_module)], compress_response=True))
        socket, port = bind_unused_port()
        server.add_socket(socket)
        client = AsyncHTTPClient()
        options = {"decompress_response": False, "raise_error": False}
        try:
            url = f"http://127.0.0.1:{port}/"
            return [
                await client.fetch(url + path.removeprefix("./"), **options, **more)
                for path, more in requests
            ]
        finally:
            server.stop()
            await server.close_all_connections()

    return run_async(all_of_them())


PACKED = {"headers": {"Accept-Encoding": "br, gzip"}}


def test_a_module_comes_packed_or_plain_and_is_kept(static) -> None:
    address = module_address("one.js")
    packed, plain, head = ask((address, PACKED), (address, {}), (address, {"method": "HEAD"}))
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.body) == plain.body == ONE.encode()
    assert (head.code, head.body, head.headers["Content-Length"]) == (200, b"", str(len(ONE)))
    for answer in (packed, plain, head):
        assert answer.headers["Content-Type"].startswith("text/javascript")
        assert "immutable" in answer.headers["Cache-Control"]
        assert answer.headers["Vary"] == "Accept-Encoding"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_every_address_changes_with_any_module_and_the_old_one_is_gone(static) -> None:
    before = module_address("one.js")
    assert module_address("one.js") == before
    static(three="export const three = 4\n")
    assert module_address("one.js") != before
    (old,) = ask((before, PACKED))
    assert (old.code, old.headers["X-Content-Type-Options"]) == (404, "nosniff")
    assert "Cache-Control" not in old.headers


def test_nothing_but_modules_is_there_and_nothing_is_done_to_them(static) -> None:
    (static() / "secret.txt").write_text("secret")
    root = module_address("one.js").removesuffix("one.js")
    wrong = ("none.js", "secret.txt", "../secret.txt", "..%2fsecret.txt", "part/../one.js", "part/")
    assert {answer.code for answer in ask(*((root + name, PACKED) for name in wrong))} == {404}
    (put,) = ask((root + "one.js", {"method": "POST", "body": b"x"}))
    assert put.code == 405


def test_a_page_knows_all_that_its_modules_import(static) -> None:
    found = loaded_with(module_address("other.js"))
    assert found == tuple(map(module_address, ("other.js", "one.js", "part/two.js", "three.js")))


def test_a_module_that_is_not_there_is_told_at_once(static) -> None:
    with pytest.raises(FileNotFoundError, match=r"four\.js"):
        module_address("four.js")
    static(three='import { four } from "./four.js"\n')
    with pytest.raises(FileNotFoundError, match=r"four\.js"):
        loaded_with(module_address("one.js"))


def test_every_component_of_the_page_is_the_address_of_a_module() -> None:
    from pvsim.app.mends.component import MendedComponent

    def below(kind: type) -> list[type]:
        return [one for sub in kind.__subclasses__() for one in (sub, *below(sub))]

    import pvsim.app.page  # noqa: F401 # makes them known

    drawn = [kind for kind in below(MendedComponent) if kind._esm and kind.__module__.startswith("pvsim.")]
    assert len(drawn) >= 8
    for kind in drawn:
        name = re.fullmatch(r"\./modules/[0-9a-f]{16}/(.+)", kind._esm)
        assert name is not None
        assert re.search(rb"^export (?:const|function) render\b", modules._texts()[name[1]], re.MULTILINE)
        assert kind._render_esm() == kind._esm
