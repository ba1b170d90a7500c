"""Comparisons in words that nothing in their sentence bears out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pvsim.course.text.blocks import figures
from pvsim.course.text.claim_words import words_of_comparison
from pvsim.course.text.terms import TERM
from pvsim.course.text.typed_numbers import COMPUTED, typed_numbers

MASK = "\ufffc"  # in place of what is computed
VEIL = "\ue002"  # in place of what somebody else says; private use

_CLOSERS = rf"[*\"\u201c\u201d»)\]{MASK}]*"
_END = re.compile(rf"(?:(?<!\b[zBdhuape])\.|[!?…]){_CLOSERS}\s+(?=[A-ZÄÖÜ\d(*\"\u201e\[~{MASK}])")
_APART = re.compile(r"\s*(?:```.*|~~~.*)?$|\s*(?:[|*-]|\d+\.)\s")  # what begins a paragraph of its own
_CAPTION = re.compile(r'\s*caption\s*=\s*"(.*)"\s*')
_QUOTED = re.compile(r'"[^"]{1,600}"|\u201e[^\u201c]{1,600}\u201c')
_EMPHASIS = re.compile(r"(?<!\*)\*[^*]{1,200}\*(?!\*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A comparison that is neither computed nor warranted.

    Parameters
    ----------
    words : tuple of str
        The words that make it one.
    sentence : str
    line : int
        On which the sentence begins, counted from 0.
    """

    words: tuple[str, ...]
    sentence: str
    line: int


def open_claims(text: str, language: str, *, others: bool = False) -> Iterator[Claim]:
    """The sentences of a text that compare, and say neither by how much nor where that is checked.

    What is asked or quoted claims nothing. A typed quantity counts as a number: it is held elsewhere.

    Parameters
    ----------
    text : str
        Markdown with {{ numbers and warrants }}.
    language : str
        Whose words are looked for.
    others : bool
        Whether words in *emphasis* are what others say, as in notes that name wrong answers.
    """
    for line, paragraph in _paragraphs(text):
        said = _EMPHASIS.sub(_veiled, paragraph) if others else paragraph
        said = _QUOTED.sub(_veiled, said)
        for begin, end in _sentences(said):
            mine = " ".join(said[begin:end].split())
            if MASK in paragraph[begin:end] or mine.rstrip('*")\u201c ').endswith("?"):
                continue
            words = words_of_comparison(TERM.sub(r"\1", mine).replace("*", ""), language)
            if words and not any(typed_numbers(mine, ())):
                yield Claim(
                    words=tuple(words),
                    sentence=" ".join(paragraph[begin:end].split()),
                    line=line + paragraph.count("\n", 0, begin),
                )


def _veiled(match: re.Match[str]) -> str:
    """As many characters, in the same lines, that end no sentence and are no word."""
    return re.sub(r"[^\n]", VEIL, match[0])


def _sentences(paragraph: str) -> Iterator[tuple[int, int]]:
    """Where the sentences of a paragraph begin and end."""
    begin = 0
    for match in _END.finditer(paragraph):
        yield begin, match.end()
        begin = match.end()
    yield begin, len(paragraph)


def _paragraphs(text: str) -> Iterator[tuple[int, str]]:
    """Stretches of running text with the line each begins on; what is computed is masked."""
    masked = COMPUTED.sub(lambda match: re.sub(r"[^\n]", MASK, match[0]), text)
    first, found = 0, list[str]()
    for number, line in enumerate(_captions_alone(masked.split("\n"))):
        if _APART.match(line) and found:
            yield first, "\n".join(found)
            found = []
        if line.strip() and not line.lstrip().startswith(("```", "~~~")):
            first = first if found else number
            found.append(line)
    if found:
        yield first, "\n".join(found)


def _captions_alone(lines: list[str]) -> list[str]:
    """The lines of a text, of figures the captions alone."""
    left = list(lines)
    for begin, inside in figures("\n".join(lines)):
        for number in range(begin, begin + inside.count("\n") + 1):
            caption = _CAPTION.fullmatch(lines[number])
            left[number] = caption[1] if caption else ""
    return left
