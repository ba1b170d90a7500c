"""The glossary of a course: glossary.toml, one table for each term."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pvsim.course.table import Table
from pvsim.errors import nearest

GLOSSARY_FILE = "glossary.toml"
MOST_TERMS = 300
LONGEST_MEANING = 600  # characters; it has to fit beside the text

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_FOREIGN = re.compile(r"\{\{|\[\[|```")


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One entry.

    Parameters
    ----------
    id : str
        As texts name it.
    term, meaning : str
        The words and what they mean; Markdown without computed numbers.
    source : str
        Where the meaning is from.
    see : tuple of str
        Ids of other entries.
    language : str
        It is written in.
    """

    id: str
    term: str
    meaning: str
    source: str
    see: tuple[str, ...] = ()
    language: str = "en"


def read_glossary(top: Table, language: str = "en") -> Mapping[str, Term]:
    """The terms of a glossary file by id; problems go to its report."""
    found: dict[str, Term] = {}
    if len(top.values) > MOST_TERMS:
        top.report.add(
            1,
            f"the glossary has {len(top.values)} terms",
            expected=f"at most {MOST_TERMS}",
            mend="Keep those that a lesson marks",
        )
    for name in list(top.values)[:MOST_TERMS]:
        table = top.table(name)
        if table is None:
            continue
        if not _ID.fullmatch(name):
            top.refuse(name, f"'{name}' is no id", expected="small letters, digits and hyphens")
        found[name] = Term(
            id=name,
            term=table.text("term", longest=60),
            meaning=_meaning(table),
            source=table.text("source", longest=300),
            see=table.texts("see", most=6),
            language=language,
        )
        _check_see(table, found[name], top)
        table.close()
    return found


def translated_glossary(
    top: Table | None, glossary: Mapping[str, Term], language: str
) -> Mapping[str, Term]:
    """The glossary with the texts of a translated file; a term that it lacks keeps its own."""
    found = dict(glossary)
    if top is None:
        return found
    for name in top.values:
        table = top.table(name)
        if table is None:
            continue
        if name not in glossary:
            top.refuse(
                name,
                f"the glossary has no term '{name}'",
                expected="the ids of the original",
                mend=nearest(name, glossary),
            )
            continue
        term, meaning = table.text("term", longest=60), _meaning(table)
        source = table.text("source", default=glossary[name].source, longest=300)
        table.close()
        found[name] = replace(glossary[name], term=term, meaning=meaning, source=source, language=language)
    for name in glossary:
        if name not in top.values:
            top.report.add(
                1,
                f"the term '{name}' is not translated",
                expected="every term of the original",
                mend=f"Add a table [{name}] with term and meaning",
            )
    return found


def _meaning(table: Table) -> str:
    text = table.text("meaning", longest=LONGEST_MEANING)
    if _FOREIGN.search(text):
        table.refuse(
            "meaning",
            "the meaning holds a computed number, a marked term or a block",
            expected="words alone, with emphasis and subscripts",
            mend="Name other terms under 'see'",
        )
    return text


def _check_see(table: Table, term: Term, top: Table) -> None:
    for other in term.see:
        if other not in top.values or other == term.id:
            table.refuse(
                "see",
                f"'{term.id}' says to see '{other}'",
                expected="ids of other terms",
                mend=nearest(other, [name for name in top.values if name != term.id]),
            )
