"""Checks what a lesson's text refers to in its course: tracks by asides, terms by marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from pvsim.course.table import KeyPath, Report
from pvsim.course.text.blocks import asides, without_figures
from pvsim.course.text.body import NOTES, Section
from pvsim.course.text.closing import Pair, check_closed
from pvsim.course.text.terms import TERM, Marked, id_of, marked_terms
from pvsim.errors import nearest

_MARK = Pair(
    opens="[[",
    closes="]]",
    whole=TERM,
    name="marked term",
    signs="brackets",
    written="[[words]] or [[words|id]]",
)

Sections = Mapping[tuple[str, str], Section]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the lessons of a course may refer to.

    Parameters
    ----------
    tracks : tuple of str
        Ids; each lesson has something for every one of them.
    terms : mapping of str to str
        Words of the glossary by id.
    """

    tracks: tuple[str, ...] = ()
    terms: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


def check_marks(sections: Sections, known: Known | None, report: Report) -> None:
    """Note asides and terms that lead nowhere, stand where nobody sees them, or are missing.

    Parameters
    ----------
    known : Known or None
        The course around the lesson; None when it stands alone, and only what can be told
        from the lesson itself is looked at.
    """
    _check_asides(sections, known, report)
    first: dict[str, int] = {}
    for (_, part), section in sections.items():
        text = without_figures(section.text)
        check_closed(_MARK, text, section.line, report)
        for one in marked_terms(text):
            line = section.line + one.line
            if part == NOTES:
                report.add(
                    line,
                    f"the term '{one.label}' is marked in the notes",
                    expected="marks in the text that learners read",
                    mend="Write the words alone",
                )
            elif one.id in first:
                report.add(
                    line,
                    f"the term '{one.id}' is marked twice",
                    expected="a mark where the lesson first uses the term",
                    mend=f"Write the words alone; the first mark is on line {first[one.id]}",
                )
            else:
                first[one.id] = line
                _check_term(one, line, known, report)


def refuse_marks(texts: list[tuple[str, KeyPath]], report: Report) -> None:
    """Note marks in texts of the front matter, which show none."""
    for text, path in texts:
        if "[[" in text or "```" in text:
            report.add(
                path,
                "a term is marked here" if "[[" in text else "a block stands here",
                expected="marks and blocks in the text behind the front matter",
                mend="Write the words alone",
            )


def _check_asides(sections: Sections, known: Known | None, report: Report) -> None:
    seen: set[str] = set()
    for (_, part), section in sections.items():
        for aside in asides(section.text):
            line = section.line + aside.line
            seen.add(aside.name)
            if part == NOTES:
                report.add(
                    line,
                    "an aside stands in the notes",
                    expected="asides in the text that learners read",
                    mend="Write it as plain text",
                )
            for inside in asides(aside.text):
                report.add(
                    line + 1 + inside.line,
                    "an aside stands within an aside",
                    expected="asides beside one another",
                    mend="Close the one around it first",
                )
            if not aside.text.strip():
                report.add(line, "the aside is empty", expected="text in it", mend="Write it or delete it")
            if known is not None and aside.name not in known.tracks:
                tracks = ", ".join(known.tracks)
                report.add(
                    line,
                    f"the course has no track '{aside.name}'",
                    expected=f"```aside and one of {tracks}" if tracks else "tracks in course.toml",
                    mend=nearest(aside.name, known.tracks) if tracks else "Add [[tracks]] to course.toml",
                )
    for track in known.tracks if known is not None else ():
        if track not in seen:
            report.add(
                1,
                f"the lesson has no aside for the track '{track}'",
                expected="at least one for each track of the course",
                mend=f"Write a block that begins with ```aside {track}",
            )


def _check_term(one: Marked, line: int, known: Known | None, report: Report) -> None:
    if known is None or one.id in known.terms:
        return
    named = [name for name, words in known.terms.items() if id_of(words) == id_of(one.label)]
    if named:
        mend = f"Write [[{one.label}|{named[0]}]]"
    elif known.terms:
        mend = nearest(one.id, known.terms, "Write [[words|id]], or add the term to glossary.toml")
    else:
        mend = "Write glossary.toml, or the words alone"
    report.add(line, f"the glossary has no term '{one.id}'", expected="the id of an entry", mend=mend)
