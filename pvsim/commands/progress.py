"""One line on the terminal that says how far long work is."""

from __future__ import annotations

import sys
import time

EVERY_s = 0.1  # faster than an eye reads
FIRST_GUESS_s = 1.0  # before that, a guess of what is left would jump about


class ProgressLine:
    """Says how much is done and about how long the rest takes; nothing where nobody looks."""

    def __init__(self, *, quiet: bool = False) -> None:
        self._quiet = quiet or not sys.stderr.isatty()
        self._start = time.monotonic()
        self._last = -EVERY_s

    def __enter__(self) -> ProgressLine:
        return self

    def __exit__(self, *_: object) -> None:
        if not self._quiet:
            self._write("")

    def show(self, done: int, planned: int) -> None:
        """Say that so many are done."""
        now = time.monotonic() - self._start
        if self._quiet or (now - self._last < EVERY_s and done < planned):
            return
        self._last = now
        left = f", {_duration(now * (planned - done) / done)} left" if done and now > FIRST_GUESS_s else ""
        self._write(f"{done:,} of {planned:,} cases{left}")

    def _write(self, text: str) -> None:
        sys.stderr.write(f"\r\x1b[K{text}")
        sys.stderr.flush()


def _duration(seconds: float) -> str:
    """A duration in the two units people would say it in."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
