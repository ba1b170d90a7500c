"""How numbers are written in the language of a lesson."""

from __future__ import annotations

from dataclasses import dataclass

_COMMA = ("cs", "da", "es", "fi", "fr", "it", "nb", "nl", "pl", "pt", "sv")  # decimal comma, by CLDR


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """A language's way with numbers.

    Parameters
    ----------
    decimal : str
        Its decimal mark.
    words : tuple of str
        Whole numbers from 0 on as words; those beyond are written in digits.
    negates : bool
        Whether the word for 0 is the word for 1 with a k before it, in every form that it has:
        German "eine", "keine".
    """

    decimal: str = "."
    words: tuple[str, ...] = ()
    negates: bool = False


_ENGLISH = Manner(
    words=(
        "no",
        *("one", "two", "three", "four", "five", "six"),
        *("seven", "eight", "nine", "ten", "eleven", "twelve"),
    ),
)
_GERMAN = Manner(
    decimal=",",
    words=(
        "kein",
        *("ein", "zwei", "drei", "vier", "fünf", "sechs"),
        *("sieben", "acht", "neun", "zehn", "elf", "zwölf"),
    ),
    negates=True,
)
_MANNERS = {"en": _ENGLISH, "de": _GERMAN} | dict.fromkeys(_COMMA, Manner(decimal=","))


def manner_of(language: str) -> Manner:
    """The manner of a language; of one that is not known digits and a decimal point alone."""
    return _MANNERS.get(language.partition("-")[0], Manner())


def spell(number: int, manner: Manner, one: str = "") -> str:
    """A whole number as a word; "" when it has none.

    Parameters
    ----------
    one : str
        The form that 1 takes in this place, such as "eine" or "einen"; the plain one if empty.
    """
    if not 0 <= number < len(manner.words):
        return ""
    if one and number == 1:
        return one
    if one and number == 0 and manner.negates:
        return f"k{one}"
    return manner.words[number]
