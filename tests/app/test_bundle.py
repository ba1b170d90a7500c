"""The page's modules in one piece: all of them, each once, under their own addresses."""

from __future__ import annotations

import gzip
import json
import re
from typing import Any

import pytest
from tornado.httpclient import AsyncHTTPClient
from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port
from tornado.web import Application

from pvsim.app.bundle import BUNDLE_PATH, ENTRIES, OWN, answer_bundle, bundle_address, bundled
from pvsim.app.modules import MODULE_PATH, answer_module, loaded_with, module_names, module_text, modules_root
from tests.loop import run_async


def ask(address: str, **options: Any) -> Any:
    async def answer() -> Any:
        server = HTTPServer(Application([(BUNDLE_PATH, answer_bundle), (MODULE_PATH, answer_module)]))
        socket, port = bind_unused_port()
        server.add_socket(socket)
        try:
            return await AsyncHTTPClient().fetch(
                f"http://127.0.0.1:{port}/{address.removeprefix('./')}",
                decompress_response=False,
                raise_error=False,
                **options,
            )
        finally:
            server.stop()
            await server.close_all_connections()

    return run_async(answer())


def told() -> dict[str, Any]:
    """What the bundle tells the script that follows it."""
    first, _rest = ask(bundle_address()).body.decode().split("\n", 1)
    found: dict[str, Any] = json.loads(first.removeprefix("window.pvsimBundle = ").removesuffix(";"))
    return found


def test_it_holds_all_that_a_page_imports_and_nothing_else() -> None:
    texts = told()["texts"]
    assert [modules_root() + name for name in texts] == list(bundled())
    assert set(ENTRIES) < set(texts)
    assert sorted([*texts, *told()["others"]]) == sorted(module_names())


def test_a_module_says_there_what_it_says_in_its_file_but_for_the_names_of_what_it_imports() -> None:
    found = told()
    from_elsewhere = re.compile(r'(?<=from |port\()"[^"\n]+"')
    for name, text in found["texts"].items():
        plain = module_text(name)
        assert from_elsewhere.sub("", text) == from_elsewhere.sub("", plain)
        imported = re.findall(r'^(?:import|export)\b[^"]*?\bfrom "([^"\n]+)"', text, re.MULTILINE)
        assert all(one.removeprefix(OWN) in found["texts"] and one.startswith(OWN) for one in imported), name
    later = re.findall(r'await import\("([^"]+)"\)', "".join(found["texts"].values()))
    assert later, "what is fetched when it is first opened"
    assert all(one.removeprefix(OWN) in found["others"] for one in later)


def test_it_is_packed_kept_and_gone_under_another_mark() -> None:
    plain, packed = ask(bundle_address()), ask(bundle_address(), headers={"Accept-Encoding": "gzip"})
    assert gzip.decompress(packed.body) == plain.body
    assert "immutable" in packed.headers["Cache-Control"]
    assert ask(f"modules/{'0' * 16}/all.js").code == 404
    assert ask(bundle_address(), method="POST", body=b"x").code == 405


def test_every_part_of_the_page_is_in_it() -> None:
    """A page that shows a part which is not would fetch its modules one by one."""
    from pvsim.app.page import create_page
    from pvsim.files.demo import read_demo

    page = create_page(read_demo("workshop"))
    assert page._render_variables["modules"] == []
    assert page._render_variables["bundle"] == bundle_address()
    assert loaded_with(*bundled()) == bundled()


@pytest.mark.ui
def test_a_browser_fetches_no_module_by_itself_and_has_each_once(bench) -> None:
    page = bench.open()
    fetched = """
      performance.getEntriesByType('resource').map(one => one.name).filter(one => one.includes('/modules/'))
    """
    assert [one.rpartition("/")[2] for one in page.evaluate(fetched)] == ["all.js"]
    same = page.evaluate(
        """async root => {
          const at = name => new URL(root + name, document.baseURI).href
          const names = [at("shell/frame.js"), "pvsim/shell/frame.js"]
          const [frame, again] = await Promise.all(names.map(one => import(one)))
          return frame === again && frame.render instanceof Function
        }""",
        modules_root(),
    )
    assert same
    assert len(page.evaluate(fetched)) == 1


@pytest.mark.ui
def test_a_browser_without_import_maps_fetches_each_from_its_own_address(bench) -> None:
    page = bench.open(first=lambda page: page.add_init_script("HTMLScriptElement.supports = undefined"))
    fetched = page.evaluate("performance.getEntriesByType('resource').map(one => one.name).join()")
    assert "/roof/roof.js" in fetched
