"""What people read of a search: every act, look and answer has words, in every language."""

from __future__ import annotations

from pvsim.array import Place
from pvsim.array.place import LEVELS as PLACES
from pvsim.field.probe import PROBES
from pvsim.field.search import (
    ACTS,
    ANSWERS,
    Act,
    describe_act,
    describe_answered,
    describe_look,
    search_case,
    the_visible,
)
from pvsim.field.search.look import all_looks
from pvsim.words import speaking

AT = {
    "array": Place(),
    "string": Place(1),
    "module": Place(1, 2),
    "substring": Place(1, 2, substring=1),
    "cell": Place(1, 2, cell=3),
}


def every_act() -> list[Act]:
    acts = [Act(kind="read", what=what, place=AT[level]) for what in PROBES for level in PROBES[what].levels]
    acts += [
        Act(kind=kind, place=AT[level], last=3 if kind == "read-run" else 0)
        for kind in ACTS
        if kind != "read"
        for level in PLACES
        if level in ACTS[kind][1]
    ]
    return acts


def test_no_two_acts_are_told_alike() -> None:
    told = [describe_act(act) for act in every_act() if act.what not in ("power", *_DISPLAY)]
    assert len(set(told)) == len(told)


_DISPLAY = ("display-voltage", "display-current")  # there is one display, wherever one asks for it


def test_looks_and_answers_are_told_apart() -> None:
    looks = [describe_look(look) for look in all_looks(the_visible(search_case(1, 1)))]
    assert len(set(looks)) == len(looks)
    answers = [describe_answered((kind, Place(1))) for kind in ANSWERS]
    assert len(set(answers)) == len(ANSWERS)


def test_acts_are_told_in_german_too() -> None:
    english = [describe_act(act) for act in every_act()]
    with speaking("de"):
        german = [describe_act(act) for act in every_act()]
    assert all(one != other for one, other in zip(english, german, strict=True))
