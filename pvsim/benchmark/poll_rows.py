"""Rows about a poll: 60 phones that answer, the disk, and the lecturer's histogram."""

from __future__ import annotations

from importlib.util import find_spec

import numpy as np

from pvsim.benchmark.browser import load_note, missing_libraries, served
from pvsim.benchmark.class_rows import cohort, held, named, waiting
from pvsim.benchmark.row import Row, left_out

PHONES = 60
LESSON_s, AGAIN_s = 20.0, 4.0
WARMING = 3

KEPT = ("poll-kept", "60 phones, one answer a second each: on disk and acknowledged, p95", 500.0, "ms")
SEEN = ("poll-seen", "the same: answer to the numbers on the lecturer's page, p95", 500.0, "ms")
BACK = ("poll-given-back", "growth by a second class of phones after the first has left", 3.0, "MB")
LEFT = ("poll-left", "phones and documents alive after the classes have left", 0.0, "objects")
ROWS = (KEPT, SEEN, BACK, LEFT)


def whole_poll() -> list[Row]:
    """Two classes of phones after each other on one server."""
    why = missing_libraries() or ("" if find_spec("sqlalchemy") else "sqlalchemy is not installed")
    if why:
        return [left_out(*row, why) for row in ROWS]
    with served("-m", "pvsim.benchmark.poll_server") as here:
        with cohort(here.url, WARMING, 3.0, module="phone"):
            pass
        held(here.url, end=True)
        with cohort(here.url, PHONES, LESSON_s, lambda: held(here.url), module="phone") as first:
            full = held(here.url)
        left = held(here.url, end=True)
        with cohort(here.url, PHONES, AGAIN_s, module="phone"):
            full_again = held(here.url)
        left_again = held(here.url, end=True)
    kept_ms, seen_ms = 1e3 * np.array(first["replies_s"]), 1e3 * np.array(first["seen_s"])
    work_s = full["cpu_s"] - first["ready"]["cpu_s"]
    rows = [
        named(
            KEPT,
            float(np.percentile(kept_ms, 95)),
            f"median {np.median(kept_ms):.0f} ms of {len(kept_ms)} answers; all 60 in one moment: the last "
            f"after {1e3 * max(first['at_once_s']):.0f} ms; the server works "
            f"{1e3 * work_s / len(kept_ms):.1f} ms on an answer; "
            f"{waiting(first['ready'], full)}{load_note()}",
        ),
        named(
            SEEN,
            float(np.percentile(seen_ms, 95)),
            f"median {np.median(seen_ms):.0f} ms; {first['unseen']} were replaced before they were shown",
        ),
    ]
    if full["resident_MB"] is None:
        rows.append(left_out(*BACK, "this system does not tell the memory of a process in /proc"))
    else:
        memory = [one["resident_MB"] for one in (full, left, full_again, left_again)]
        told = "resident MB full, left, full, left: " + ", ".join(f"{one:.0f}" for one in memory)
        rows.append(named(BACK, max(0.0, memory[2] - memory[0]), told))
    kinds = ("phones", "documents")
    told = "; ".join(f"{kind}: {full[kind]} in the lesson, {left_again[kind]} after" for kind in kinds)
    rows.append(named(LEFT, float(sum(left_again[kind] for kind in kinds)), told))
    return rows
