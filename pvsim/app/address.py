"""What the page's address carries: scenario, level and lesson, so that a link opens them all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

from pvsim.app.state import LEVELS, State
from pvsim.errors import PvsimError
from pvsim.files.link import pack

__all__ = ["address_of", "open_address"]

SCENARIO, LEVEL, LESSON = "s", "level", "lesson"


def address_of(state: State) -> str:
    """The query that opens exactly this state.

    Raises
    ------
    FileError
        If the scenario does not fit into an address.
    """
    query = {SCENARIO: pack(state.scenario_as_shown()), LEVEL: state.level}
    if state.lesson:
        query[LESSON] = state.lesson
    return urlencode(query)


def open_address(state: State, query: Mapping[str, Sequence[bytes]]) -> None:
    """Open what an address carries; what cannot be opened is told, and the rest stays.

    Parameters
    ----------
    state : State
        A fresh one.
    query : mapping of str to sequence of bytes
        The arguments of the request, as the server gives them; untrusted.
    """
    values = {
        key: query[key][-1].decode("utf-8", "replace") for key in (SCENARIO, LEVEL, LESSON) if query.get(key)
    }
    if values.get(SCENARIO):
        state.open_link(values[SCENARIO])
    if not state.notice and values.get(LEVEL) in LEVELS:
        state.set_level(values[LEVEL])
    if LESSON in values:
        state.lesson = values[LESSON][:80]


def try_address(state: State) -> tuple[str, str]:
    """The query, or nothing and the reason why there is none."""
    try:
        return address_of(state), ""
    except PvsimError as error:
        return "", str(error)
