"""Bring the catalogues up to date with the words that stand in the code, scenarios and data sheets.

Needs Babel, which nobody needs who only uses pvsim. Run again, with whatever release of Babel, it
changes nothing: dates, line numbers and the release's own name are left out, so that two people who
add words rarely meet in one line of a catalogue.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_file
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from pvsim.words import ENGLISH, LOCALE, languages

__all__ = ["catalogue_path", "compiled", "extract_words", "missing", "read_catalogue", "refresh_all"]

ROOT = LOCALE.parent
KEYWORDS = {"_": None, "mark": None, "ngettext": (1, 2), "pgettext": ((1, "c"), 2)}
NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)  # the history of the files says when
WIDTH = 100


class Words(Catalog):
    """A catalogue that does not say which release of Babel wrote it."""

    @property
    def mime_headers(self) -> list[tuple[str, str]]:
        """What stands at the head of a catalogue: (name, value)."""
        headers = super().mime_headers
        return [(name, value) for name, value in headers if name != "Generated-By"]

    @mime_headers.setter
    def mime_headers(self, headers: Iterable[tuple[str, str]]) -> None:
        Catalog.mime_headers.fset(self, headers)  # type: ignore[attr-defined]


def extract_words() -> Catalog:
    """All words there are to translate, with the files they stand in."""
    catalogue = Catalog(project="pvsim", creation_date=NO_DATE, charset="utf-8")
    for path in sorted(ROOT.rglob("*.py")):
        name = path.relative_to(ROOT.parent).as_posix()
        found = extract_from_file("python", path, keywords=KEYWORDS, comment_tags=("TRANSLATORS:",))
        for _line, words, comments, context in found:
            catalogue.add(words, locations=[(name, 0)], auto_comments=comments, context=context)
    for path in sorted([*(ROOT / "scenarios").glob("*.toml"), *(ROOT / "sheets").glob("*.toml")]):
        name = path.relative_to(ROOT.parent).as_posix()
        for words in scenario_words(path):
            catalogue.add(words, locations=[(name, 0)])
    return catalogue


def scenario_words(path: Path) -> Iterator[str]:
    """What the page shows of a scenario or data sheet that comes along: titles and the note."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    for one in (table, *table.get("module_types", ())):
        yield from (one[key] for key in ("title", "note") if one.get(key))


def catalogue_path(code: str, suffix: str = ".po") -> Path:
    """Where the catalogue of a language is kept."""
    return LOCALE / code / "LC_MESSAGES" / f"pvsim{suffix}"


def read_catalogue(code: str) -> Catalog:
    """The catalogue of a language as it is kept; an empty one when there is none."""
    path = catalogue_path(code)
    if not path.exists():
        return Catalog(locale=code, project="pvsim", charset="utf-8")
    with path.open("rb") as file:
        return read_po(file, locale=code)


def refresh(code: str, words: Catalog) -> Catalog:
    """Write the catalogue of a language anew, both forms of it: the words there are, translated if known."""
    kept = read_catalogue(code)
    catalogue = Words(
        locale=code,
        project="pvsim",
        charset="utf-8",
        creation_date=NO_DATE,
        revision_date=NO_DATE,
        fuzzy=False,
        header_comment="# Words of pvsim. Refreshed by: python -m pvsim.locale",
    )
    for message in words:
        if not message.id:
            continue
        known = _known(kept, message)
        catalogue.add(
            message.id,
            known.string if known is not None and not known.fuzzy else None,
            locations=message.locations,
            auto_comments=message.auto_comments,
            user_comments=known.user_comments if known is not None else (),
            context=message.context,
        )
    _set_aside(catalogue, kept)
    path = catalogue_path(code)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(file, catalogue, width=WIDTH, include_lineno=False, sort_by_file=True)
    catalogue_path(code, ".mo").write_bytes(compiled(catalogue))
    return catalogue


def _known(kept: Catalog, message: Message) -> Message | None:
    """The message as it was kept, also where its text was not in the code for a while."""
    aside = kept.obsolete.get(_key(message))
    return kept.get(message.id, message.context) or aside


def _set_aside(catalogue: Catalog, kept: Catalog) -> None:
    """Keep translations whose text is gone: it may be in another branch, or come back."""
    for message in (*kept, *kept.obsolete.values()):
        gone = message.id and catalogue.get(message.id, message.context) is None
        if gone and not missing((message,)):
            message.locations = []
            catalogue.obsolete[_key(message)] = message


def _key(message: Message) -> tuple[str, str] | str:
    """How a catalogue finds a message, as Babel has it."""
    one = message.id[0] if isinstance(message.id, (list, tuple)) else message.id
    return (one, message.context) if message.context is not None else one


def compiled(catalogue: Catalog) -> bytes:
    """The form in which a catalogue is read while pvsim runs."""
    file = BytesIO()
    write_mo(file, catalogue)
    return file.getvalue()


def missing(messages: Iterable[Message]) -> list[Message]:
    """The messages without a translation, or with one of their forms missing."""
    empty = []
    for message in messages:
        forms = message.string if isinstance(message.string, tuple) else (message.string,)
        if message.id and not all(forms):
            empty.append(message)
    return empty


def refresh_all() -> int:
    """Refresh every language; 1 when something waits for a translator."""
    words, waiting = extract_words(), 0
    for one in languages():
        if one is ENGLISH:
            continue
        empty = missing(refresh(one.code, words))
        waiting += len(empty)
        print(f"{one.name}: {len(words)} texts, {len(empty)} without a translation")
        for message in empty:
            where = ", ".join(sorted({file for file, _line in message.locations}))
            print(f"  {where}: {message.id!r}")
    return 1 if waiting else 0
