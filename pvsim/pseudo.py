"""A language that nobody speaks: English with accents, longer by two fifths, to try the page with.

What was not sent through `pvsim.words` stays plain and is found; what has no room for another language is
cut and is found too. Nothing of it is kept in a file.
"""

from __future__ import annotations

import re

__all__ = ["PseudoCatalogue", "pseudo"]

LONGER = 0.4  # how much longer than the English; German is longer by about a third (from memory)
ACCENTED = str.maketrans(
    "aceghijklnorstuwyzACEGHIJKLNORSTUWYZ",
    "àçéĝĥîĵķļñöŕšţüŵýžÀÇÉĜĤÎĴĶĻÑÖŔŠŢÜŴÝŽ",
)
_KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]*>|&\w+;)")  # fields and markup stay as they are
_WORD = re.compile(r"[A-Za-z]*[a-z][A-Za-z]*")  # units and symbols such as A, W, MPP stay
_VOWEL = re.compile(r"[aeiouyAEIOUY]")


def pseudo(text: str) -> str:
    """The text with accents on its letters and vowels drawn out, fields and markup left alone."""
    parts = _KEPT.split(text)
    plain = sum(len(part) for part in parts[::2])
    words = [word for part in parts[::2] for word in _WORD.findall(part) if len(word) > 1]
    vowels = sum(len(_VOWEL.findall(word)) for word in words)
    missing = max(1, round(LONGER * plain)) if vowels else 0
    done = 0  # vowels seen so far; each gets its even share of what is missing

    def drawn(match: re.Match[str]) -> str:
        nonlocal done
        done += 1
        more = missing * done // vowels - missing * (done - 1) // vowels
        return match[0] + match[0].lower() * more

    def accented(match: re.Match[str]) -> str:
        return _VOWEL.sub(drawn, match[0]).translate(ACCENTED) if len(match[0]) > 1 else match[0]

    return "".join(part if k % 2 else _WORD.sub(accented, part) for k, part in enumerate(parts))


class PseudoCatalogue:
    """Makes each text when it is asked for."""

    def gettext(self, message: str, /) -> str:
        return pseudo(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str:
        return pseudo(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str, /) -> str:
        return pseudo(message)
