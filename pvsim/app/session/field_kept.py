"""A search as a browser's tab keeps it, so that a page loaded anew goes on: what was done, and no more.

The fault is not in it: it comes from number and level again, and readings come from doing the acts again. The
first of two answers is in it, right or wrong. Of a class there is what lets the lecturer in again, and how it
has voted.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, get_args

from pvsim.app.session.field_taken import with_taken
from pvsim.app.session.field_work import FieldWork, answered, begun, with_range
from pvsim.app.words import _
from pvsim.array.place import WHOLE_ARRAY, Place, format_place, parse_place
from pvsim.errors import FileError
from pvsim.field.kit import RANGED
from pvsim.field.search.act import Act
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase
from pvsim.field.search.look import Look, Mode
from pvsim.field.search.offer import Choice, Sort
from pvsim.field.search.transcript import MAX_LINES, do
from pvsim.field.search.vote import Vote

__all__ = ["MOST_KEPT", "class_kept", "is_kept_of", "kept_text", "work_kept"]

MOST_KEPT = 100_000  # signs; MAX_LINES of the longest acts are shorter


def kept_text(work: FieldWork, room: tuple[str, str] | None = None) -> str:
    """The text that is kept; "" where there is nothing to go on with.

    Parameters
    ----------
    room : tuple of (str, str), or None
        Code and key of the class that votes.
    """
    if work.case is None or work.over:
        return ""
    kept: dict[str, Any] = {
        "case": [work.case.seed, work.case.level, work.case.family],
        "acts": [_act_out(line.act) for line in work.transcript.lines],
        "hints": list(work.hints),
    }
    if work.answers:
        kept["answers"] = [_answer_out(one) for one in work.answers]
    if work.ranges:
        kept["ranges"] = dict(work.ranges)
    if room is not None:
        kept["class"] = room
    if work.votes:
        kept["votes"] = [
            [one.counts, one.chosen, one.first, one.line, [_choice_out(choice) for choice in one.offer]]
            for one in work.votes
        ]
    return json.dumps(kept, separators=(",", ":"))


def work_kept(text: str) -> FieldWork:
    """What was kept, done again.

    Raises
    ------
    PvsimError
        If it is not what `kept_text` gives.
    """
    try:
        kept = _read(text)
        seed, level, family = kept["case"]
        answers = tuple(_answer_in(*one) for one in kept.get("answers", ()))
        acts = [_act_in(*one) for one in kept["acts"]]
        hints = tuple(str(one) for one in kept["hints"])
        ranges = {str(key): float(most) for key, most in kept.get("ranges", {}).items()}
        votes = tuple(_vote_in(*one, lines=len(acts)) for one in kept.get("votes", ()))
    except (AttributeError, KeyError, TypeError, ValueError, RecursionError):
        raise _unreadable() from None
    work = begun(seed, level, family)
    for answer in answers:
        work = answered(work, answer)
    if work.over:  # what is over is not kept
        raise _unreadable()
    for meter in RANGED:
        work = with_range(work, meter, ranges.get(meter.key, 0.0))
    assert work.case is not None
    transcript = work.transcript
    for act in acts:
        transcript = do(work.case, transcript, act).transcript
    return with_taken(work.case, replace(work, transcript=transcript, hints=hints[:MAX_LINES], votes=votes))


def _unreadable() -> FileError:
    return FileError(
        _("the search that this tab has kept cannot be read"),
        expected=_("what the page itself has kept"),
        mend=_("Begin the search again with its number"),
    )


def class_kept(text: str) -> tuple[str, str] | None:
    """Code and key of the class that was kept with a search; None where there is none."""
    try:
        code, key = _read(text)["class"]
    except (KeyError, TypeError, ValueError, RecursionError):
        return None
    return (code, key) if isinstance(code, str) and isinstance(key, str) else None


def _act_out(act: Act) -> list[Any]:
    shown = [act.kind, format_place(act.place), act.what, act.last, act.leak]
    return [*shown, act.range_most] if act.range_most else shown


def _act_in(kind: str, at: str, what: str, last: int, leak: float, range_most: float = 0.0) -> Act:
    return Act(kind=kind, place=_place_in(at), what=what, last=last, leak=leak, range_most=range_most)


def _answer_out(one: Answer) -> list[Any]:
    return [one.kind, format_place(one.place), one.sure_percent]


def _answer_in(kind: str, at: str, sure_percent: float) -> Answer:
    return Answer(kind=kind, place=_place_in(at), sure_percent=sure_percent)


def _place_in(at: str) -> Place:
    return parse_place(at) if at else WHOLE_ARRAY


def _choice_out(one: Choice) -> list[Any]:
    look = one.look
    mode = "" if look is None else look.mode
    cloth = None if look is None or look.cloth is None else format_place(look.cloth)
    return [one.sort, mode, cloth, _act_out(one.act), one.minutes, one.expected_bit]


def _choice_in(sort: Any, mode: Any, cloth: str | None, act: list[Any], minutes: Any, bit: Any) -> Choice:
    done = _act_in(*act)
    if sort not in get_args(Sort) or mode not in ("", *get_args(Mode)):
        raise ValueError
    look = Look(mode=mode, act=done, cloth=None if cloth is None else _place_in(cloth)) if mode else None
    return Choice(sort=sort, act=done, look=look, minutes=float(minutes), expected_bit=float(bit))


def _vote_in(
    counts: list[int], chosen: int, first: int, line: int, offer: list[list[Any]], *, lines: int
) -> Vote:
    choices = tuple(_choice_in(*one) for one in offer)
    if not (0 <= chosen < len(choices) == len(counts) and 0 <= first <= line < lines):
        raise ValueError
    return Vote(
        offer=choices, counts=tuple(int(one) for one in counts), chosen=chosen, first=first, line=line
    )


def is_kept_of(case: SearchCase, text: str) -> bool:
    """Whether a text is of this search; nothing of it is done again for that."""
    try:
        return bool(_read(text)["case"] == [case.seed, case.level, case.family])
    except (KeyError, TypeError, ValueError, RecursionError):
        return False


def _read(text: str) -> dict[str, Any]:
    if len(text) > MOST_KEPT:
        raise ValueError
    kept = json.loads(text)
    if not isinstance(kept, dict) or len(kept["acts"]) > MAX_LINES:
        raise ValueError
    return kept
