"""Texts of the field desk that stay."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.field.meter import COVERAGE
from pvsim.numbers import format_fixed

__all__ = ["field_words"]


def field_words() -> dict[str, Any]:
    """The texts for static/field, once for the browser."""
    return {
        "title": _("On the roof"),
        "close": _("Close the field desk"),
        "plant": _("The plant"),
        "kit": _("Instruments"),
        "at": _("Put at the part in view: {place}"),
        "run": _("from {first} to"),
        "to": _("last module of the run"),
        "minutes": _("{n} min gone"),
        "log": _("Log"),
        "columns": [_("min"), _("what"), _("where"), _("reading")],
        "empty": _("Nothing measured yet. Choose a part in the drawing, then an instrument."),
        "doubt": _("± covers 95 % (k = {k})").format(k=format_fixed(COVERAGE)),
        "clear": _("New log"),
        "meters": _("Set of meters"),
        "meters_hint": _("Each set has errors of its own, within what its data sheets allow."),
        "save": _("Save as CSV"),
        "refused": _("Not done"),
        "caution": _(
            "pvsim teaches an order, it gives no leave. On a real roof: qualified people, two of them, the "
            "local code, and meters rated for the cold open-circuit voltage."
        ),
    }
