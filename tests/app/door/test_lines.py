"""Lines of the log are short, whatever is written into them."""

from __future__ import annotations

import logging

import pytest

from pvsim.app.door.lines import CUT, LONGEST_LINE, LONGEST_TRACE, ShortLines, short


@pytest.mark.parametrize("length", [0, 1, 99, 100, 101, 5000])
def test_a_text_keeps_its_ends(length):
    text = "".join(chr(97 + k % 26) for k in range(length))
    cut = short(text, 100)
    assert len(cut) <= 100
    assert cut == text or (CUT in cut and text.startswith(cut[:50]) and text.endswith(cut[-20:]))


def test_a_long_record_and_its_traceback_are_shortened():
    logger = logging.Logger("one of its own")
    heard: list[str] = []

    class Keep(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            heard.append(self.format(record))

    logger.addHandler(Keep())
    logger.addFilter(ShortLines())
    logger.warning("said %s", "x" * 60_000)
    logger.warning("plain, 100 %")
    try:
        raise ValueError("y" * 60_000)
    except ValueError:
        logger.exception("failed %s", "z" * 60_000)
    assert len(heard[0]) <= LONGEST_LINE
    assert heard[1] == "plain, 100 %"
    assert "ValueError" in heard[2]
    assert len(heard[2]) <= LONGEST_LINE + LONGEST_TRACE + 1
