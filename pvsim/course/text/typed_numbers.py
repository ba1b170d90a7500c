"""Finds numbers with a unit that were typed into lesson text instead of computed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

_NUMBER = r"(?<![\w.,])[-+\u2212]?\d+(?:[.,]\d+)?"
_UNIT = (
    r"(?:[kmM]?W(?:h|/m2|/m²|/cm2|/cm²)?|[kmM]?V|[kmµ]?A|[kMm]?(?:Ω|ohms?)|°\s?C|K|[cmk]?m[2²]?|%|"
    r"(?:milli|kilo)?(?:watts?|volts?|amps?|amperes?)|per\s?cent|percent|degrees|kelvin|"
    r"(?:Milli|Kilo)?(?:[Ww]att|[Vv]olt|[Aa]mpere)|Prozent|Grad|Kelvin)"
)
_SPACE = r"[\s\u00a0\u202f\u2009]*-?"
_WORDS = (
    r"\b(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|"
    r"fifty|sixty|seventy|eighty|ninety|hundred|thousand|"
    r"eine?[mnrs]?|zwei|drei|vier|fünf|sechs|sieben|acht|neun|zehn|elf|zwölf|fünfzehn|zwanzig|dreißig|"
    r"vierzig|fünfzig|sechzig|siebzig|achtzig|neunzig|hundert|tausend)"
)
_SPELT = (
    r"\s(?:watts?|volts?|amps?|amperes?|per\scent|percent|degrees|kelvin|"
    r"(?:Milli|Kilo)?(?:Watt|watt|Volt|volt|Ampere|ampere)|Prozent|Grad|Kelvin)\b"
)
_TYPED = re.compile(rf"{_NUMBER}{_SPACE}{_UNIT}(?![\w²])|{_WORDS}{_SPELT}")
COMPUTED = re.compile(r"\{\{([^{}]{0,400})\}\}")  # bounded, so that no text makes it slow
_APART = re.compile(rf"({_NUMBER}) (?={_UNIT}(?![\w²]))")
_GAP = re.compile(r"[\s\u00a0\u202f\u2009]+")


def typed_numbers(text: str, given: Iterable[str]) -> Iterator[tuple[int, str]]:
    """Numbers with a unit that stand typed in a text.

    Parameters
    ----------
    text : str
        Markdown; what stands in {{ }} is passed over.
    given : iterable of str
        Quantities that may stand as typed.

    Yields
    ------
    (int, str)
        Lines into the text from 0, and the quantity as typed.
    """
    allowed = {plain(one) for one in given}
    blank = COMPUTED.sub(lambda match: re.sub(r"[^\n]", "\ufffc", match[0]), text)
    for match in _TYPED.finditer(blank):
        if plain(match[0]) not in allowed:
            yield blank.count("\n", 0, match.start()), match[0]


def joined(text: str) -> str:
    """The text with no line's end between a typed number and its unit."""
    return _APART.sub("\\1\u202f", text)


def plain(quantity: str) -> str:
    """A typed quantity without its differences of writing."""
    bare = _GAP.sub("", quantity).replace("\u2212", "-").replace(",", ".").replace("²", "2")
    return bare.lower()
