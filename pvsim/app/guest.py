"""A guest of the page's frame: a dialog without a component of its own, built when it is first opened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from pvsim.app.component import Reply
from pvsim.app.words import _

__all__ = ["Guest", "GuestDesk"]


class GuestDesk(Protocol):
    """What does the work of a dialog once it is open."""

    @property
    def acts(self) -> Mapping[str, Callable[[Any], Reply]]:
        """By name, what can be asked for."""


class Guest:
    """Carries out what is asked for in a dialog; a page in which nobody opens it is not dearer.

    Parameters
    ----------
    make_desk : callable
        Makes what does the work, when it is first asked for; its imports come as late.
    """

    def __init__(self, make_desk: Callable[[], GuestDesk]) -> None:
        self._make_desk = make_desk
        self._desk: GuestDesk | None = None

    def obey(self, wish: Any) -> Reply:
        """Carry out one wish.

        Parameters
        ----------
        wish : dict
            What to do in `act`, with what in `value`; not trusted.

        Returns
        -------
        dict
            What the guest's script is told.
        """
        if self._desk is None:
            self._desk = self._make_desk()
        name, value = (wish.get("act"), wish.get("value")) if isinstance(wish, dict) else ("", None)
        act = self._desk.acts.get(name) if isinstance(name, str) else None
        if act is None:
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        return act(value)
