"""Rows about the page in a browser: how soon it can be used, and how soon it follows the pointer."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator
from math import pi, sin
from random import Random
from typing import Any

import numpy as np

from pvsim.benchmark import browser as here
from pvsim.benchmark.row import Row, left_out
from pvsim.benchmark.timeline import (
    Note,
    count,
    most_unanswered,
    press_to_paint_ms,
    rate_Hz,
    release_to_rest_ms,
)

CELL = "path.cell[role=gridcell]"
WARMING, CLICKS = 6, 48
SHORTEST_s, LONGEST_s = 0.15, 0.25  # between clicks: as a quick hand makes them
FRAME_s = 1 / 60
DRAG_s = 2.0
REST_ms = 600  # a pause for everything to settle; nothing in it is timed
NEAR_px = 3.0

START = ("page-start", "command to usable page, fresh process and browser", 6.0, "s")
CLICK = ("page-click", "click on a cell to repainted curves in Chromium, p95", 100.0, "ms")
DRAG = ("page-drag", "60 Hz drag: last curve painted after release", 150.0, "ms")
QUEUE = ("page-queue", "the same: messages on their way at once, at most", 1.0, "messages")


def page() -> list[Row]:
    """Start, clicks and drags on the page as `pvsim serve` gives it."""
    if why := here.missing():
        return [left_out(*row, why) for row in (START, CLICK, DRAG, QUEUE)]
    return asyncio.run(_page())


async def _page() -> list[Row]:
    async with here.driver() as chromium:
        with here.served() as served:
            async with here.launched(chromium) as browser:
                first = await _usable_s(await here.new_page(browser), served)
        with here.served() as served:
            async with here.launched(chromium) as browser:
                page = await here.new_page(browser)
                again = await _usable_s(page, served)
                await page.evaluate("pvsimWatch.begin()")
                clicks = await _click(page)
                busy = here.load_note()
                drags = {"stroke over cells": await _drag_stroke(page), "shadow": await _drag_shadow(page)}
    return [
        _row(START, max(first, again), f"slower of two ({first:.1f} s, {again:.1f} s); {busy}"),
        click_row(clicks, busy),
        *drag_rows(drags, busy),
    ]


async def _usable_s(page: Any, served: here.Served) -> float:
    """Open the page; seconds from the start of the process until a click on a cell would be heard."""
    await page.goto(served.url, wait_until="commit")
    await page.wait_for_selector("html[data-ready=true]", state="attached")
    await page.locator(CELL).first.click(trial=True)  # all but the click: seen, still, not covered
    return time.perf_counter() - served.started_s


async def _click(page: Any) -> list[float | None]:
    """Click cell after cell; ms from each event to its painted curves."""
    random = Random(2026)
    cells = await page.evaluate(f"pvsimWatch.middles('{CELL}')")
    random.shuffle(cells)
    for number, (x, y) in enumerate(cells[: WARMING + CLICKS]):
        if number in (0, WARMING):
            await page.wait_for_timeout(REST_ms)
            await page.evaluate("pvsimWatch.take()")
        await page.mouse.click(x, y)
        await asyncio.sleep(random.uniform(SHORTEST_s, LONGEST_s))
    return press_to_paint_ms(await _notes(page))


async def _drag_stroke(page: Any) -> list[Note]:
    """Paint over the cells of a module in one stroke, row after row."""
    cells = await page.evaluate(f"pvsimWatch.middles('{CELL}')")
    (left, top), (right, bottom) = np.min(cells, axis=0), np.max(cells, axis=0)
    await page.evaluate("pvsimWatch.take()")
    async with _pressed(page, left, top) as move:
        async for share in _frames():
            across = abs((8.0 * share + 1.0) % 2.0 - 1.0)
            await move(left + (right - left) * across, top + (bottom - top) * share)
    return await _notes(page)


async def _drag_shadow(page: Any) -> list[Note]:
    """Drag a pole's shadow to and fro over the whole array; where it is left must be its last place."""
    await page.keyboard.press("1")
    await page.wait_for_timeout(2 * REST_ms)
    await page.locator("button[data-tray=shadow]").click()
    await page.locator("[data-name=add-pole]").click()
    await page.wait_for_timeout(REST_ms)
    x, y = await _shadow_place(page)
    await page.evaluate("pvsimWatch.take()")
    async with _pressed(page, x, y) as move:
        async for share in _frames():
            place = (x + 120.0 * sin(4.0 * pi * share) + 60.0 * share, y + 20.0 * share)
            await move(*place)
    notes = await _notes(page)
    seen = await _shadow_place(page)
    if max(abs(a - b) for a, b in zip(seen, place, strict=True)) > NEAR_px:
        raise RuntimeError(f"the shadow was left at {place} and lies at {seen}: the last state did not win")
    return notes


async def _shadow_place(page: Any) -> tuple[float, float]:
    ((x, y),) = await page.evaluate("pvsimWatch.middles('[data-shadow]')")
    return x, y


class _pressed:
    """The pointer held down, moved as a mouse moves: without waiting for the page to follow."""

    def __init__(self, page: Any, x: float, y: float) -> None:
        self._page, self._at = page, (x, y)
        self._moves: list[asyncio.Task[Any]] = []

    async def __aenter__(self) -> Any:
        await self._page.mouse.move(*self._at)
        await self._page.mouse.down()
        self._wire = await self._page.context.new_cdp_session(self._page)
        return self._move

    async def _move(self, x: float, y: float) -> None:
        event = {"type": "mouseMoved", "x": x, "y": y, "button": "left", "buttons": 1}
        self._moves.append(asyncio.create_task(self._wire.send("Input.dispatchMouseEvent", event)))
        self._at = (x, y)

    async def __aexit__(self, *_error: object) -> None:
        x, y = self._at
        event = {"type": "mouseReleased", "x": x, "y": y, "button": "left", "clickCount": 1}
        await asyncio.gather(*self._moves, self._wire.send("Input.dispatchMouseEvent", event))
        await self._page.wait_for_timeout(REST_ms)


async def _frames() -> AsyncIterator[float]:
    """Shares 0 to 1 of a drag, one each frame of 60 Hz."""
    clock = asyncio.get_running_loop().time
    start, number = clock(), 0
    while (now := clock() - start) < DRAG_s:
        yield now / DRAG_s
        number = max(number + 1, int(now / FRAME_s))
        await asyncio.sleep(max(0.0, start + number * FRAME_s - clock()))


async def _notes(page: Any) -> list[Note]:
    return [(what, at, number) for what, at, number in await page.evaluate("pvsimWatch.take()")]


def click_row(found: list[float | None], busy: str) -> Row:
    """The row of the clicks; a click that gave no curve misses the bar.

    Parameters
    ----------
    found : list of float or None
        From `press_to_paint_ms`.
    """
    times = [time for time in found if time is not None]
    if len(times) < len(found) or not times:
        return _row(CLICK, float("inf"), f"{len(found) - len(times)} of {len(found)} clicks gave no curve")
    note = f"median {np.median(times):.0f} ms of {len(times)}; {busy}"
    return _row(CLICK, float(np.percentile(times, 95)), note)


def drag_rows(drags: dict[str, list[Note]], busy: str) -> list[Row]:
    """The rows of the drags: the slowest to come to rest, and the longest queue.

    Parameters
    ----------
    drags : dict of str to list of Note
        By name, from the press on.
    """
    rests = {name: release_to_rest_ms(notes) for name, notes in drags.items()}
    worst = max(float("inf") if rest is None else rest for rest in rests.values())
    told = [f"{name} {'never' if rest is None else f'{rest:.0f} ms'}" for name, rest in rests.items()]
    rates = [
        f"{rate_Hz(notes, 'pointermove'):.0f} moves and {rate_Hz(notes, 'curve'):.0f} curves a second"
        for notes in drags.values()
    ]
    queues = [most_unanswered(notes) for notes in drags.values()]
    messages = [
        f"{name}: {count(notes, 'pointermove')} moves in {count(notes, 'asked')} messages"
        for name, notes in drags.items()
    ]
    return [
        _row(DRAG, worst, "; ".join([*told, *rates, busy])),
        _row(QUEUE, float(max(queues)), "; ".join([*messages, "the last place won"])),
    ]


def _row(about: tuple[str, str, float, str], figure: float, note: str) -> Row:
    name, what, bar, unit = about
    return Row(name=name, what=what, figure=figure, bar=bar, unit=unit, note=note)
