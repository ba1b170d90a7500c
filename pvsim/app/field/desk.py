"""The field desk as a part of the page: known to every page, made when it is first opened."""

from __future__ import annotations

import param

from pvsim.app.component import Component
from pvsim.app.modules import module_address
from pvsim.app.plain import plain_values

__all__ = ["FieldDesk"]


class FieldDesk(Component):
    """The desk, in the place of the lesson's text."""

    now = plain_values("What can be done, and how the plant stands.")
    log = plain_values("Every line of the log; see log_lines.")
    debrief = plain_values("A search that is over; see debrief_values.")
    curve = plain_values("The last traced curve; see curve_values.")
    picture = plain_values("The last infrared picture; see picture_values.")
    room = plain_values("A class that votes on what is read next; see room_values.")
    start = plain_values("What the form to begin a search offers; set once.")
    wrong = param.Dict(default={}, doc="By field of that form, why what was typed there cannot be used.")
    words = plain_values("Texts; set once.")

    _esm = module_address("field/desk.js")
