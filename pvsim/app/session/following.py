"""What a view hears of the State."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from pvsim.app.session.state import State

__all__ = ["Following"]


class Following:
    """A view that follows a state until it is closed.

    Parameters
    ----------
    state : State
    calls : mapping of callable to names of parameters
        What is called when one of them has changed, once for all that change together.
    """

    def __init__(self, state: State, calls: Mapping[Callable[..., None], Sequence[str]]) -> None:
        self._state = state
        self._watchers = [state.param.watch(call, list(names)) for call, names in calls.items()]

    def close(self) -> None:
        """Stop following the state."""
        for watcher in self._watchers:
            self._state.param.unwatch(watcher)
        self._watchers.clear()
