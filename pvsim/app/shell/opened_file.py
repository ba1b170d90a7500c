"""A scenario file that the browser hands over, chosen in a panel or dropped on the page."""

from __future__ import annotations

from typing import Any

from pvsim.app.session.state import State
from pvsim.app.words import _

__all__ = ["MAX_FILE_BYTES", "open_file"]

MAX_FILE_BYTES = 1_048_576  # what a page sends; a scenario file needs less than a hundredth


def open_file(state: State, value: Any) -> None:
    """Open it, or say why not.

    Parameters
    ----------
    state : State
    value : dict
        `name`, and `text`, or `size` where the browser did not even read it. Not trusted.
    """
    fields = value if isinstance(value, dict) else {}
    if "size" in fields:
        name = str(fields.get("name", ""))[:80]
        state.tell(
            _(
                "“{name}” is larger than 1 MB; scenario files are smaller. Choose a file that pvsim saved."
            ).format(name=name)
        )
        return
    state.open_scenario(str(fields.get("text", "")), str(fields.get("name", ""))[:80])
