"""What a sheet of a lecture needs to know besides where the lecture stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pvsim.course.number.solved_scenario import Situation

__all__ = ["Hall", "Page"]

Page = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hall:
    """What a sheet needs to know besides where the lecture stands.

    Parameters
    ----------
    mode : str
        "live", "rehearsal" or "replay", for the browser.
    held : bool
        Whether it is held now: answers are taken, and the act can be done.
    live : Situation
        The array as it stands.
    keys : bool
        Whether single letters are keys.
    room : dict
        The class as it is shown; empty while none is open.
    wrong : str
        Why the hands typed last cannot be counted.
    hint : str
        What the last press needs.
    entry : str
        In a replay, when this moment was.
    """

    mode: str
    held: bool
    live: Situation
    keys: bool
    room: Page
    wrong: str = ""
    hint: str = ""
    entry: str = ""
