"""The browser's side of the curves: figures, what lies over them, controls and tables."""

from __future__ import annotations

import param
from panel.viewable import Child

from pvsim.app.component import Component
from pvsim.app.modules import module_address

__all__ = ["Desk"]


class Desk(Component):
    """The figures and everything over and beside them.

    Parameters
    ----------
    obey : callable
        Carries out what the browser asks for.
    shown, ids, words : str
        JSON, so that one change is one property: what is shown now, ids of the figures' models,
        and texts that stay.
    """

    current = Child()
    power = Child()
    difference = Child(default=None, allow_None=True)
    shown = param.String(default="{}")
    ids = param.String(default="{}")
    words = param.String(default="{}")

    _esm = module_address("curves/desk.js")
