"""Lines of the log, none longer than a screen: what a stranger sends is not copied into them at length."""

from __future__ import annotations

import logging
import traceback

__all__ = ["LONGEST_LINE", "ShortLines", "short"]

LONGEST_LINE = 1000  # characters
LONGEST_TRACE = 6000
CUT = " […] "


def short(text: str, most: int = LONGEST_LINE) -> str:
    """A text with its middle left out where it is longer than that.

    Parameters
    ----------
    text : str
    most : int
        Characters that are left.
    """
    if len(text) <= most:
        return text
    keep = most - len(CUT)
    return text[: keep - keep // 3] + CUT + text[len(text) - keep // 3 :]


class ShortLines(logging.Filter):
    """Shortens every record of the loggers it is put on; lets all of them through."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Shorten a record, its traceback too."""
        record.msg, record.args = short(record.getMessage()), None
        if record.exc_info and record.exc_info[0] is not None and record.exc_text is None:
            record.exc_text = short(
                "".join(traceback.format_exception(*record.exc_info)).rstrip(), LONGEST_TRACE
            )
        return True
