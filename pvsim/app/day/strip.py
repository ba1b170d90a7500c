"""The strip of a day as a part of the page: known to every page, made when it is first opened."""

from __future__ import annotations

import param

from pvsim.app.component import Component
from pvsim.app.modules import module_address
from pvsim.app.plain import plain_values

__all__ = ["DayStrip"]


class DayStrip(Component):
    """The strip: set-up, picture, film."""

    form = plain_values("Fields and what they hold: see form_values.")
    now = plain_values("How far the day is, and what it comes to.")
    lines = plain_values("Power, clock and sun, time by time: see day_lines.")
    wrong = param.Dict(default={}, doc="By field, why what was typed there cannot be used.")
    words = plain_values("Texts; set once.")

    _esm = module_address("day/day.js")
