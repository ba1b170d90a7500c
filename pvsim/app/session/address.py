"""What the page's address carries: the array, what it is compared with, what is shown, the lesson."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

from pvsim.app.language import LANGUAGE, asked_language
from pvsim.app.session.parameters import CURVE_VIEWS
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.place import SHOWN_LEVELS
from pvsim.errors import FileError, PvsimError
from pvsim.files.link import MAX_LINK_LENGTH, pack, unpack
from pvsim.files.scenario_file import write_scenario

__all__ = ["address_of", "open_address", "page_address"]

SCENARIO, LEVEL, LESSON = "s", "level", "lesson"
COMPARED, VIEW, UNFOLDED = "before", "view", "levels"
OWN = "own"  # what lies aside while a lesson has its array on the bench; not for others
KEPT = "kept"  # the bench fits into no address: the browser's tab keeps it
KEYS = (SCENARIO, LEVEL, LESSON, COMPARED, VIEW, UNFOLDED, OWN)


def address_of(state: State) -> str:
    """The query that opens exactly this state.

    Raises
    ------
    FileError
        If the scenario does not fit into an address.
    """
    query = {SCENARIO: pack(state.scenario_as_shown()), **_shown(state)}
    if state.comparison == "off":
        query[COMPARED] = "off"
    elif state.comparison == "kept" and state.before_scenario is not None and not state.lesson:
        kept = pack(state.before_scenario)  # a lesson keeps its own beginning
        if len(kept) + len(query[SCENARIO]) <= MAX_LINK_LENGTH:
            query[COMPARED] = kept
    if state.lesson:
        query[LESSON] = state.lesson
    return urlencode(query)


def _shown(state: State) -> dict[str, str]:
    """How it is shown."""
    query = {LEVEL: state.level}
    if state.view != "curves":
        query[VIEW] = state.view
    if state.unfolded:
        query[UNFOLDED] = "1"
    return query


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
    if not state.notice and values.get(LEVEL) in SHOWN_LEVELS:
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
        if len(packed) + len(query) > MAX_LINK_LENGTH:
            raise FileError(
                _("what lies aside does not fit beside a lesson"),
                expected=_("at most {most:,}").format(most=MAX_LINK_LENGTH),
                mend=_("Save the scenario as a file and send that instead"),
            )
        query += f"&{urlencode({OWN: packed})}"
    spoken = language or state.language
    return f"{query}&{urlencode({LANGUAGE: spoken})}" if spoken else query


def page_address(state: State, language: str = "") -> tuple[str, str]:
    """The query of the page itself, and the bench as the text of a file where it does not fit into that.

    Returns
    -------
    query, kept : str
        With a `kept` that is not empty the query asks for it; the browser's tab has to keep it.
    """
    try:
        return own_address(state, language), ""
    except PvsimError:
        query = {KEPT: "1", **_shown(state)}
        if state.lesson:
            query[LESSON] = state.lesson
        spoken = language or state.language
        if spoken:
            query[LANGUAGE] = spoken
        return urlencode(query), write_scenario(state.own_scenario or state.scenario_as_shown())
