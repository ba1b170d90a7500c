"""The operating point as the command line writes it: mpp, 30V, 5A or 4ohm."""

from __future__ import annotations

import re
from math import isfinite

from pvsim.errors import FileError

_POINT = re.compile(r"([-+]?[0-9]*[.,]?[0-9]+(?:[eE][-+]?[0-9]+)?) ?(V|A|ohm)")
_KINDS = {"V": "voltage", "A": "current", "ohm": "load"}


def read_point(text: str) -> tuple[str, float | None]:
    """Read an operating point.

    Returns
    -------
    kind : str
        "mpp", "voltage", "current" or "load".
    value : float or None
        In V, A or ohm.

    Raises
    ------
    FileError
        If the text is no operating point.
    """
    if text == "mpp":
        return "mpp", None
    found = _POINT.fullmatch(text.strip())
    value = float(found[1].replace(",", ".")) if found else float("nan")
    if not found or not isfinite(value):
        raise FileError(
            f"{text[:40]!r} is no operating point",
            expected="mpp, or a number with its unit V, A or ohm",
            mend="Write it like --at mpp, --at 30V, --at 5A or --at 4ohm",
        )
    return _KINDS[found[2]], value
