"""What goes to a browser in one message, whoever has begun to hold it back."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from typing import Any

from panel.io import hold
from panel.io.state import state

__all__ = ["held"]


def held() -> AbstractContextManager[Any]:
    """What is changed in this context goes together; where more is held already, with that.

    Panel's `hold` may stand within another too, but then looks through all that is held to no end.
    """
    document = state.curdoc
    if document is not None and document.callbacks.hold_value is not None:
        return nullcontext()
    return hold()
