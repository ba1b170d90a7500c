"""The words of pvsim: every text that people read on the page goes through here to be translated.

The language belongs to the session at work, not to the process: it lies in a context variable, which is
English unless somebody says otherwise, as the page does around each message. So no text is translated
while modules are imported; a constant is `mark`ed, and translated where it is shown.

    _("Light")                                  here and now
    ngettext("{n} cell", "{n} cells", n)        with a count
    pgettext("a broken cable", "open")          one English word for two things
    TITLES = {"pole": mark("a pole's shadow")}  a constant: shown with _(TITLES["pole"])

Catalogues lie in pvsim/locale/<language>/LC_MESSAGES; `python -m pvsim.locale` refreshes them.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Protocol

__all__ = [
    "ENGLISH",
    "LOCALE",
    "PSEUDO",
    "Language",
    "_",
    "accepted_language",
    "decimal_mark",
    "known_language",
    "language",
    "languages",
    "mark",
    "ngettext",
    "pgettext",
    "speaking",
    "voltage_symbol",
]

LOCALE = Path(__file__).with_name("locale")
MOST_ACCEPTED = 200  # characters of an Accept-Language that are looked at; browsers send a tenth


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """A language of the page.

    Parameters
    ----------
    code : str
        As in `<html lang>` and in an address.
    name : str
        What its speakers call it.
    decimal : str
        Its decimal mark.
    """

    code: str
    name: str
    decimal: str = "."


ENGLISH = Language(code="en", name="English")
PSEUDO = Language(code="qps", name="[Ƥşéüðö]")  # for tests: English, accented and longer
_OFFERED = (ENGLISH, Language(code="de", name="Deutsch", decimal=","))
_KNOWN = {one.code: one for one in (*_OFFERED, PSEUDO)}

_now: ContextVar[Language] = ContextVar("language", default=ENGLISH)


class Catalogue(Protocol):
    """What is asked of a catalogue, as the standard library's have it."""

    def gettext(self, message: str, /) -> str: ...
    def ngettext(self, msgid1: str, msgid2: str, n: int, /) -> str: ...
    def pgettext(self, context: str, message: str, /) -> str: ...


def _(text: str) -> str:
    """The text in the language spoken now; English where no translation exists."""
    now = _now.get()
    return text if now is ENGLISH or not text else _catalogue(now.code).gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """The form of a text that goes with a count."""
    now = _now.get()
    if now is ENGLISH:
        return one if count == 1 else many
    return _catalogue(now.code).ngettext(one, many, count)


def pgettext(context: str, text: str) -> str:
    """The text in the language spoken now, where one English word means several things.

    Parameters
    ----------
    context : str
        Which of them is meant, in a few words for the translator.
    text : str
        The English text.
    """
    now = _now.get()
    return text if now is ENGLISH else _catalogue(now.code).pgettext(context, text)


def mark(text: str) -> str:
    """The text itself, marked as one to be translated when it is shown."""
    return text


def language() -> Language:
    """The language spoken now."""
    return _now.get()


def decimal_mark() -> str:
    """What stands before the decimals in the language spoken now."""
    return _now.get().decimal


def voltage_symbol() -> str:
    """The letter that stands for a voltage in the language spoken now."""
    return pgettext("symbol of a voltage", "V")


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """Speak a language within this block; English when it is not known."""
    before = _now.set(_KNOWN.get(code, ENGLISH))
    try:
        yield
    finally:
        _now.reset(before)


def languages() -> tuple[Language, ...]:
    """The languages a person can choose."""
    return _OFFERED


def known_language(code: str) -> str:
    """The code of a language pvsim speaks, for one that somebody asked for ("de-AT"); "" if it does not."""
    code = code.strip().lower().replace("_", "-")
    return next((one for one in (code, code.partition("-")[0]) if one in _KNOWN), "")


def accepted_language(header: str) -> str:
    """The offered language that a browser likes best; "" if it likes none.

    Parameters
    ----------
    header : str
        Accept-Language, such as "de-AT,de;q=0.8,en;q=0.5" (RFC 9110, 12.5.4); untrusted.
    """
    liked: list[tuple[float, str]] = []
    for part in header[:MOST_ACCEPTED].split(","):
        code, _semicolon, weight = part.partition(";")
        try:
            share = float(weight.strip().removeprefix("q=")) if weight else 1.0
        except ValueError:
            continue
        liked.append((share, known_language(code)))
    offered = {one.code for one in _OFFERED}
    for share, code in sorted(liked, key=lambda one: -one[0]):
        if share > 0.0 and code in offered:
            return code
    return ""


@cache
def _catalogue(code: str) -> Catalogue:
    """The catalogue of a language, read once; of the pseudo-language a machine that makes it."""
    import gettext  # English needs none of it

    if code == PSEUDO.code:
        from pvsim.pseudo import PseudoCatalogue

        return PseudoCatalogue()
    return gettext.translation("pvsim", LOCALE, languages=[code], fallback=True)
