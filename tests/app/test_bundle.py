"""The page's modules in one piece: all of them, each once, and each as its file has it."""

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

from pvsim.app import bundle
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


def script() -> str:
    body: bytes = ask(bundle_address()).body
    return body.decode()


def told() -> dict[str, Any]:
    """What the bundle tells the script that follows it."""
    first = script().removeprefix("window.pvsimBundle = { ...")
    found: dict[str, Any] = json.JSONDecoder().raw_decode(first)[0]
    return found


def functions() -> dict[str, str]:
    """The text of each module in the bundle, in the order they run."""
    each = re.compile(
        r'^"([a-z_/]+\.js)": \(modules => \{(.*?)^return \{[^}\n]*\} \}\),$', re.MULTILINE | re.DOTALL
    )
    return dict(each.findall(script()))


def test_it_holds_all_that_a_page_imports_and_nothing_else() -> None:
    found = functions()
    assert sorted(modules_root() + name for name in found) == sorted(bundled())
    assert set(ENTRIES) < set(found)
    assert sorted([*found, *told()["others"]]) == sorted(module_names())


def test_a_module_says_there_what_it_says_in_its_file_but_for_what_it_imports_and_exports() -> None:
    imports = re.compile(r'^import \{[^}]*\} from "[^"\n]+"', re.MULTILINE)
    taken = re.compile(r'^const \{[^}]*\} = modules\["[^"\n]+"\]', re.MULTILINE)
    exports = re.compile(r"^export (?:default )?", re.MULTILINE)
    later = re.compile(r'(?<=import\()"[^"\n]+"')
    for name, text in functions().items():
        plain = later.sub("", exports.sub("", imports.sub("", module_text(name))))
        there = later.sub("", taken.sub("", text.removeprefix(' "use strict"; ')))
        assert there.replace("const byDefault = ", "").rstrip() == plain.rstrip(), name
    fetched = re.findall(r'await import\("([^"]+)"\)', script())
    assert fetched, "what is fetched when it is first opened"
    assert all(one.removeprefix(OWN) in told()["others"] for one in fetched)


def test_each_runs_after_what_it_imports() -> None:
    ready: set[str] = set()
    taken = re.compile(r'^const \{[^}]*\} = modules\["([^"\n]+)"\]', re.MULTILINE)
    for name, text in functions().items():
        assert ready.issuperset(taken.findall(text)), name
        ready.add(name)


def test_whatever_is_fetched_later_imports_has_an_address() -> None:
    asked, others = set(told()["asked"]), told()["others"]
    for name in others:
        imported: list[str] = []
        module_text(name, imports=lambda target, imported=imported: imported.append(target) or target)
        assert asked.union(others).issuperset(imported), name


def test_a_way_of_importing_that_no_bundle_can_be_made_of_is_refused(monkeypatch) -> None:
    texts = {"a.js": "", "b.js": "export const x = 1, y = 2\n"}
    monkeypatch.setattr(bundle, "module_text", lambda name, imports=None: texts[name])
    for line in ('import all from "b.js"', 'import "b.js"', "export let x = 1", 'export * from "b.js"'):
        texts["a.js"] = f"// @ts-check\n{line}\n"
        with pytest.raises(ValueError, match=re.escape(line)):
            bundle._as_function("a.js")
    texts["a.js"] = 'import { x, y } from "b.js"\n'
    with pytest.raises(ValueError, match=r"imports y, which static/b\.js does not export by itself"):
        bundle._as_function("a.js")


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
def test_each_exports_there_what_the_browser_itself_finds_in_its_file(bench) -> None:
    """The browser's own modules are the measure: names, functions to the letter, kinds of all else."""
    page = bench.open()
    unlike = page.evaluate(
        """async root => {
          const unlike = []
          const plain = text => text.replace(/import\\("[^"]+"\\)/g, "import()")
          const said = one => one instanceof Function ? plain(String(one)) : typeof one
          for (const [name, there] of Object.entries(window.pvsimModules)) {
            const file = await import(new URL(root + name, document.baseURI).href + "#file")
            const names = [...new Set([...Object.keys(file), ...Object.keys(there)])]
            const same = one => one in file && one in there && said(file[one]) === said(there[one])
            if (!names.length || !names.every(same)) unlike.push(name)
          }
          return [Object.keys(window.pvsimModules).length, unlike]
        }""",
        modules_root(),
    )
    assert unlike == [len(bundled()), []]


@pytest.mark.ui
def test_a_browser_without_import_maps_fetches_each_from_its_own_address(bench) -> None:
    page = bench.open(first=lambda page: page.add_init_script("HTMLScriptElement.supports = undefined"))
    fetched = page.evaluate("performance.getEntriesByType('resource').map(one => one.name).join()")
    assert "/roof/roof.js" in fetched
