"""A served page and a Chromium to open it with, both ended whatever happens."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from pvsim.benchmark.guarded import guarded

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chromium-headless-shell")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
DESK = {"width": 1280, "height": 720}
START_s = 60.0  # longest wait for the server's address
WAIT_ms = 30_000
PROBE_s = 0.1
WATCH = Path(__file__).with_name("page_watch.js")


def find_browser() -> str | None:
    """Path of a Chromium; PVSIM_BROWSER names one that is not on the path."""
    return os.environ.get("PVSIM_BROWSER") or next(filter(None, map(shutil.which, BROWSERS)), None)


def missing() -> str:
    """Why no page can be measured here; empty when it can."""
    if why := missing_libraries():
        return why
    if find_spec("playwright") is None:
        return "playwright is not installed"
    return "" if find_browser() else f"no Chromium found ({', '.join(BROWSERS)}, PVSIM_BROWSER)"


def missing_libraries() -> str:
    """Why the page cannot be served here; empty when it can."""
    names = [name for name in ("bokeh", "panel") if find_spec(name) is None]
    return f"{' and '.join(names)} not installed (pvsim[page])" if names else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A server process, where its page is, and when it was started (`time.perf_counter`)."""

    process: subprocess.Popen[str]
    url: str
    started_s: float


@contextmanager
def served(*command: str) -> Iterator[Served]:
    """Run a command that serves a page and prints its address; `pvsim serve` when none is given."""
    usual = ("-m", "pvsim", "serve", "--no-browser", "--port", "0")
    start = time.perf_counter()
    silent = subprocess.DEVNULL
    with guarded("-u", *(command or usual), longest_s=START_s, stderr=silent) as (process, release):
        assert process.stdout is not None
        address = next(filter(None, (re.search(r"http://\S+", line) for line in process.stdout)), None)
        if address is None:
            raise RuntimeError(f"the server gave no address; it ended with {process.wait()}")
        release()
        yield Served(process=process, url=address[0], started_s=start)


@asynccontextmanager
async def driver() -> AsyncIterator[Any]:
    """Playwright's Chromium type, to be launched with `launched`."""
    from playwright.async_api import async_playwright

    async with async_playwright() as playwright:
        yield playwright.chromium


@asynccontextmanager
async def launched(chromium: Any) -> AsyncIterator[Any]:
    """A Chromium with a fresh profile."""
    browser = await chromium.launch(executable_path=find_browser(), args=list(FLAGS))
    try:
        yield browser
    finally:
        await browser.close()


async def new_page(browser: Any) -> Any:
    """An empty page that notes what happens in it (see page_watch.js)."""
    page = await browser.new_page(viewport=DESK)
    page.set_default_timeout(WAIT_ms)
    await page.add_init_script(WATCH.read_text(encoding="utf-8"))
    return page


def load_note() -> str:
    """How busy the machine is, for the note of a row: what the queue holds, and what one process gets."""
    cpu, wall = time.process_time(), time.perf_counter()
    while time.process_time() - cpu < PROBE_s:
        pass
    share = PROBE_s / (time.perf_counter() - wall)
    queue = f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores, " if hasattr(os, "getloadavg") else ""
    return f"{queue}a busy process gets {min(share, 1.0):.0%} of one"
