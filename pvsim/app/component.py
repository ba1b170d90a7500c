"""The base of every part of the page that is drawn by a script of ours, and how the two speak."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from typing import Any

from panel.io import hold

from pvsim.app.mends.component import MendedComponent

__all__ = ["MOST_WISHES", "Component", "Obey", "Reply", "Wish"]

MOST_WISHES = 20  # in one message; static/shared/outbox.js sends the rest with the next
NO_WISH = {"do": ""}  # in place of whatever no script of ours says: everybody refuses it in their own words

Wish = dict[str, Any]
Reply = dict[str, Any] | None
Obey = Callable[[Wish], Reply]


class Component(MendedComponent):
    """A component that holds plain values only, and answers whatever its browser says.

    A message of the browser is `{"number": 3, "wishes": [{"do": "level", "value": "cell"}]}`: a wish says in
    `do` what is asked for, and beside it with which values. Each message is answered by one with its number,
    `{"answered": 3}` and what else there is to say, whatever happens: until then the browser keeps the rest
    back. What is said without having been asked for bears no number. All of it is in the language that was
    spoken when the component was made.

    Parameters
    ----------
    obey : callable
        Carries out one wish; what it gives back goes with the answer.
    together : callable, optional
        Makes a context in which the wishes of one message are carried out; none when left out.
    """

    __abstract = True

    def __init__(
        self,
        obey: Obey,
        *,
        together: Callable[[], AbstractContextManager[None]] = nullcontext,
        **params: Any,
    ) -> None:
        super().__init__(**params)
        self._obey = obey
        self._together = together

    def _handle_msg(self, message: Any) -> None:
        if not isinstance(message, dict):
            return
        number = message.get("number")
        reply: dict[str, Any] = {"answered": number if isinstance(number, int) else 0}
        with hold():
            try:
                with self._together():
                    for wish in _wishes(message):
                        reply |= self._obey(wish) or {}
            finally:
                self.tell(reply)

    def tell(self, message: dict[str, Any]) -> None:
        """Say something to the browser beside the parameters; its script hears it once.

        Parameters
        ----------
        message : dict
            Plain values.
        """
        self._send_msg(message)


def _wishes(message: dict[str, Any]) -> list[Wish]:
    """What a message asks for, each of it with a name to it."""
    wishes = message.get("wishes")
    if not isinstance(wishes, list) or len(wishes) > MOST_WISHES:
        return [NO_WISH]
    return [one if isinstance(one, dict) and isinstance(one.get("do"), str) else NO_WISH for one in wishes]
