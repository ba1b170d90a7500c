"""The search as the desk shows it: how one is begun, how it stands, and what it asks at the end."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from pvsim.app.session.field_acts import place_for
from pvsim.app.session.field_work import FieldWork, seen_by_all
from pvsim.app.session.reading_text import minutes_text
from pvsim.app.session.state import State
from pvsim.app.words import _, ngettext
from pvsim.array.part_place import DEPTH
from pvsim.array.place import SHOWN_LEVELS, WHOLE_ARRAY, Place, describe_place
from pvsim.array.scatter import MOST_SEED
from pvsim.course.lesson.step_search import SetSearch
from pvsim.field.search.act import minutes_of
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import LEVELS, SearchCase, SearchLevel, kinds_at
from pvsim.field.search.family import ANSWERS, FAMILIES, HIDDEN_KINDS, answer_of
from pvsim.field.search.hint import TAKE_HINT
from pvsim.field.search.pace import REASONS, next_practice
from pvsim.numbers import format_fixed

__all__ = ["answer_from", "practice_values", "search_values", "set_values", "start_values"]


def start_values() -> dict[str, Any]:
    """What the form to begin a search offers."""
    return {
        "most": MOST_SEED,
        "levels": [
            [
                str(number),
                _level_text(number, level),
                [key for key in FAMILIES if kinds_at(number, key)],
            ]
            for number, level in LEVELS.items()
        ],
        "families": [["", _("all families, mixed")], *([key, _(one.title)] for key, one in FAMILIES.items())],
    }


def _level_text(number: int, level: SearchLevel) -> str:
    """How large the arrays of a level are, and how many faults it hides where that is more than one."""
    array = ngettext(
        "{n} string of up to {modules} modules", "{n} strings of up to {modules} modules", level.strings
    ).format(n=level.strings, modules=level.most_modules)
    if level.hidden > 1:
        return _("{number}: {array}, two faults").format(number=number, array=array)
    return _("{number}: {array}").format(number=number, array=array)


def practice_values(state: State) -> dict[str, str]:
    """Level and family that come next, and why."""
    practice = next_practice(state.pasts)
    return {"level": str(practice.level), "family": practice.family, "reason": _(REASONS[practice.reason])}


def set_values(state: State, searches: tuple[SetSearch, ...]) -> list[dict[str, Any]]:
    """The searches that the course gives, in blocks of one family, with what was done of each.

    Returns
    -------
    list of dict
        `title` of the block; `searches`, each with `seed`, `level`, `family` to begin it, `text` for its
        button, `state` ("", "found", "missed") and `said`, the whole of it in words.
    """
    blocks: list[dict[str, Any]] = []
    for family, block in groupby(searches, key=lambda one: one.family):
        title = _(FAMILIES[family].title) if family else _("all families, mixed")
        those = list(block)
        twice = {one.level for one in those if [other.level for other in those].count(one.level) > 1}
        rows = [_set_row(state, title, one, named=one.level in twice) for one in those]
        blocks.append({"title": title, "searches": rows})
    return blocks


def _set_row(state: State, title: str, one: SetSearch, *, named: bool) -> dict[str, Any]:
    """One search; named by its number as well where another of its block has the same level."""
    key = (one.seed, one.level, one.family)
    done = [past for past in state.pasts if (past.seed, past.level, past.family) == key]
    best = max(done, key=lambda past: (past.solved, past.points), default=None)
    level = _("level {n}").format(n=one.level)
    if named:
        level = _("{level}, no. {seed}").format(level=level, seed=one.seed)
    row: dict[str, Any] = {"seed": str(one.seed), "level": str(one.level), "family": one.family}
    if best is None:
        told, text, now = _("not done yet"), level, ""
    elif best.solved:
        points = format_fixed(best.points)
        told, text, now = _("found, {points} of 100").format(points=points), f"{level} ✓ {points}", "found"
    else:
        told, text, now = _("not found yet"), f"{level} ✗", "missed"
    said = _("{family}, {level}: {told}").format(family=title, level=level, told=told)
    return row | {"text": text, "state": now, "said": said}


def search_values(state: State, at: Place) -> dict[str, Any]:
    """How the search stands; {} where none is on."""
    case = state.field.case
    if case is None:
        return {}
    offered = {answer_of(kind) for kind in kinds_at(case.level, case.family)}
    return {
        "title": _("Search {seed}, level {level}").format(seed=case.seed, level=case.level),
        "about": _about(case),
        "noted": _noted(state.field),
        "say_hint": _("An answer ends the search.")
        if len(state.field.answers) + 1 == len(case.faults)
        else _("This answer is for one of the two; the search goes on for the other."),
        "on_bench": state.scenario.array == case.sound.array,
        "as_seen": state.scenario == seen_by_all(state.field),
        "over": state.field.over,
        "leave": _("Back to the lesson") if _of_lesson(state) else _("Leave the search"),
        "answers": len(state.field.answers),
        "hint": minutes_text(minutes_of(TAKE_HINT)),
        "kinds": [
            [
                _(family.title),
                [[key, _(ANSWERS[key].title), _place_text(state, key, at)] for key in there],
            ]
            for family in FAMILIES.values()
            if (there := [key for key in dict.fromkeys(map(answer_of, family.kinds)) if key in offered])
        ],
    }


def _about(case: SearchCase) -> str:
    """What everybody may know of it: its family, and that two faults are hidden."""
    parts = [_(FAMILIES[case.family].title)] if case.family else []
    if len(case.faults) > 1:
        parts.append(_("Two faults are hidden, of different families and in different modules."))
    return " · ".join(parts)


def _noted(work: FieldWork) -> str:
    """The answer to the first of two faults, as long as the other one is looked for."""
    if not work.answers or work.over:
        return ""
    [*_earlier, last] = work.answers
    given = _("{kind}, {place}").format(kind=_(ANSWERS[last.kind].title), place=describe_place(last.place))
    return _("Noted: {answer}. Another fault is hidden as well.").format(answer=given)


def _of_lesson(state: State) -> bool:
    """Whether the search is the act of the lesson's step that is open."""
    return state.field.case is not None and state.field.case == state.lesson_search


def _place_text(state: State, kind: str, at: Place) -> str:
    return "" if at == WHOLE_ARRAY else describe_place(_asked_place(state, kind, at))


def _asked_place(state: State, kind: str, at: Place) -> Place:
    """A part as finely as the kind is asked for."""
    finest = DEPTH[HIDDEN_KINDS[kind].judged]
    return place_for(state, tuple(one for one in SHOWN_LEVELS if 0 < DEPTH[one] <= finest), at)


def answer_from(state: State, kind: str, at: Place, sure_percent: float) -> Answer:
    """The answer that a press means: a kind, at a part as finely as that kind is asked for.

    Raises
    ------
    ScenarioError
        If it is no answer.
    """
    place = _asked_place(state, kind, at) if kind in HIDDEN_KINDS and at != WHOLE_ARRAY else at
    return Answer(kind=kind, place=place, sure_percent=sure_percent)
