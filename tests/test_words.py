"""Words and their translation: the language belongs to whoever is at work, never to the process."""

from __future__ import annotations

import asyncio
import re
import subprocess
import sys

import pytest

from pvsim.pseudo import pseudo
from pvsim.words import _, accepted_language, known_language, language, ngettext, pgettext, speaking
from tests.loop import run_async
from tests.patience import PATIENCE_s


def test_english_is_spoken_unless_somebody_says_otherwise():
    assert language().code == "en"
    assert _("Light") == "Light"
    assert [ngettext("one", "many", n) for n in (0, 1, 2)] == ["many", "one", "many"]
    assert pgettext("a broken cable", "open") == "open"


def test_a_language_is_spoken_within_its_block_only():
    with speaking("qps"):
        with speaking("en"):
            assert _("Light") == "Light"
        assert _("Light") != "Light"
    assert _("Light") == "Light"


def test_a_language_that_is_not_known_is_english():
    with speaking("tlh"):
        assert language().code == "en"
        assert _("Light") == "Light"


def test_an_error_within_a_block_leaves_the_language_as_it_was():
    with pytest.raises(ZeroDivisionError), speaking("qps"):
        1 / 0
    assert language().code == "en"


def test_what_is_said_at_the_same_time_in_two_languages_stays_apart():
    async def speak(code, heard):
        with speaking(code):
            for _turn in range(5):
                await asyncio.sleep(0)
                heard.append(language().code)

    async def both():
        english, other = [], []
        await asyncio.gather(speak("en", english), speak("qps", other))
        return english, other

    assert run_async(both()) == (["en"] * 5, ["qps"] * 5)


def test_what_is_put_off_is_said_in_the_language_it_was_put_off_in():
    async def later():
        heard = []
        with speaking("qps"):
            asyncio.get_running_loop().call_later(0.001, lambda: heard.append(language().code))
        await asyncio.sleep(0.02)
        return heard

    assert run_async(later()) == ["qps"]


@pytest.mark.parametrize(
    ("header", "code"),
    [
        ("de", "de"),
        ("de-AT,de;q=0.8,en;q=0.5", "de"),
        ("en-US,en;q=0.9,de;q=0.8", "en"),
        ("fr, de;q=0.3, en;q=0.7", "en"),
        ("fr-FR,fr", ""),
        ("de;q=0", ""),
        ("qps", ""),
        ("", ""),
        ("*", ""),
        ("de;q=much, en", "en"),
        (",;,=;q=;;" * 1000, ""),
    ],
)
def test_the_browser_is_asked_for_the_language_it_likes_best(header, code):
    assert accepted_language(header) == code


def test_a_language_is_known_with_or_without_its_country():
    assert [known_language(code) for code in ("de", "DE-at", "de_CH", "qps", "xx", "")] == [
        "de", "de", "de", "qps", "", "",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "text",
    ["Light", "{count} cells of {whole}", "No light reaches the cell; it is sound.", "A <b>bold</b> word"],
)
def test_the_pseudo_language_is_longer_by_two_fifths_and_keeps_fields_and_markup(text):
    long = pseudo(text)
    kept = r"\{[^{}]*\}|<[^<>]*>"
    assert re.findall(kept, long) == re.findall(kept, text)
    plain, longer = (re.sub(kept, "", one) for one in (text, long))
    assert len(longer) == pytest.approx(1.4 * len(plain), abs=1.0)
    assert not re.search(r"[A-Za-z]{4}", longer)


def test_no_text_is_translated_while_modules_are_imported():
    """The language is not known then: such a text would stay English for everybody."""
    code = """
import importlib, pkgutil, pvsim, pvsim.words as words
def refuse(*texts):
    raise AssertionError(f"translated at import: {texts}")
words._ = words.ngettext = words.pgettext = refuse
for module in pkgutil.walk_packages(pvsim.__path__, "pvsim."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=PATIENCE_s)
    assert done.returncode == 0, done.stderr
