"""The browser's side of the curves: figures, what lies over them, controls and tables."""

from __future__ import annotations

from panel.viewable import Child

from pvsim.app.component import Component
from pvsim.app.modules import module_address
from pvsim.app.plain import plain_values

__all__ = ["Desk"]


class Desk(Component):
    """The figures and everything over and beside them.

    Parameters
    ----------
    obey : callable
        Carries out what the browser asks for.
    """

    current = Child()
    power = Child()
    difference = Child(default=None, allow_None=True)
    shown = plain_values("What is shown now: see Picture.")
    ids = plain_values("Of the figures' models: see model_ids.")
    words = plain_values("Texts that stay.")

    _esm = module_address("curves/desk.js")
