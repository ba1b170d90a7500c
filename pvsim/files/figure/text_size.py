"""How much room a text takes in a figure, whatever face it is set in."""

from __future__ import annotations

from unicodedata import normalize

__all__ = ["BOLD", "LINE", "shortened", "text_width", "wrapped"]

LINE = 1.25  # height of a line, in sizes of its type

# Hundredths of an em: the wider of the shipped face, which PNG is set in, and DejaVu Sans, the widest of the
# faces that an SVG on somebody else's screen is likely to be shown in.
_WIDTHS = {
    0: "\u200b",
    25: "\u202f\u2009",
    30: "'ijl",
    35: " ,.:;|\u00a0·",
    40: "()-/I[\\]ft",
    45: "!r",
    50: '"*_`°²³–',
    55: "?Jcsz§",
    60: "FLkvxy",
    65: "$0123456789EPSTYabdeghnopqu{}Σß",
    70: "ABCKRVXZΔ",
    75: "NU",
    80: "&DGHOQ",
    85: "#+<=>^w~±×−≤≥",
    90: "M",
    100: "%@Wm",
}
_WIDTH = {letter: hundredths / 100 for hundredths, letters in _WIDTHS.items() for letter in letters}
BOLD = 1.13  # how much wider semi-bold letters are
_CUT = "..."


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text in px, at most.

    Parameters
    ----------
    text : str
        What is written.
    size : float
        Of its type, in px.
    bold : bool
        Whether it is set semi-bold.
    """
    em = sum(_WIDTH.get(letter) or _WIDTH.get(normalize("NFD", letter)[0], 1.0) for letter in text)
    return size * em * (BOLD if bold else 1.0)


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """The text, or as much of its beginning as has room in a width of px."""
    if text_width(text, size, bold=bold) <= width:
        return text
    room = width - text_width(_CUT, size, bold=bold)
    end = len(text)
    while end and text_width(text[:end].rstrip(), size, bold=bold) > room:
        end -= 1
    return text[:end].rstrip() + _CUT


def wrapped(text: str, width: float, size: float, *, most: int = 99) -> list[str]:
    """The text in lines of a width of px; of the last of `most` lines as much as has room."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if text_width(longer, size) <= width or not lines[-1] or len(lines) == most:
            lines[-1] = longer
        else:
            lines.append(word)
    return [shortened(line, width, size) for line in lines]
