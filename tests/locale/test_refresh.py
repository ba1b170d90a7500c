"""The catalogues: everything translated, nothing lost on the way into them or out of them."""

from __future__ import annotations

import ast
import gettext
import io
import re
from string import Formatter

import pytest
from babel.messages.catalog import Catalog

from pvsim.locale import refresh as refresh_module
from pvsim.locale.refresh import (
    ROOT,
    catalogue_path,
    compiled,
    extract_words,
    missing,
    read_catalogue,
    refresh,
)
from pvsim.words import languages


def fields_of(text):
    return sorted(field for _text, field, _form, _conversion in Formatter().parse(text) if field is not None)


@pytest.fixture(scope="module")
def words():
    return extract_words()


@pytest.fixture(scope="module")
def found(words):
    return {(one.id, one.context): one for one in words if one.id}


def catalogue_of(code):
    return {(one.id, one.context): one for one in read_catalogue(code) if one.id}


OTHERS = [one.code for one in languages() if one.code != "en"]


def test_no_text_escapes_by_where_it_stands_in_the_code(found):
    """Some releases of Python give no word of what stands within an f-string to those who look for texts."""
    words = {one for text, _context in found for one in (text if isinstance(text, tuple) else (text,))}
    written = {path: path.read_text(encoding="utf-8") for path in ROOT.rglob("*.py")}
    escaped = {
        f"{path.relative_to(ROOT)}:{call.lineno}: {call.args[0].value}"
        for path, text in written.items()
        if re.search(r"\b(?:_|mark|ngettext)\b", text)  # to be called, a name has to stand there
        for call in ast.walk(ast.parse(text))
        if isinstance(call, ast.Call)
        and isinstance(call.func, ast.Name)
        and call.func.id in ("_", "mark", "ngettext")
        and call.args
        and isinstance(call.args[0], ast.Constant)
        and isinstance(call.args[0].value, str)
        and call.args[0].value not in words
    }
    assert escaped == set()


@pytest.mark.parametrize("code", OTHERS)
def test_every_text_is_translated_and_none_is_left_over(code, found):
    """Refresh with `python -m pvsim.locale`, then fill in what is empty in the .po and refresh again."""
    catalogue = catalogue_of(code)
    assert set(found) - set(catalogue) == set(), "not in the catalogue yet"
    assert set(catalogue) - set(found) == set(), "no longer in the code"
    assert [one.id for one in missing(catalogue.values())] == []
    assert [key for key, one in catalogue.items() if one.fuzzy] == []


@pytest.mark.parametrize("code", OTHERS)
def test_a_translation_has_the_fields_of_its_text(code):
    wrong = []
    for (text, _context), one in catalogue_of(code).items():
        if isinstance(text, tuple):  # the form for one may leave the count out
            first, last = set(fields_of(one.string[0])), fields_of(one.string[-1])
            fits = first <= set(fields_of(text[1])) and last == fields_of(text[1])
        else:
            fits = fields_of(one.string) == fields_of(text)
        if not fits:
            wrong.append((text, one.string))
    assert wrong == []


@pytest.mark.parametrize("code", OTHERS)
def test_a_translation_keeps_the_ends_of_its_text(code):
    """A text that starts or ends with a space is put beside another; a full stop ends a sentence."""
    for (text, _context), one in catalogue_of(code).items():
        pairs = zip(text, one.string, strict=True) if isinstance(text, tuple) else [(text, one.string)]
        for english, other in pairs:
            assert (english[0] == " ", english[-1] == " ") == (other[0] == " ", other[-1] == " "), english
            assert english.endswith(".") == other.endswith("."), (english, other)


def test_an_ellipsis_in_german_stands_apart_from_a_whole_word():
    said = (one.string for one in catalogue_of("de").values())
    texts = [text for one in said for text in ([one] if isinstance(one, str) else one)]
    assert [text for text in texts if re.search(r"\w…|\w ?\.\.\.", text)] == []


def said(compiled_words):
    """What a compiled catalogue says, apart from its head: another release of Babel writes another head."""
    with io.BytesIO(compiled_words) as file:
        words = dict(gettext.GNUTranslations(file)._catalog)
    words.pop("", None)
    return words


@pytest.mark.parametrize("code", OTHERS)
def test_what_is_read_while_pvsim_runs_fits_the_catalogue(code):
    kept = said(catalogue_path(code, ".mo").read_bytes())
    assert kept == said(compiled(read_catalogue(code)))
    assert len(kept) >= len(catalogue_of(code))


@pytest.mark.parametrize("version", ["2.14.0", "99.0"])
def test_another_release_of_babel_writes_the_same_catalogue(version, words, tmp_path, monkeypatch):
    """A refresh on a fresh machine leaves nothing to commit."""
    code = OTHERS[0]
    kept = {suffix: catalogue_path(code, suffix).read_bytes() for suffix in (".po", ".mo")}
    monkeypatch.setattr("babel.messages.catalog.VERSION", version)
    monkeypatch.setattr(refresh_module, "LOCALE", tmp_path)
    catalogue_path(code).parent.mkdir(parents=True)
    catalogue_path(code).write_bytes(kept[".po"])
    refresh(code, words)
    for suffix, before in kept.items():
        written = catalogue_path(code, suffix).read_bytes()
        assert b"Generated-By" not in written
        is_same = written == before  # alone: what differs of two large files takes minutes to write out
        assert is_same, f"the catalogue's {suffix} is not as a refresh leaves it: python -m pvsim.locale"


def test_a_translation_outlives_its_text(tmp_path, monkeypatch) -> None:
    """Texts of another branch come back with the translation they had."""
    monkeypatch.setattr(refresh_module, "LOCALE", tmp_path)
    first, second = Catalog(), Catalog()
    for text in ("Light", "Wind"):
        first.add(text)
    second.add("Wind")
    refresh("de", first)
    path = catalogue_path("de")
    path.write_text(path.read_text().replace('msgid "Light"\nmsgstr ""', 'msgid "Light"\nmsgstr "Licht"'))
    refresh("de", first)
    assert [one.id for one in refresh("de", second) if one.id] == ["Wind"]
    assert "Licht" not in catalogue_path("de", ".mo").read_bytes().decode("utf-8", "replace")
    assert refresh("de", first)["Light"].string == "Licht"
