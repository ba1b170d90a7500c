"""What the page's address carries: the array, what it is compared with, what is shown, the lesson."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

from pvsim.app.language import LANGUAGE, asked_language
from pvsim.app.record import CURVE_VIEWS
from pvsim.app.state import LEVELS, State
from pvsim.app.words import _
from pvsim.errors import PvsimError
from pvsim.files.link import MAX_LINK_LENGTH, pack, unpack

__all__ = ["address_of", "open_address", "own_address"]

SCENARIO, LEVEL, LESSON = "s", "level", "lesson"
COMPARED, VIEW, UNFOLDED = "before", "view", "levels"
OWN = "own"  # what lies aside while a lesson has its array on the bench; not for others
KEYS = (SCENARIO, LEVEL, LESSON, COMPARED, VIEW, UNFOLDED, OWN)


def address_of(state: State) -> str:
    """The query that opens exactly this state.

    Raises
    ------
    FileError
        If the scenario does not fit into an address.
    """
    query = {SCENARIO: pack(state.scenario_as_shown()), LEVEL: state.level}
    if state.view != "curves":
        query[VIEW] = state.view
    if state.unfolded:
        query[UNFOLDED] = "1"
    if state.comparison == "off":
        query[COMPARED] = "off"
    elif state.comparison == "kept" and state.before_scenario is not None and not state.lesson:
        kept = pack(state.before_scenario)  # a lesson keeps its own beginning
        if len(kept) + len(query[SCENARIO]) <= MAX_LINK_LENGTH:
            query[COMPARED] = kept
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
    values = {key: query[key][-1].decode("utf-8", "replace") for key in KEYS if query.get(key)}
    if OWN in values:
        # The lesson puts its own array on the bench again, and looks at it.
        state.open_link(values[OWN], at_once=True)
    else:
        _open_bench(state, values)
    state.when_there(lambda: _look(state, values))
    if LESSON in values:
        state.lesson = values[LESSON][:80]
    state.language = asked_language(query)


def _look(state: State, values: Mapping[str, str]) -> None:
    """What an address says of how the bench is looked at."""
    if values.get(VIEW) in CURVE_VIEWS:
        state.set_view(values[VIEW])
    if values.get(UNFOLDED) == "1":
        state.unfold()


def _open_bench(state: State, values: Mapping[str, str]) -> None:
    if values.get(SCENARIO):
        state.open_link(values[SCENARIO], at_once=LESSON in values)
    state.when_there(lambda: _compare(state, values))


def _compare(state: State, values: Mapping[str, str]) -> None:
    if not state.notice and values.get(LEVEL) in LEVELS:
        state.set_level(values[LEVEL])
    if not state.notice:
        _open_comparison(state, values.get(COMPARED, ""))


def _open_comparison(state: State, text: str) -> None:
    if text == "off":
        state.compare_nothing()
    elif text:
        try:
            state.compare_with(unpack(text))
        except PvsimError as error:
            state.tell(_("The kept state of this address was left out: {why}").format(why=error))


def own_address(state: State, language: str = "") -> str:
    """The query of the page itself, with the language it is to speak and what lies aside for a lesson.

    What is handed to others has none of it: they have a language and a bench of their own.

    Raises
    ------
    FileError
        If the scenario does not fit into an address.
    """
    query = address_of(state)
    aside = state.own_scenario
    if aside is not None:
        packed = pack(aside)
        if len(packed) + len(query) <= MAX_LINK_LENGTH:
            query += f"&{urlencode({OWN: packed})}"
    spoken = language or state.language
    return f"{query}&{urlencode({LANGUAGE: spoken})}" if spoken else query


def try_address(state: State) -> tuple[str, str]:
    """The query of the page itself, or nothing and the reason why there is none."""
    try:
        return own_address(state), ""
    except PvsimError as error:
        return "", str(error)
