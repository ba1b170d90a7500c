"""A lesson file in its two halves, read as far as it can be without its scenarios."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pvsim.course.lesson.translation import check_sections, lay_over
from pvsim.course.table import Report, Table
from pvsim.course.text.body import Section, split_body, split_lesson
from pvsim.files.toml import Slip, read_toml

LONGEST_LESSON = 200_000  # characters; the longest of the course has a tenth


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """Front matter as it was written, and the text's sections by (step id, part)."""

    values: dict[str, Any]
    sections: Mapping[tuple[str, str], Section]


def read_draft(text: str, report: Report) -> Draft | None:
    """The two halves of a lesson file; None, and a problem in the report, when they cannot be told apart."""
    if len(text) > LONGEST_LESSON:
        report.add(
            0,
            f"the file has {len(text)} characters",
            expected=f"at most {LONGEST_LESSON}",
            mend="Make two lessons of it",
        )
        return None
    halves = split_lesson(text, report)
    if halves is None:
        return None
    report.toml = "\n" * (halves.front_line - 1) + halves.front
    values = read_toml(halves.front)
    if isinstance(values, Slip):
        report.refuse_toml(values, halves.front_line)
        return None
    return Draft(values=values, sections=split_body(halves.body, halves.body_line, report))


def translated_draft(text: str, original: str, slug: str, report: Report) -> Draft | None:
    """A translation laid over its original, which is in order; None when something is in the way."""
    first = read_draft(original, Report(file=f"{slug}.md"))
    draft = read_draft(text, report)
    if first is None or draft is None:
        return None
    values = lay_over(first.values, Table(draft.values, (), report), slug)
    check_sections(first.sections, draft.sections, report)
    if report.problems:  # laid over amiss, the original would be blamed for what is missing here
        return None
    return Draft(values=values, sections=draft.sections)
