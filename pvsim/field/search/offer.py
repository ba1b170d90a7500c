"""What a class is offered to read next: a handful of acts, of which one tells most per minute.

    "best"      the reading with the greatest expected information per minute, the safe way to it counted in
    "halving"   the run of modules that holds the fault as nearly as can be with one half
    "other"     in its place where both are one: the best reading by another instrument
    "poor"      two by instruments that somebody might well take, of at most half as much per minute
    "unsafe"    a reading with the plant as it stands, which the safety order refuses

Their order is drawn from the seed of the case. What is likely is reckoned from what was read, never from what
is hidden, so that the choices may be told to anybody.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pvsim.array.draw import evenly as drawn_evenly
from pvsim.array.draw import mixed, word_of
from pvsim.array.place import Place
from pvsim.circuit.floats import Floats
from pvsim.field.search.act import Act, minutes_of
from pvsim.field.search.case import SearchCase
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.look import Look, minutes_to, way_to
from pvsim.field.search.plant import Plant
from pvsim.field.search.reckoning import best_look, evenly, expected_bit, worth_it
from pvsim.field.search.replay import replayed
from pvsim.field.search.safety import refusal_of
from pvsim.field.search.searchers import halving_look
from pvsim.field.search.transcript import Transcript, plant_after
from pvsim.prompt import summary

__all__ = ["Choice", "Sort", "acts_of", "best_of", "offer_of"]

Sort = Literal["best", "halving", "other", "poor", "unsafe"]

_STREAM = 23
_POOR = 0.5  # of the best rate, at most; a judgement
_POORS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One act that a class can choose.

    Parameters
    ----------
    sort : str
        What it is there for.
    act : Act
        The reading itself.
    look : Look or None
        The same with how the plant has to stand; None of an unsafe one, which leaves the plant as it is.
    minutes : float
        With the safe way to it; of an unsafe one 0, as it is not done.
    expected_bit : float
        What is expected of it.
    """

    sort: Sort
    act: Act
    look: Look | None
    minutes: float
    expected_bit: float

    __repr__ = summary

    @property
    def rate_bit_min(self) -> float:
        """Expected information per minute."""
        return self.expected_bit / self.minutes if self.minutes else 0.0


def offer_of(
    case: SearchCase, transcript: Transcript, foresight: Foresight | None = None
) -> tuple[Choice, ...]:
    """What to choose from after what has been read.

    Parameters
    ----------
    foresight : Foresight or None
        Of the same case; it spares solving everything again.

    Returns
    -------
    tuple of Choice
        Three to five, no two alike; fewer where little is left to read, or nothing is unsafe.
    """
    know = foresight or Foresight(case)
    steps = replayed(know, transcript)
    likely, plant = (steps[-1].after if steps else evenly(know)), plant_after(transcript)
    done = {step.done for step in steps if step.done is not None}
    looks = list(know.looks)
    left = [look for look in looks if look not in done] or looks
    some = worth_it(know, likely, left) or left
    best, _rate = best_look(know, likely, some, plant)
    drawn = _Draw(case.seed, len(transcript.lines))

    chosen: list[Choice] = [_choice("best", know, likely, plant, best)]
    rest = [look for look in some if _instrument(look) != _instrument(best)]
    halving = halving_look(know, likely, left)
    if halving != best:
        chosen.append(_choice("halving", know, likely, plant, halving))
    elif rest:
        other, _rate = best_look(know, likely, rest, plant)
        chosen.append(_choice("other", know, likely, plant, other))
    chosen += _poor(know, likely, plant, some, chosen, drawn)
    unsafe = _unsafe(plant, know, drawn)
    if unsafe is not None:
        chosen.append(Choice(sort="unsafe", act=unsafe, look=None, minutes=0.0, expected_bit=0.0))
    order = drawn.order([repr((one.act, one.look)) for one in chosen])
    return tuple(chosen[place] for place in order)


def acts_of(plant: Plant, choice: Choice) -> tuple[Act, ...]:
    """What is done for a choice with the plant as it stands by now: the safe way, then the reading."""
    return (choice.act,) if choice.look is None else (*way_to(plant, choice.look), choice.act)


def best_of(offer: tuple[Choice, ...]) -> int:
    """The place of the choice with the greatest expected information per minute; the first of equal ones."""
    return max(range(len(offer)), key=lambda place: (offer[place].rate_bit_min, -place))


def _choice(sort: Sort, know: Foresight, likely: Floats, plant: Plant, look: Look) -> Choice:
    minutes, then = minutes_to(plant, look)
    return Choice(
        sort=sort,
        act=look.act,
        look=look,
        minutes=minutes,
        expected_bit=expected_bit(know, likely, then, look.act),
    )


def _poor(
    know: Foresight,
    likely: Floats,
    plant: Plant,
    looks: list[Look],
    chosen: list[Choice],
    drawn: _Draw,
) -> list[Choice]:
    """Of instruments drawn one after the other, each with a reading that tells little per minute."""
    most = max(one.rate_bit_min for one in chosen)
    there = {one.look for one in chosen}
    kinds: dict[tuple[str, str, str], list[Look]] = {}
    for look in looks:
        if look not in there and look.cloth is None:
            kinds.setdefault(_instrument(look), []).append(look)
    names = list(kinds)
    found: list[Choice] = []
    spare: list[Choice] = []
    for name in [names[place] for place in drawn.order([repr(name) for name in names])]:
        here = kinds[name]
        for look in [here[place] for place in drawn.order([repr(look) for look in here])[:3]]:
            one = _choice("poor", know, likely, plant, look)
            (found if one.rate_bit_min <= _POOR * most else spare).append(one)
            if one in found:
                break
        if len(found) == _POORS:
            return found
    spare.sort(key=lambda one: one.rate_bit_min)
    return (found + spare)[:_POORS]


def _instrument(look: Look) -> tuple[str, str, str]:
    return look.mode, look.act.kind, look.act.what


def _unsafe(plant: Plant, know: Foresight, drawn: _Draw) -> Act | None:
    """A reading that is refused because it would hurt somebody; None where the plant allows every one."""
    acts = []
    for number, string in enumerate(know.seen.array.strings, start=1):
        acts.append(Act(kind="read", what="insulation", place=Place(number)))
        acts += [
            Act(kind="trace", place=Place(number, module)) for module in range(1, len(string.modules) + 1)
        ]
    for place in drawn.order([repr(act) for act in acts]):
        refusal = refusal_of(plant, acts[place])
        if refusal is not None and refusal.unsafe and minutes_of(acts[place]):
            return acts[place]
    return None


@dataclass(frozen=True, slots=True)
class _Draw:
    """Orders that are drawn, the same for the same seed and as many lines."""

    seed: int
    lines: int

    def order(self, names: list[str]) -> list[int]:
        """Places of these names."""
        if not names:
            return []
        words = np.array([word_of(f"{self.lines} {name}") for name in names], dtype=np.uint64)
        values = drawn_evenly(self.seed, _STREAM, mixed(words))
        return [int(place) for place in np.argsort(values, kind="stable")]
