"""The words of the page: every text a person reads goes through here to be translated."""

from __future__ import annotations

import gettext as _gettext
from pathlib import Path

__all__ = ["_", "ngettext"]

_catalogue = _gettext.translation("pvsim", Path(__file__).with_name("locale"), fallback=True)


def _(text: str) -> str:
    """The text in the language of the page; English where no translation exists."""
    return _catalogue.gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """The form of a text that goes with a count."""
    return _catalogue.ngettext(one, many, count)
