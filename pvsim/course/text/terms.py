"""Terms marked in lesson text: [[fill factor]], or [[hot spots|hot-spot]] with the id of its entry."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

TERM = re.compile(r"\[\[([^\[\]|{}]{1,80})(?:\|([^\[\]|{}]{1,60}))?\]\]")

_GAP = re.compile(r"\s+")
_EMPHASIS = re.compile(r"[*_~]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """A term where it stands in a text.

    Parameters
    ----------
    label : str
        The words that the text shows; Markdown.
    id : str
        Of its entry in the glossary.
    line : int
        Counted from 0.
    """

    label: str
    id: str
    line: int


def marked_terms(text: str) -> Iterator[Marked]:
    """The terms marked in a text, in their order."""
    for match in TERM.finditer(text):
        yield Marked(label=match[1], id=term_id(match), line=text.count("\n", 0, match.start()))


def term_id(match: re.Match[str]) -> str:
    """The id that a mark names; without one, that of its words."""
    return match[2].strip() if match[2] else id_of(match[1])


def id_of(words: str) -> str:
    """The id of a term's words: small letters and hyphens."""
    return _GAP.sub("-", _EMPHASIS.sub("", words).strip().lower())
