"""A learner's closing test as the workbook keeps it: questions, what came of them, ideas cleared."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

__all__ = [
    "AskedQuestion",
    "ClosingWork",
    "answered",
    "judged_anew",
    "merge_closing",
    "read_closing",
    "write_closing",
]

MOST_ASKED = 20
MOST_KEYS = 2_000
MOST_SEED = 999_999_999
_KEY = re.compile(r"[a-z0-9-]{1,80}(/[a-z0-9-]{1,80}){1,3}#\d{1,2}")
_EXERCISE = re.compile(r"[a-z0-9-]{1,80}(/[a-z0-9-]{1,80}){2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedQuestion:
    """One question of the test.

    Parameters
    ----------
    exercise : str
        Id of the exercise that it is drawn from.
    ideas : tuple of str
        Keys of the ideas to revisit that it was drawn for.
    share : float or None
        Of its points, that the answer was worth; None as long as there is none.
    """

    exercise: str
    ideas: tuple[str, ...] = ()
    share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingWork:
    """The last test, and what all tests made of the ideas to revisit.

    Parameters
    ----------
    number : int
        Which of the learner's tests this is, from 1; 0 for none yet.
    seed : int
        That its exercises were chosen with. It does not give their numbers.
    asked : tuple of AskedQuestion
        None where no test was begun.
    learned : frozenset of str
        Keys of ideas that have been answered rightly.
    met : tuple of str
        Keys of ideas that wrong answers in tests showed, and that are to be revisited still.
    """

    number: int = 0
    seed: int = 0
    asked: tuple[AskedQuestion, ...] = ()
    learned: frozenset[str] = frozenset()
    met: tuple[str, ...] = ()

    @property
    def answers(self) -> int:
        """How many questions have their answer."""
        return sum(one.share is not None for one in self.asked)

    @property
    def finished(self) -> bool:
        """Whether every question has its answer."""
        return self.answers == len(self.asked)


def answered(work: ClosingWork, at: int, share: float, idea: str = "") -> ClosingWork:
    """The work with a question answered; what is answered already stays.

    Parameters
    ----------
    at : int
        Which question, from 0.
    share : float
        Of its points. With all of them, the ideas it was drawn for leave the list.
    idea : str
        Key of the idea that a wrong answer showed; empty for none.
    """
    question = work.asked[at]
    if question.share is not None:
        return work
    asked = (*work.asked[:at], replace(question, share=share), *work.asked[at + 1 :])
    learned, met = set(work.learned), list(work.met)
    if share >= 1.0:
        learned |= set(question.ideas)
        met = [one for one in met if one not in question.ideas]
    elif idea:
        learned.discard(idea)
        met = [*(one for one in met if one != idea), idea][-MOST_KEYS:]
    return replace(work, asked=asked, learned=frozenset(learned), met=tuple(met))


def judged_anew(work: ClosingWork, step: str) -> ClosingWork:
    """The work once a step of a lesson ("diode/half-cells") is begun again: what it shows counts again."""
    return replace(work, learned=frozenset(key for key in work.learned if not key.startswith(f"{step}/")))


def merge_closing(one: ClosingWork, other: ClosingWork) -> ClosingWork:
    """Both as one: the later test, or the one that is further; of the same test every answer."""
    ahead, behind = (
        (other, one) if (other.number, other.answers) > (one.number, one.answers) else (one, other)
    )
    asked = ahead.asked
    if ahead.seed == behind.seed and _names(ahead) == _names(behind):
        pairs = zip(ahead.asked, behind.asked, strict=True)
        asked = tuple(a if a.share is not None else b for a, b in pairs)
    met = dict.fromkeys([*one.met, *(key for key in other.met if key not in one.learned)])
    learned = (one.learned | other.learned) - met.keys()
    return ClosingWork(
        number=ahead.number, seed=ahead.seed, asked=asked, learned=frozenset(learned), met=tuple(met)
    )


def _names(work: ClosingWork) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.exercise, one.ideas) for one in work.asked]


def write_closing(work: ClosingWork) -> dict[str, Any]:
    """As plain values for JSON; empty where nothing was done."""
    if work == ClosingWork():
        return {}
    asked = [
        {"exercise": one.exercise, "ideas": list(one.ideas)}
        | ({} if one.share is None else {"share": one.share})
        for one in work.asked
    ]
    return {
        "number": work.number,
        "seed": work.seed,
        "asked": asked,
        "learned": sorted(work.learned),
        "met": list(work.met),
    }


def read_closing(value: Any) -> ClosingWork:
    """What `write_closing` wrote; of what somebody tampered with, as much as is in order."""
    if not isinstance(value, dict):
        return ClosingWork()
    asked = value.get("asked")
    entries = asked if isinstance(asked, list) and len(asked) <= MOST_ASKED else []
    found = [one for one in map(_question, entries) if one is not None]
    number, seed = _whole(value.get("number")), _whole(value.get("seed"))
    whole = len(found) == len(entries) and len({one.exercise for one in found}) == len(found)
    good = whole and found and number and seed is not None
    learned, met = frozenset(_keys(value.get("learned"))), _keys(value.get("met"))
    if not good:
        return ClosingWork(learned=learned, met=met)
    return ClosingWork(number=number or 0, seed=seed or 0, asked=tuple(found), learned=learned, met=met)


def _whole(value: Any) -> int | None:
    is_whole = isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_SEED
    return value if is_whole else None


def _question(entry: Any) -> AskedQuestion | None:
    exercise = entry.get("exercise") if isinstance(entry, dict) else None
    if not isinstance(exercise, str) or not _EXERCISE.fullmatch(exercise):
        return None
    share = entry.get("share")
    is_share = isinstance(share, (int, float)) and not isinstance(share, bool) and -1.0 <= share <= 1.0
    return AskedQuestion(
        exercise=exercise, ideas=_keys(entry.get("ideas")), share=float(share) if is_share else None
    )


def _keys(value: Any) -> tuple[str, ...]:
    listed = value[:MOST_KEYS] if isinstance(value, list) else []
    return tuple(dict.fromkeys(one for one in listed if isinstance(one, str) and _KEY.fullmatch(one)))
