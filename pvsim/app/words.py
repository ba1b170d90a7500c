"""The words of the page, from pvsim.words, where every layer finds them."""

from __future__ import annotations

from pvsim.words import _, decimal_mark, language, mark, ngettext, pgettext, speaking, voltage_symbol

__all__ = ["_", "decimal_mark", "language", "mark", "ngettext", "pgettext", "speaking", "voltage_symbol"]
