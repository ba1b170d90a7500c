"""Rows about a class: 60 students on one machine, each with a session of the page."""

from __future__ import annotations

import json
import subprocess
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np

from pvsim.benchmark.browser import load_note, missing_libraries, served
from pvsim.benchmark.guarded import guarded
from pvsim.benchmark.row import Row, left_out

STUDENTS = 60
LESSON_s, AGAIN_s = 20.0, 4.0
LONGEST_s = 100.0  # for one cohort; after that its process is killed
WARMING = 3  # sessions before anything is counted: they fill what all sessions share

REPLY = ("class-reply", "60 students, one change a second each: reply, p95", 500.0, "ms")
MEMORY = ("class-memory", "the same: memory a session", 15.0, "MB")
BACK = ("class-given-back", "growth by a second class after the first has left, a session", 0.5, "MB")
RUSH = ("class-rush", "60 pages opened within ten seconds: the slowest usable after", 12.0, "s")
RUSH_s = 10.0
LEFT = ("class-left", "sessions, documents and states alive after the classes have left", 0.0, "objects")


def whole_class() -> list[Row]:
    """Two classes after each other on one server: replies and memory."""
    if why := missing_libraries():
        return [left_out(*row, why) for row in (RUSH, REPLY, MEMORY, BACK, LEFT)]
    with served("-m", "pvsim.benchmark.class_server") as here:
        with cohort(here.url, WARMING, 3.0):
            pass
        before = held(here.url, end=True)
        with cohort(here.url, STUDENTS, RUSH_s, module="rush") as rush:
            pass
        empty = held(here.url, end=True)
        with cohort(here.url, STUDENTS, LESSON_s, lambda: held(here.url)) as first:
            full = held(here.url)
        left = held(here.url, end=True)
        with cohort(here.url, STUDENTS, AGAIN_s):
            full_again = held(here.url)
        left_again = held(here.url, end=True)
    replies_ms = 1e3 * np.array(first["replies_s"])
    ready = first["ready"]
    opening_s, change_s = ready["cpu_s"] - empty["cpu_s"], full["cpu_s"] - ready["cpu_s"]
    told = (
        f"median {np.median(replies_ms):.0f} ms of {len(replies_ms)} changes; the server works "
        f"{1e3 * change_s / len(replies_ms):.1f} ms on a change and {1e3 * opening_s / STUDENTS:.0f} ms on "
        f"opening a page; {waiting(ready, full)}{load_note()}"
    )
    opened_s = np.array(rush["replies_s"])
    rush_s = (empty["cpu_s"] - before["cpu_s"]) / STUDENTS
    hurried = (
        f"median {np.median(opened_s):.1f} s; the server works {1e3 * rush_s:.0f} ms on a page with its "
        f"files; {waiting(before, empty)}{load_note()}"
    )
    rows = [named(RUSH, float(opened_s.max()), hurried)]
    rows += [named(REPLY, float(np.percentile(replies_ms, 95)), told)]
    if full["resident_MB"] is None:
        why = "this system does not tell the memory of a process in /proc"
        rows += [left_out(*row, why) for row in (MEMORY, BACK)]
    else:
        memory = [one["resident_MB"] for one in (empty, full, left, full_again, left_again)]
        rows += [
            named(MEMORY, (memory[1] - memory[0]) / STUDENTS, "resident, with the work of the lesson"),
            named(
                BACK,
                max(0.0, memory[3] - memory[1]) / STUDENTS,
                "resident MB empty, full, left, full, left: " + ", ".join(f"{one:.0f}" for one in memory),
            ),
        ]
    kinds = ("sessions", "states", "documents")
    rows.append(
        named(
            LEFT,
            float(sum(left_again[kind] for kind in kinds)),
            "; ".join(f"{kind}: {full[kind]} in the lesson, {left_again[kind]} after" for kind in kinds),
        )
    )
    return rows


@contextmanager
def cohort(
    url: str,
    count: int,
    seconds: float,
    when_ready: Callable[[], Any] = lambda: None,
    *,
    module: str = "student",
) -> Iterator[dict[str, Any]]:
    """A class that has worked and not left yet.

    Parameters
    ----------
    when_ready : callable
        Called once all pages are open.
    module : str
        What the class is, in pvsim.benchmark.

    Yields
    ------
    dict
        "opened_s" and "replies_s" of all students, and as "ready" what `when_ready` gave.
    """
    command = ("-m", f"pvsim.benchmark.{module}", url, str(count), str(seconds))
    with guarded(*command, longest_s=LONGEST_s, stdin=subprocess.PIPE) as (process, _release):
        assert process.stdout is not None
        found: dict[str, Any] = {}
        while "replies_s" not in found:
            line = process.stdout.readline()
            if not line:
                raise RuntimeError("the class broke off; see above")
            found |= json.loads(line)
            if "replies_s" not in found:
                found["ready"] = when_ready()
                _go_on(process)
        yield found
        _go_on(process)
        process.wait()


def held(url: str, *, end: bool = False) -> dict[str, Any]:
    """What the server holds; `end` ends the sessions nobody is connected to first."""
    with urllib.request.urlopen(f"{url}held{'?end=1' if end else ''}", timeout=60) as answer:
        found: dict[str, Any] = json.load(answer)
    return found


def waiting(begin: dict[str, Any], end: dict[str, Any]) -> str:
    """How much of the time between two looks the server waited for a core that others had."""
    if begin["waited_s"] is None:
        return ""
    share = (end["waited_s"] - begin["waited_s"]) / (end["clock_s"] - begin["clock_s"])
    return f"it waited {share:.0%} of the time for a core; "


def _go_on(process: subprocess.Popen[str]) -> None:
    assert process.stdin is not None
    process.stdin.write("\n")
    process.stdin.flush()


def named(about: tuple[str, str, float, str], figure: float, note: str) -> Row:
    """A row that was measured: name, what, bar and unit; figure; how."""
    name, what, bar, unit = about
    return Row(name=name, what=what, figure=figure, bar=bar, unit=unit, note=note)
