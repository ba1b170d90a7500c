"""Texts from outside, cut to what somebody reads before they go into a line of the log or an answer."""

from __future__ import annotations

__all__ = ["short"]

CUT = " […] "


def short(text: str, most: int) -> str:
    """A text with its middle left out where it is longer than that.

    Parameters
    ----------
    text : str
    most : int
        Characters that are left.
    """
    if len(text) <= most:
        return text
    keep = most - len(CUT)
    return text[: keep - keep // 3] + CUT + text[len(text) - keep // 3 :]
