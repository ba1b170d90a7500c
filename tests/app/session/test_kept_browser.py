"""What a browser keeps where the usual place has no room for it: nothing that was done is lost in silence."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pvsim.array.change import paint
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import write_scenario
from tests.app.lesson.test_lesson_browser import begin, predict, region

pytestmark = pytest.mark.ui

TITLE = "A bench too large"
FULL = """() => {
  const half = name => { let size = 1 << 22; while (size) {
    try { localStorage.setItem(name + size, "x".repeat(size)) } catch { size >>= 1 }
    if (localStorage.getItem(name + size)) name += "+"
  } }
  half("full")
}"""


@pytest.fixture
def large(tmp_path: Path) -> Path:
    """A scenario file that fits into no address."""
    scenario = replace(read_demo("workshop"), title=TITLE)
    for module in range(1, 9):
        for cell in range(1, 61):
            scenario = paint(scenario, [Place(1, module, cell=cell)], (61 * module + cell) / 997.0)
    path = tmp_path / "large.toml"
    path.write_text(write_scenario(scenario), encoding="utf-8")
    return path


def open_file(page: Any, path: Path) -> None:
    """Open a scenario file that fits into no address."""
    page.locator("#field-open").set_input_files(path)
    page.get_by_test_id("said").filter(has_text=TITLE).wait_for()
    page.wait_for_url("**/?*kept=1*")


def test_a_bench_too_large_for_an_address_is_there_again_after_a_reload(bench: Any, large: Path) -> None:
    page = bench.open()
    open_file(page, large)
    page.get_by_text("This tab keeps it").wait_for()
    for _ in range(2):
        page.reload()
        bench.wait_ready(page)
        page.get_by_test_id("said").filter(has_text=TITLE).wait_for()
        assert "kept=1" in page.url
        assert page.get_by_text("This tab keeps it").count() == 0  # said once
    other = page.context.new_page()
    bench.go(other, page.url.partition("?")[1] + page.url.partition("?")[2])
    other.get_by_text("only the tab it was made in has kept it").wait_for()
    page.locator("#field-open").set_input_files(Path("pvsim/scenarios/single-cell.toml").resolve())
    page.wait_for_url("**/?s=*")
    assert page.evaluate("sessionStorage.getItem('pvsim.benchmark')") is None


def test_a_stored_prediction_outlives_a_reload_when_the_browser_has_no_room(bench: Any) -> None:
    page = bench.open()
    page.evaluate(FULL)
    begin(page, "One cell's curve")
    predict(page)
    page.get_by_text("This browser has no room to keep your work").wait_for()
    bench.go(page)
    region(page).get_by_role("button", name="Go on where you left").click()
    region(page).get_by_role("button", name="Do it for me").wait_for()
    page.evaluate("localStorage.clear()")  # room again: the work goes where it belongs
    region(page).get_by_role("button", name="Do it for me").click()
    page.wait_for_function("() => (localStorage.getItem('pvsim.workbook') ?? '').includes('one-cell')")
    assert page.evaluate("sessionStorage.getItem('pvsim.workbook')") is None


def test_work_that_can_be_kept_nowhere_is_said_once(bench: Any) -> None:
    page = bench.open()
    page.add_init_script("Storage.prototype.setItem = () => { throw new DOMException('no room') }")
    bench.go(page)
    begin(page, "One cell's curve")
    predict(page)
    page.get_by_text("This browser keeps nothing of your work").wait_for()
    rest = page.get_by_text("This browser keeps nothing for pvsim")
    assert rest.count() == 0, "the work has a word of its own"
    page.get_by_role("button", name="Dark colours").click()
    rest.wait_for()
