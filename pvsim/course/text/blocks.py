"""Fenced blocks in lesson text: figures, and asides, which may hold figures themselves."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

FIGURE = "figure"
ASIDE = "aside"

_OPENING = re.compile(r"^[ \t]*(`{3,}|~{3,})([^`]*)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One fenced block.

    Parameters
    ----------
    kind, name : str
        The first word behind the fence, and what follows it: "aside", "installer".
    text : str
        What stands in it.
    line : int
        Of its first fence, counted from 0.
    end : int
        Of its last fence; of the line behind the text when it is not closed.
    closed : bool
    """

    kind: str
    name: str
    text: str
    line: int
    end: int
    closed: bool


def blocks(text: str) -> Iterator[Block]:
    """The fenced blocks of a text, without those inside others.

    A longer fence holds shorter ones, so that an aside between lines of four backticks can
    hold a figure between lines of three (CommonMark 0.31, 4.5). However far a line is set in, it
    is text like any other here: nothing is a block of code for that alone.
    """
    lines = text.split("\n")
    at = 0
    while at < len(lines):
        opening = _OPENING.match(lines[at])
        if opening is None:
            at += 1
            continue
        fence = opening[1]
        closing = re.compile(rf"^[ \t]*{fence[0]}{{{len(fence)},}}\s*$")
        end = next((n for n in range(at + 1, len(lines)) if closing.match(lines[n])), len(lines))
        kind, _, name = opening[2].strip().partition(" ")
        yield Block(
            kind=kind,
            name=name.strip(),
            text="\n".join(lines[at + 1 : end]),
            line=at,
            end=end,
            closed=end < len(lines),
        )
        at = end + 1


def figures(text: str) -> Iterator[tuple[int, str]]:
    """What stands in figures, those in asides too, with its line from 0."""
    for block in blocks(text):
        first = block.line + 1
        if block.kind == FIGURE:
            yield first, block.text
        elif block.kind == ASIDE:  # which holds no others
            inside = (one for one in blocks(block.text) if one.kind == FIGURE)
            yield from ((first + one.line + 1, one.text) for one in inside)


def asides(text: str) -> Iterator[Block]:
    """The asides of a text."""
    return (block for block in blocks(text) if block.kind == ASIDE)


def without_figures(text: str) -> str:
    """The text with every figure's lines empty, so that all others keep their numbers."""
    lines = text.split("\n")
    for line, inside in figures(text):
        for number in range(line - 1, line + inside.count("\n") + 2):
            if number < len(lines):
                lines[number] = ""
    return "\n".join(lines)
