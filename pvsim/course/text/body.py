"""The two halves of a lesson file, and the sections of its text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from pvsim.course.table import Report
from pvsim.course.text.blocks import blocks
from pvsim.errors import nearest

FENCE = "+++"
NOTES = "notes"  # for the lecturer alone
PARTS = ("predict", "act", "observe", "explain", NOTES)

_HEADING = re.compile(r"^(#{1,3})\s+(.*)$")
_MEANT = re.compile(r"^\s*(#{2,3})\s*([a-z0-9-]+)\s*$")  # set in, or without a space


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A stretch of lesson text, the line of the file it begins on, and that of its heading."""

    text: str = ""
    line: int = 0
    heading: int = 1

    def __bool__(self) -> bool:
        return bool(self.text.strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class Halves:
    """Front matter and body of a lesson file, with the line each begins on."""

    front: str
    front_line: int
    body: str
    body_line: int


def split_lesson(text: str, report: Report) -> Halves | None:
    """Cut a lesson file into front matter and body.

    Returns
    -------
    Halves or None
        None, and a problem in the report, when the two +++ lines are not there.
    """
    lines = text.splitlines()
    fences = [number for number, line in enumerate(lines) if line.rstrip() == FENCE]
    if not lines or not fences or fences[0] != 0:
        report.add(
            1,
            "the file does not begin with front matter",
            expected=f"{FENCE} alone on the first line",
            mend=f'Begin with a line {FENCE}, then title = "..." and the rest, then {FENCE} again',
        )
        return None
    if len(fences) < 2:
        report.add(
            1,
            "the front matter is not closed",
            expected=f"a second line {FENCE} before the text begins",
            mend=f"Put {FENCE} alone on a line behind the last key",
        )
        return None
    end = fences[1]
    return Halves(
        front="\n".join(lines[1:end]),
        front_line=2,
        body="\n".join(lines[end + 1 :]),
        body_line=end + 2,
    )


def split_body(body: str, first_line: int, report: Report) -> Mapping[tuple[str, str], Section]:
    """Sections of a lesson's text by (step id, part).

    A heading `## id` opens the step of that id, `### predict` (act, observe, explain, notes)
    one of its parts. Text before the first heading is ("", ""); text between a step's
    heading and its first part is (id, "").
    """
    sections: dict[tuple[str, str], tuple[list[str], int]] = {}
    key = ("", "")
    sections[key] = ([], first_line)
    fenced = _fenced_lines(body, first_line, report)
    for number, line in enumerate(body.split("\n"), first_line):
        heading = None if number in fenced else _HEADING.match(line) or _meant(line, number, report)
        if heading is None:
            sections[key][0].append(line)
            continue
        depth, name = len(heading[1]), heading[2].rstrip().rstrip("#").strip()
        if depth == 1:
            report.add(
                number,
                f"the heading '# {name}' opens nothing",
                expected="## and a step's id, or ### and one of " + ", ".join(PARTS),
                mend="The title belongs in the front matter; delete this heading",
            )
            continue
        if depth == 3 and (not key[0] or name not in PARTS):
            report.add(
                number,
                f"the heading '### {name}' is no part of a step",
                expected="### and one of " + ", ".join(PARTS) + ", below a ## heading",
                mend=nearest(name, PARTS, "Use **bold** for a heading inside the text"),
            )
            continue
        key = (name, "") if depth == 2 else (key[0], name)
        if key in sections:
            report.add(
                number,
                f"the section '{' / '.join(part for part in key if part)}' is there twice",
                expected="each section once",
                mend=f"Join it with the one that begins on line {sections[key][1]}",
            )
        sections[key] = ([], number + 1)
    return {
        key: Section(
            text="\n".join(lines).strip("\n"), line=_first_full(lines, line), heading=max(line - 1, 1)
        )
        for key, (lines, line) in sections.items()
    }


def _meant(line: str, number: int, report: Report) -> re.Match[str] | None:
    """A heading that Markdown would not take for one; told, and taken as it was meant."""
    heading = _MEANT.match(line)
    if heading is not None:
        report.add(
            number,
            f"'{line.strip()}' is not read as a heading",
            expected="# signs at the very beginning of the line, then a space",
            mend=f"Write {heading[1]} {heading[2]}, with nothing before it",
        )
    return heading


def _first_full(lines: list[str], first_line: int) -> int:
    """Line of the first line that is not empty, which the stripped text begins with."""
    for offset, line in enumerate(lines):
        if line.strip():
            return first_line + offset
    return first_line


def _fenced_lines(body: str, first_line: int, report: Report) -> set[int]:
    """Lines in fenced blocks, where no heading counts; a block that nothing closes is told."""
    found: set[int] = set()
    for block in blocks(body):
        found.update(range(first_line + block.line, first_line + block.end))
        if not block.closed:
            report.add(
                first_line + block.line,
                "the block that begins here is not closed",
                expected="a line with the same three marks behind its last line",
                mend="Close it before the next heading",
            )
    return found
