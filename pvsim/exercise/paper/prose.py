"""Markdown as runs of words, for paper that knows no HTML: paragraphs, entries of lists, rows of tables.

It is read by the one Markdown reader of lessons, and taken from the few tags which that writes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from html.parser import HTMLParser

from pvsim.exercise.wording import as_html

__all__ = ["Paragraph", "Run", "paragraphs"]

_BLOCKS = {"p", "li", "h1", "h2", "h3", "h4", "h5", "h6", "tr", "pre", "blockquote"}
_INDENT = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Words that look alike."""

    text: str
    bold: bool = False
    italic: bool = False
    sub: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Runs in a block.

    Parameters
    ----------
    runs : tuple of Run
    indent : float
        In pt.
    sign : str
        Before it, such as the bullet of a list's entry.
    """

    runs: tuple[Run, ...]
    indent: float = 0.0
    sign: str = ""


def paragraphs(markdown: str) -> tuple[Paragraph, ...]:
    """A text as paragraphs."""
    reader = _Reader()
    reader.feed(as_html(markdown))
    reader.close()
    reader.finish()
    return tuple(reader.found)


class _Reader(HTMLParser):
    """Collects runs from the tags that the lessons' renderer writes."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[Paragraph] = []
        self._runs: list[Run] = []
        self._look = Run(text="")
        self._lists: list[int] = []  # numbers of entries; -1 for bullets
        self._sign = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _BLOCKS or tag in ("ul", "ol"):
            self.finish()
        if tag in ("td", "th") and any(one.text.strip() for one in self._runs):
            self._runs.append(Run(text=" · "))
        if tag in ("ul", "ol"):
            self._lists.append(-1 if tag == "ul" else int(dict(attrs).get("start") or 1))
        elif tag == "li":
            number = self._lists[-1] if self._lists else -1
            self._sign = "•" if number < 0 else f"{number}."
            if number >= 0:
                self._lists[-1] += 1
        elif tag in ("strong", "th") or (tag[0] == "h" and tag[1:].isdigit()):
            self._look = replace(self._look, bold=True)
        elif tag == "em":
            self._look = replace(self._look, italic=True)
        elif tag == "sub":
            self._look = replace(self._look, sub=True)
        elif tag == "br":
            self._runs.append(replace(self._look, text=" "))

    def handle_endtag(self, tag: str) -> None:
        if tag in ("ul", "ol") and self._lists:
            self.finish()
            self._lists.pop()
        if tag in ("strong", "th") or (tag[0] == "h" and tag[1:].isdigit()):
            self._look = replace(self._look, bold=False)
        elif tag == "em":
            self._look = replace(self._look, italic=False)
        elif tag == "sub":
            self._look = replace(self._look, sub=False)
        if tag in _BLOCKS:
            self.finish()

    def handle_data(self, data: str) -> None:
        text = "".join(" " if c in "\n\t\r" else c for c in data)
        if text.strip(" ") or self._runs:
            self._runs.append(replace(self._look, text=text))

    def finish(self) -> None:
        """End the paragraph at work."""
        if any(one.text.strip(" ") for one in self._runs):
            indent = _INDENT * len(self._lists)
            self.found.append(Paragraph(runs=tuple(self._runs), indent=indent, sign=self._sign))
            self._sign = ""
        self._runs = []
