"""Whether what opens in a text is closed: marked terms, computed numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pvsim.course.table import Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Signs that belong together.

    Parameters
    ----------
    opens, closes : str
    whole : re.Pattern
        What lies between them, with both.
    name, signs : str
        What it is, and what the signs are called, in words.
    written : str
        How it is written.
    """

    opens: str
    closes: str
    whole: re.Pattern[str]
    name: str
    signs: str
    written: str


def check_closed(pair: Pair, text: str, first_line: int, report: Report) -> None:
    """Note the first line on which one of the signs stands without the other.

    Parameters
    ----------
    first_line : int
        Of the text in its file.
    """
    rest = pair.whole.sub(lambda match: "\n" * match[0].count("\n"), text)
    for offset, line in enumerate(rest.split("\n")):
        if pair.opens in line or pair.closes in line:
            report.add(
                first_line + offset,
                f"a {pair.name} is not closed, or far too long",
                expected=pair.written,
                mend=f"Put {pair.closes} behind it, and no other {pair.signs} inside",
            )
            return
