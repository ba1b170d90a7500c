"""German words of the trade: one for each thing, in lessons, exercises and the page alike."""

from __future__ import annotations

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.locale.refresh import read_catalogue

# What the trade does not say, and what it says (common practice, no source).
INSTEAD = {
    "Bändchen": "Zellverbinder",
    "Rückwärtsspannung": "Sperrspannung",
    "Leistungskurve": "P-U-Kennlinie",
    "besonnt": "beleuchtet",
}


def german_texts() -> dict[str, str]:
    """By where they stand."""
    files = [one for one in sorted((OWN_LESSONS / "de").rglob("*")) if one.suffix in (".md", ".toml")]
    texts = {one.name: one.read_text("utf-8") for one in files}
    said = [one.string for one in read_catalogue("de") if one.id]
    texts["the page"] = "\n".join(text if isinstance(text, str) else "\n".join(text) for text in said)
    return texts


@pytest.mark.parametrize("word", INSTEAD)
def test_the_trade_has_one_word_for_it(word: str) -> None:
    texts = german_texts()
    assert len(texts) > 17
    found = [name for name, text in texts.items() if word.lower() in text.lower()]
    assert not found, f"say {INSTEAD[word]}"
