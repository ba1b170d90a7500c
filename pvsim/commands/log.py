"""What a server process prints of its work: whole lines, and none longer than anybody reads."""

from __future__ import annotations

import logging

__all__ = ["LONGEST_LINE", "MOST_LINES", "log_briefly"]

LONGEST_LINE = 500  # characters; an address or a message from outside may have a million
MOST_LINES = 100  # of one record; a traceback has some thirty


class BriefFormatter(logging.Formatter):
    """Cuts long lines in their middle, and long records at their end."""

    def format(self, record: logging.LogRecord) -> str:
        """The record as text."""
        lines = super().format(record).splitlines() or [""]
        told = [_cut(line) for line in lines[:MOST_LINES]]
        more = len(lines) - MOST_LINES
        return "\n".join([*told, f"... {more:,} more lines"] if more > 0 else told)


def _cut(line: str) -> str:
    half = LONGEST_LINE // 2
    printable = line if line.isprintable() else "".join(c if c.isprintable() else " " for c in line)
    return printable if len(line) <= LONGEST_LINE else f"{printable[: half - 5]} ... {printable[-half:]}"


def log_briefly() -> None:
    """Print warnings of all libraries to the standard error, each of bounded length."""
    handler = logging.StreamHandler()
    handler.setFormatter(BriefFormatter("%(levelname)s %(name)s: %(message)s"))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    bokeh = logging.getLogger("bokeh")  # has a handler of its own, which cuts nothing
    bokeh.handlers.clear()
    bokeh.propagate = True
