"""Looks: a reading, how the plant has to stand for it, and the safe way there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.field.search.act import Act, minutes_of
from pvsim.field.search.plant import Plant
from pvsim.field.search.safety import after

__all__ = ["Look", "Mode", "all_looks", "look_of", "minutes_to", "way_to"]

Mode = Literal["work", "open", "apart"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A reading, and how the plant has to stand for it.

    Parameters
    ----------
    mode : str
        "work": the inverter runs; "open": the DC switch is open; "apart": the string is separated as well.
    act : Act
    cloth : Place or None
        Where a cloth that lets nothing through has to lie.
    """

    mode: Mode
    act: Act
    cloth: Place | None = None


def all_looks(seen: Scenario) -> tuple[Look, ...]:
    """Every look that searchers choose from."""
    return tuple(_looks(seen))


def _looks(seen: Scenario) -> Iterator[Look]:
    for string, one in enumerate(seen.array.strings, start=1):
        whole = Place(string)
        clamp = Act(kind="read", what="current", place=whole)
        yield Look(mode="work", act=clamp)
        yield Look(mode="work", act=Act(kind="picture", place=whole))
        for mode in _PLAIN:
            yield Look(mode=mode, act=Act(kind="read", what="voltage", place=whole))
        yield Look(mode="apart", act=Act(kind="read", what="insulation", place=whole))
        count = len(one.modules)
        for first in range(1, count + 1):
            for last in range(first, count + 1):
                run = Act(kind="read-run", place=Place(string, first), last=last)
                for mode in _PLAIN:
                    yield Look(mode=mode, act=run)
        for module in range(1, count + 1):
            at = Place(string, module)
            here = Act(kind="read-run", place=at, last=module)
            yield Look(mode="work", act=Act(kind="read", what="voltage", place=at))
            if len(seen.array.strings) > 1:  # a wire between strings takes current from one amid its modules
                yield Look(mode="work", act=Act(kind="read", what="current", place=at))
            yield Look(mode="work", act=Act(kind="picture", place=at))
            yield Look(mode="work", act=here, cloth=at)
            for part in range(1, len(module_type(seen, one.modules[module - 1].type).substrings) + 1):
                cloth = Place(string, module, substring=part)
                yield Look(mode="work", act=here, cloth=cloth)
                yield Look(mode="work", act=clamp, cloth=cloth)
            yield Look(mode="apart", act=Act(kind="trace", place=at))


_PLAIN: tuple[Mode, ...] = ("work", "open")


def look_of(plant: Plant, act: Act) -> Look:
    """The look that an act is with the plant as it stands."""
    mode: Mode = "work" if plant.running else "open"
    if act.kind == "trace" or act.what in ("insulation", "open-voltage"):
        mode = "apart"
    return Look(mode=mode, act=act, cloth=plant.cloth)


def way_to(plant: Plant, look: Look) -> tuple[Act, ...]:
    """What has to be done before a look, in the safe order."""
    acts: list[Act] = []
    if plant.cloth is not None and plant.cloth != look.cloth:
        acts.append(Act(kind="lift"))
    if look.mode == "work":
        if plant.separated and plant.switch_closed:
            acts += _opened(plant)
        acts += [Act(kind="join", place=Place(string)) for string in plant.separated]
        if plant.separated or not plant.switch_closed:
            acts.append(Act(kind="close-switch"))
        acts += [] if plant.running and plant.switch_closed and not plant.separated else [Act(kind="start")]
    else:
        acts += _opened(plant)
    if look.mode == "apart" and look.act.place.string not in plant.separated:
        acts += [] if plant.proven else [Act(kind="prove-zero")]
        acts.append(Act(kind="separate", place=Place(look.act.place.string)))
    if look.cloth is not None and plant.cloth != look.cloth:
        acts.append(Act(kind="cover", place=look.cloth))
    return tuple(acts)


def _opened(plant: Plant) -> list[Act]:
    acts = [Act(kind="stop")] if plant.running else []
    return acts + ([Act(kind="open-switch")] if plant.switch_closed else [])


def minutes_to(plant: Plant, look: Look) -> tuple[float, Plant]:
    """What a look costs with all that comes before it, and the plant that it meets."""
    minutes = minutes_of(look.act)
    for act in way_to(plant, look):
        minutes += minutes_of(act)
        plant = after(plant, act, zero=True)
    return minutes, plant
