"""A hidden fault to be searched for: from a seed and a level, the same for ever.

Array, light, weather and scatter are drawn apart from the fault: who sees them has learnt nothing of it.
The search and its levels are pvsim's own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault
from pvsim.array.checks import one_of, refuse, tuple_of, whole
from pvsim.array.draw import evenly, mixed, word_of
from pvsim.array.fault import Fault
from pvsim.array.light import Light
from pvsim.array.module import cell_count
from pvsim.array.place import Place
from pvsim.array.scatter import MOST_SEED, USUAL_SCATTER
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.weather import Weather
from pvsim.errors import ScenarioError
from pvsim.field.search.family import FAMILIES, HIDDEN_KINDS, family_of
from pvsim.prompt import summary
from pvsim.words import _, mark

__all__ = [
    "LEVELS",
    "MOST_FAULTS",
    "SEEN_SHARE",
    "SearchCase",
    "SearchLevel",
    "bridges",
    "kinds_at",
    "search_case",
    "the_visible",
    "with_faults",
]

MOST_FAULTS = 2
SEEN_SHARE = 0.25  # of the light lost to dirt: from here on an eye sees it; a judgement, no source
_PLAN, _HIDDEN = 20, 21  # streams


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchLevel:
    """What a level draws from.

    Parameters
    ----------
    strings : int
    least_modules, most_modules : int
        In a string; all strings of an array are equally long.
    module_type : str
        Of the catalogue.
    kinds : tuple of str
        Keys of HIDDEN_KINDS.
    hidden : int
        How many faults, each of another family and in another module: one must not hide another.
    """

    strings: int
    least_modules: int
    most_modules: int
    module_type: str
    kinds: tuple[str, ...]
    hidden: int = 1


_FIRST = ("soiling", "cell-open", "diode-short", "module-reversed")
_SECOND = (*_FIRST, "cell-resistive", "connector-resistive")
_THIRD = (*_SECOND, "diode-open", "cable-open")
_FOURTH = (
    *_THIRD,
    "cell-cracked",
    "cell-short",
    "diode-resistive",
    "modules-too-few",
    "fuse-blown",
    "earth-fault",
)

LEVELS: dict[int, SearchLevel] = {
    1: SearchLevel(strings=1, least_modules=3, most_modules=4, module_type="full-36", kinds=_FIRST),
    2: SearchLevel(strings=1, least_modules=5, most_modules=6, module_type="full-36", kinds=_SECOND),
    3: SearchLevel(strings=2, least_modules=4, most_modules=5, module_type="full-36", kinds=_THIRD),
    4: SearchLevel(strings=2, least_modules=6, most_modules=8, module_type="full-60", kinds=_FOURTH),
    5: SearchLevel(
        strings=3, least_modules=6, most_modules=8, module_type="full-60", kinds=tuple(HIDDEN_KINDS)
    ),
    6: SearchLevel(
        strings=1, least_modules=4, most_modules=5, module_type="full-36", kinds=_SECOND, hidden=2
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchCase:
    """One search.

    Parameters
    ----------
    seed : int
        A student's number, 0 to MOST_SEED.
    level : int
        A key of LEVELS.
    family : str
        A key of FAMILIES that the fault was drawn from; "" for all that the level has.
        Of two faults, the first.
    sound : Scenario
        The array as it is, scatter and all, without the faults.
    faults : tuple of Fault
        One, or as many as the level hides.
    """

    seed: int
    level: int
    family: str
    sound: Scenario
    faults: tuple[Fault, ...]

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_drawn_from(self)
        if not isinstance(self.sound, Scenario):
            refuse(self, "sound", self.sound, _("a Scenario"))
        tuple_of(self, "faults", Fault, least=1, most=MOST_FAULTS)
        for fault in self.faults:
            if fault.kind not in HIDDEN_KINDS:
                refuse(self, "faults", fault, _("faults that are hidden in searches"))

    @property
    def fault(self) -> Fault:
        """The fault; the first of two."""
        return self.faults[0]

    @property
    def scenario(self) -> Scenario:
        """The array as it is, with its faults: what meters are put on."""
        return with_faults(self.sound, self.faults)


def search_case(seed: int, level: int, family: str = "") -> SearchCase:
    """The case of a seed and a level.

    Parameters
    ----------
    seed : int
        0 to MOST_SEED.
    level : int
        A key of LEVELS.
    family : str
        A key of FAMILIES, for practice in a block; "" for mixed practice.

    Raises
    ------
    ScenarioError
        If there is no such seed, level or family, or the level has no fault of the family.
    """
    asked = _Asked(seed=seed, level=level, family=family)
    kinds = kinds_at(level, asked.family)
    if not kinds:
        raise ScenarioError(
            _("level {level} hides no fault of the family '{family}'").format(level=level, family=family),
            expected=_("one of {names}").format(
                names=", ".join(key for key in FAMILIES if kinds_at(level, key))
            ),
            mend=_("Choose another family, or a higher level"),
        )
    sound = _sound(seed, level)
    faults = [_fault(seed, f"level {level} family {family}", kinds, sound, ())]
    for further in range(1, LEVELS[level].hidden):
        taken = [family_of(fault.kind) for fault in faults]
        others = tuple(kind for kind in LEVELS[level].kinds if family_of(kind) not in taken)
        faults.append(
            _fault(seed, f"level {level} family {family} fault {further}", others, sound, tuple(faults))
        )
    return SearchCase(seed=seed, level=level, family=family, sound=sound, faults=tuple(faults))


def kinds_at(level: int, family: str = "") -> tuple[str, ...]:
    """The kinds that a level hides, of one family or of all."""
    return tuple(kind for kind in LEVELS[level].kinds if not family or kind in FAMILIES[family].kinds)


def the_visible(case: SearchCase) -> Scenario:
    """What an eye sees: the array without the hidden fault, and without what no eye sees of its cells.

    Dirt that takes SEEN_SHARE of the light or more is seen, and there as a fault of its own.
    """
    plain = replace(case.sound, scatter=None)
    seen = [one for one in case.faults if one.kind == "soiling" and (one.size or 0.0) >= SEEN_SHARE]
    return with_faults(plain, tuple(seen))


def with_faults(scenario: Scenario, faults: tuple[Fault, ...]) -> Scenario:
    """The scenario with these faults added."""
    for fault in faults:
        scenario = add_fault(scenario, fault)
    return scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    seed: int
    level: int
    family: str

    def __post_init__(self) -> None:
        _check_drawn_from(self)


def _check_drawn_from(thing: _Asked | SearchCase) -> None:
    whole(thing, "seed", least=0, most=MOST_SEED)
    whole(thing, "level", least=min(LEVELS), most=max(LEVELS))
    if thing.family != "":
        one_of(thing, "family", FAMILIES)


def _share(seed: int, stream: int, name: str) -> float:
    """0 to 1, each as likely as any other."""
    return float(evenly(seed, stream, mixed(np.atleast_1d(word_of(name))))[0]) / 2.0 + 0.5


def _one_of(seed: int, stream: int, name: str, count: int) -> int:
    """From 0 up to, and without, `count`."""
    return min(int(_share(seed, stream, name) * count), count - 1)


def _sound(seed: int, level: int) -> Scenario:
    kind = LEVELS[level]
    at = f"level {level}"

    def between(name: str, least: float, most: float, step: float) -> float:
        steps = round((most - least) / step)
        return round(least + step * _one_of(seed, _PLAN, f"{at} {name}", steps + 1), 6)

    count = int(between("modules", kind.least_modules, kind.most_modules, 1))
    string = String(modules=(Module(type=kind.module_type),) * count, fuse="fuse-blown" in kind.kinds)
    scatter_seed = _one_of(seed, _PLAN, f"{at} scatter", MOST_SEED + 1)
    return Scenario(
        title=mark("Your array"),
        note=mark("Invented for this search; no site has it."),
        array=Array(strings=(string,) * kind.strings, modules_per_row=count),
        light=Light(
            irradiance_W_m2=between("irradiance", 700.0, 1000.0, 10.0),
            diffuse_fraction=between("diffuse", 0.1, 0.25, 0.01),
        ),
        weather=Weather(
            heat="steady",
            ambient_temperature_C=between("air", 5.0, 28.0, 1.0),
            wind_m_s=between("wind", 0.5, 4.0, 0.5),
        ),
        scatter=replace(USUAL_SCATTER, seed=scatter_seed),
    )


def _fault(seed: int, at: str, kinds: tuple[str, ...], sound: Scenario, others: tuple[Fault, ...]) -> Fault:
    kind = kinds[_one_of(seed, _HIDDEN, f"{at} kind", len(kinds))]
    hidden = HIDDEN_KINDS[kind]
    strings = sound.array.strings
    string = 1 + _one_of(seed, _HIDDEN, f"{at} string", len(strings))
    modules = strings[string - 1].modules
    taken = {one.place.module for one in others if one.place.string == string}
    free = [number for number in range(1, len(modules) + 1) if number not in taken]
    module = free[_one_of(seed, _HIDDEN, f"{at} module", len(free))]
    made = module_type(sound, modules[module - 1].type)
    if kind == "string-bridge":
        wires = bridges(len(strings), len(modules))
        place, other = wires[_one_of(seed, _HIDDEN, f"{at} wire", len(wires))]
        return Fault(kind, place, other=other)
    if hidden.where == "cell":
        cell = 1 + _one_of(seed, _HIDDEN, f"{at} cell", cell_count(made))
        place = Place(string, module, cell=cell)
    elif hidden.where == "diode":
        diode = 1 + _one_of(seed, _HIDDEN, f"{at} diode", len(made.substrings))
        place = Place(string, module, diode=diode)
    else:
        place = Place(string, module) if hidden.where == "module" else Place(string)
    size = None
    if hidden.least is not None and hidden.most is not None:
        size = round(hidden.least + _share(seed, _HIDDEN, f"{at} size") * (hidden.most - hidden.least), 3)
    return Fault(kind, place, size)


def bridges(strings: int, modules: int) -> tuple[tuple[Place, Place], ...]:
    """Where a wire between strings is hidden: between two strings, one module up or down.

    Between modules of one number it joins what has one voltage, and nobody can see it.
    """
    return tuple(
        (Place(one, module), Place(other, module + step))
        for one in range(1, strings + 1)
        for other in range(one + 1, strings + 1)
        for module in range(1, modules + 1)
        for step in (-1, 1)
        if 1 <= module + step <= modules
    )
