"""What is foreseen in the cases that are searched in just now: a class that searches in one case shares it.

What each candidate would have meters read costs hundreds of solved circuits and megabytes, and is the same
for all who see the same array. Only the row of DebriefErrand asks it anything, one after the other.
"""

from __future__ import annotations

from collections import deque
from threading import Lock
from weakref import WeakValueDictionary

from pvsim.array.scenario import Scenario
from pvsim.field.search.case import SearchCase, the_visible
from pvsim.field.search.foresight import Foresight

__all__ = ["foreseen_in"]

_MOST_HELD = 2  # that nobody has by now, for who comes a little later
_KNOWN: WeakValueDictionary[tuple[int, str, Scenario], Foresight] = WeakValueDictionary()
_HELD: deque[Foresight] = deque(maxlen=_MOST_HELD)
_LOCK = Lock()  # sessions live in several threads


def foreseen_in(case: SearchCase) -> Foresight:
    """The one of all who see what is seen in a case; whoever goes on asking it keeps it."""
    key = case.level, case.family, the_visible(case)
    with _LOCK:
        found = _KNOWN.get(key)
        if found is None:
            found = _KNOWN[key] = Foresight(case)
        if not any(one is found for one in _HELD):
            _HELD.append(found)
        return found
