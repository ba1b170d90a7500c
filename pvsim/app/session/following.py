"""What views hear of the State: each is called once for all that has changed together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import param

__all__ = ["Followed", "Following"]

_PLAIN = (str, bool, int, float)  # told again only where they differ; of all else another object is news

Follower = tuple[Callable[..., None], frozenset[str]]


class Followed(param.Parameterized):
    """Parameters that views follow.

    A watcher of param's own for each view would do, but every change asks each of them whether the old value
    equals the new one, kind by kind: a thirtieth of a change. Here one watcher hears all and calls whom it
    concerns, in the order in which they came.
    """

    def __init__(self, **params: Any) -> None:
        self._followers: list[Follower] = []
        self._told: dict[str, Any] = {}
        super().__init__(**params)

    def follow(self, call: Callable[..., None], names: Sequence[str]) -> Follower:
        """Have a function called whenever one of these parameters has changed."""
        if not self._told:
            self._told = {name: getattr(self, name) for name in self.param if name != "name"}
            self.param.watch(self._tell_followers, list(self._told), onlychanged=False)
        follower = call, frozenset(names)
        if unknown := follower[1] - self._told.keys():
            raise ValueError(f"{type(self).__name__} has no parameter {', '.join(sorted(unknown))}")
        self._followers.append(follower)
        return follower

    def unfollow(self, follower: Follower) -> None:
        """Call it no more."""
        self._followers.remove(follower)

    def _tell_followers(self, *events: param.parameterized.Event) -> None:
        changed = {event.name for event in events if self._is_news(event.name, event.new)}
        for follower in tuple(self._followers):
            call, names = follower
            if not names.isdisjoint(changed) and follower in self._followers:
                call()

    def _is_news(self, name: str, value: Any) -> bool:
        told = self._told[name]
        self._told[name] = value
        if type(value) in _PLAIN and type(told) is type(value):
            return bool(told != value)
        return told is not value


class Following:
    """A view that follows a state until it is closed.

    Parameters
    ----------
    state : Followed
    calls : mapping of callable to names of parameters
        What is called when one of them has changed, once for all that change together.
    """

    def __init__(self, state: Followed, calls: Mapping[Callable[..., None], Sequence[str]]) -> None:
        self._state = state
        self._followers = [state.follow(call, names) for call, names in calls.items()]

    def close(self) -> None:
        """Stop following the state."""
        for follower in self._followers:
            self._state.unfollow(follower)
        self._followers.clear()
