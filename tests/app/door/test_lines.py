"""Texts from outside are cut, and keep their ends."""

from __future__ import annotations

import pytest

from pvsim.app.door.lines import CUT, short


@pytest.mark.parametrize("length", [0, 1, 99, 100, 101, 5000])
def test_a_text_keeps_its_ends(length):
    text = "".join(chr(97 + k % 26) for k in range(length))
    cut = short(text, 100)
    assert len(cut) <= 100
    assert cut == text or (CUT in cut and text.startswith(cut[:50]) and text.endswith(cut[-20:]))
