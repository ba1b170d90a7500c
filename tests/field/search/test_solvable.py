"""Every search can be solved with the instruments given, by acts that are allowed.

Strings side by side, modules in a row and substrings of a module are alike, so what tells a fault at the
first of them from every other answer tells it anywhere. So each level is looked at in the extremes of its
light, air and lengths; every seed lies between them. A reading tells two candidates apart where what they
foresee of it differs by more than its expanded uncertainty, k = 2, of both together; scatter and the size's
own width counted in.
"""

from __future__ import annotations

import os
from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import Place, set_array
from pvsim.array.part_place import place_holds
from pvsim.array.scenario import check_place
from pvsim.field.search import LEVELS, SearchCase, search_case
from pvsim.field.search.case import kinds_at
from pvsim.field.search.family import HIDDEN_KINDS
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.look import Look, all_looks, minutes_to, way_to
from pvsim.field.search.plant import AS_FOUND
from pvsim.field.search.safety import after, refusal_of

# Each time one extreme of a level, the cheap levels alone; all levels and extremes where a long run is asked
# for.
LONG = os.environ.get("PVSIM_HYPOTHESIS") == "long"
LIGHTS_W_m2, AIRS, DIFFUSE = (700.0, 1000.0), ((5.0, 4.0), (28.0, 0.5)), 0.25  # air in C with wind in m/s
EXTREMES = [
    (level, LEVELS[level].strings, count, light, *air)
    for level in LEVELS
    for count in (LEVELS[level].least_modules, LEVELS[level].most_modules)
    for light in LIGHTS_W_m2
    for air in AIRS
]
# All twenty kinds on an array smaller than their level's, and the second level.
SOME = [(2, 1, 6, 700.0, 28.0, 0.5), (5, 2, 4, 700.0, 28.0, 0.5)]
K = 2.0  # coverage


def extreme(
    level: int, strings: int, modules: int, light_W_m2: float, air_C: float, wind_m_s: float
) -> SearchCase:
    case = search_case(1, level)
    first = case.sound.array.strings[0]
    string = replace(first, modules=first.modules[:1] * modules)
    sound = set_array(case.sound, strings=(string,) * strings, modules_per_row=modules)
    sound = replace(
        sound,
        light=replace(sound.light, irradiance_W_m2=light_W_m2, diffuse_fraction=DIFFUSE),
        weather=replace(sound.weather, ambient_temperature_C=air_C, wind_m_s=wind_m_s),
    )
    return replace(case, sound=sound)


def representatives(know: Foresight) -> list[int]:
    """Candidates at the first places and at their neighbours: all others are like one of them."""

    def near(place: Place) -> bool:
        fine = all((number or 1) <= 2 for number in (place.string, place.substring))
        return fine and (place.module or 1) <= 1 + len(know.candidates[0].faults)

    return [
        number
        for number, one in enumerate(know.candidates)
        if all(near(place) for _kind, place in one.answers) or one.kind == "string-bridge"
    ]


def useful(know: Foresight) -> list[Look]:
    """Looks at the first strings and modules, at whole strings, and at runs up to the second or last module.

    Cloth and tracer at as many modules as faults are hidden in.
    """
    modules = len(know.seen.array.strings[0].modules)
    close = [Place(1, number + 1) for number in range(len(know.candidates[0].faults))]
    return [
        look
        for look in all_looks(know.seen)
        if (look.act.place.string or 1) <= 2
        and (look.act.place.module or 1) <= 2
        and (not look.act.last or look.act.last in (look.act.place.module, 2, modules))
        and (look.cloth is None or any(place_holds(know.seen, at, look.cloth) for at in close))
        and (look.act.kind != "trace" or look.act.place in close)
    ]


def untold(case: SearchCase) -> list[tuple]:
    """Pairs of a fault at the first place and another answer that no reading tells apart."""
    know = Foresight(case)
    some = representatives(know)
    first = [
        number
        for number in some
        if all((p.string or 1, p.substring or 1) == (1, 1) for _kind, p in know.candidates[number].answers)
        and know.candidates[number].place.module in (None, 1)
        and all(
            (p.module or 1) <= len(know.candidates[0].faults) for _kind, p in know.candidates[number].answers
        )
    ]
    answers = [frozenset(know.candidates[number].answers) for number in some]
    rows = [some.index(number) for number in first]
    farthest = np.zeros((len(first), len(some)))
    for look in useful(know):
        plant = AS_FOUND
        for act in way_to(plant, look):
            assert refusal_of(plant, act) is None
            plant = after(plant, act, zero=True)
        assert refusal_of(plant, look.act) is None
        mu, sigma = know.readings(some, plant, look.act)
        apart = np.abs(mu[rows, None] - mu[None]) / np.hypot(sigma[rows, None], sigma[None])
        farthest = np.maximum(farthest, apart.max(axis=2))
    return [
        (
            know.candidates[number].faults,
            know.candidates[some[column]].faults,
            round(farthest[row, column], 2),
        )
        for row, number in enumerate(first)
        for column in range(len(some))
        if answers[column] != frozenset(know.candidates[number].answers) and farthest[row, column] <= K
    ]


@pytest.mark.parametrize("conditions", EXTREMES if LONG else SOME, ids=str)
def test_some_allowed_reading_tells_each_fault_from_every_other_answer(conditions: tuple) -> None:
    assert untold(extreme(*conditions)) == []


def test_what_is_drawn_from_2000_seeds_lies_between_the_extremes_that_are_looked_at() -> None:
    for seed in range(2000):
        level = 1 + seed % len(LEVELS)
        case, kind = search_case(seed, level), LEVELS[level]
        light, weather = case.sound.light, case.sound.weather
        assert LIGHTS_W_m2[0] <= light.irradiance_W_m2 <= LIGHTS_W_m2[1]
        assert 0.1 <= light.diffuse_fraction <= DIFFUSE
        assert AIRS[0][0] <= weather.ambient_temperature_C <= AIRS[1][0]
        assert AIRS[1][1] <= weather.wind_m_s <= AIRS[0][1]
        lengths = {len(string.modules) for string in case.sound.array.strings}
        assert len(lengths) == 1
        assert kind.least_modules <= lengths.pop() <= kind.most_modules
        for fault in case.faults:
            hidden = HIDDEN_KINDS[fault.kind]
            assert fault.kind in kinds_at(level)
            assert hidden.least is None or hidden.least <= (fault.size or 0.0) <= (hidden.most or 0.0)
            check_place(case.sound, fault.place)


def test_two_faults_of_one_answer_are_not_told_apart_and_so_are_one() -> None:
    """What is foreseen of a cut cable and of a blown fuse is one: the test above can fail."""
    know = Foresight(extreme(*SOME[1]))
    by_kind = {one.kind: number for number, one in enumerate(know.candidates) if one.place == Place(1)}
    pair = [by_kind["cable-open"], by_kind["fuse-blown"]]
    for look in useful(know):
        if look.cloth is None:
            mu, sigma = know.readings(pair, minutes_to(AS_FOUND, look)[1], look.act)
            assert (np.abs(mu[0] - mu[1]) <= K * np.hypot(sigma[0], sigma[1])).all()
