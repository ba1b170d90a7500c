"""How a family of fault can be in a part, as its curve tells: in how many substrings, modules, strings.

Parts that are alike stand for one another: a curve of parts in series or side by side tells how many, not
which. Where they are unlike, in kind or in light, each kind of them is tried.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from pvsim.array.change import add_fault, paint, painted_transmission
from pvsim.array.fault import Fault
from pvsim.array.index import array_index
from pvsim.array.limits import MAX_MODULE_TYPES
from pvsim.array.module import ModuleType
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solve import level_curve
from pvsim.traced.family import Family, poorer_cells
from pvsim.traced.where import (
    EVERY_STRING,
    IN_STRING_HERE,
    IN_STRINGS,
    MODULES,
    SPREAD,
    SUBSTRINGS,
    SUBSTRINGS_HERE,
    WHOLE_STRING_HERE,
    WHOLE_STRINGS,
    Where,
)

ALIKE = 0.02  # of Isc, Voc and Pmp: parts no further apart cannot be told; above what scatter makes of them
_MOST_COUNTED = 6  # substrings, one by one; beyond them whole modules
_MOST_KINDS = 4  # of unlike parts that are each tried
_MOST_COMPARED = 24
_MOST_MISSING = 8
_MOST_STRINGS = 3  # concerned, beside all of them

Change = Callable[[Scenario, float], Scenario]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A family of fault in so many parts.

    Parameters
    ----------
    where : Where or None
        None where nothing is wrong.
    change : (Scenario, float) -> Scenario
        The scenario with the fault of some size.
    weight : float
        How likely this many are, before the curve is looked at: 1 over the square of each count; our own
        choice, for one thing goes wrong more often than two.
    """

    where: Where | None
    change: Change
    weight: float = 1.0


def variants_of(family: Family, scenario: Scenario, place: Place) -> tuple[Variant, ...]:
    """The variants of a family in a part, the likeliest first.

    Parameters
    ----------
    scenario : Scenario
        As it is without the fault; its own scatter left out.
    place : Place
        A module, a string or the array.
    """
    if family.name == "healthy":
        return (Variant(where=None, change=lambda one, _size: one),)
    if family.name == "module-missing":
        return _missing(scenario, place)
    if family.name == "string-open":
        return _open(scenario)
    if family.name in ("shaded-cell", "bypassed"):
        return _of_substrings(family.name, scenario, place)
    return _of_wholes(family, scenario, place)


def _missing(scenario: Scenario, place: Place) -> tuple[Variant, ...]:
    of = len(array_index(scenario).strings[(place.string or 1) - 1].modules)

    def without(count: int) -> Change:
        return lambda one, _size: add_fault(one, Fault("modules-too-few", Place(place.string), float(count)))

    return tuple(
        Variant(
            where=Where(level="module", count=count, of=of, told=MODULES),
            change=without(count),
            weight=count**-2.0,
        )
        for count in range(1, min(_MOST_MISSING, of - 1) + 1)
    )


def _open(scenario: Scenario) -> tuple[Variant, ...]:
    found = []
    for chosen, told, weight in _strings(scenario, whole=True):
        of = len(array_index(scenario).strings)
        if len(chosen) == of:
            continue
        where = Where(
            level="string",
            count=len(chosen),
            of=of,
            told=told,
            strings=len(chosen),
            of_strings=of,
            place=Place(chosen[0]) if told == WHOLE_STRING_HERE else None,
        )
        found.append(Variant(where=where, change=_cut(chosen), weight=weight))
    return tuple(found)


def _cut(strings: tuple[int, ...]) -> Change:
    def cut(scenario: Scenario, _size: float) -> Scenario:
        for string in strings:
            scenario = add_fault(scenario, Fault("cable-open", Place(string)))
        return scenario

    return cut


def _of_wholes(family: Family, scenario: Scenario, place: Place) -> tuple[Variant, ...]:
    """Soiling, series resistance and shunts: of the part, or of some strings of an array."""
    if place.string is not None:
        level = "string" if place.module is None else "module"
        where = Where(level=level, count=1, of=1, told=SPREAD)  # type: ignore[arg-type]
        return (Variant(where=where, change=lambda one, size: family.change(one, place, size)),)
    of = len(array_index(scenario).strings)
    found = []
    names = {module.type for string in scenario.array.strings for module in string.modules}
    room = len(scenario.module_types) + len(names) <= MAX_MODULE_TYPES or family.name == "soiling"
    for chosen, told, weight in _strings(scenario, whole=True):
        if not room and len(chosen) < of:
            continue  # poorer cells of some strings need module types of their own
        every = len(chosen) == of
        where = Where(
            level="string",
            count=len(chosen),
            of=of,
            told=EVERY_STRING if every else told,
            strings=len(chosen),
            of_strings=of,
            place=Place(chosen[0]) if told == WHOLE_STRING_HERE and not every else None,
        )
        # What light and warmth do, they do to all strings: as likely as one.
        found.append(Variant(where=where, change=_on(family, chosen, every), weight=1.0 if every else weight))
    return tuple(found)


def _on(family: Family, strings: tuple[int, ...], every: bool) -> Change:
    if every:
        return lambda one, size: family.change(one, Place(), size)

    def change(scenario: Scenario, size: float) -> Scenario:
        if family.name != "soiling":
            return poorer_cells(scenario, family.name, size, strings)
        for string in strings:
            scenario = family.change(scenario, Place(string), size)
        return scenario

    return change


def _strings(scenario: Scenario, *, whole: bool) -> list[tuple[tuple[int, ...], str, float]]:
    """Which strings may be concerned together, what is told of them, and how likely that is."""
    of = len(array_index(scenario).strings)
    kinds = alike([Place(k + 1) for k in range(of)], scenario)
    several = len(kinds) > 1
    here = WHOLE_STRING_HERE if whole else IN_STRING_HERE
    alike_ones = WHOLE_STRINGS if whole else IN_STRINGS
    found: list[tuple[tuple[int, ...], str, float]] = [
        ((one[0].string or 1,), here if several and len(one) == 1 else alike_ones, 1.0)
        for one in kinds[:_MOST_KINDS]
    ]
    most = max(kinds, key=len)
    for count in range(2, min(_MOST_STRINGS, len(most)) + 1):
        found.append((tuple(one.string or 1 for one in most[:count]), alike_ones, float(count) ** -2.0))
    if of > 1 and len(found[-1][0]) < of:
        found.append((tuple(range(1, of + 1)), alike_ones, float(of) ** -2.0))
    return found


def _of_substrings(name: str, scenario: Scenario, place: Place) -> tuple[Variant, ...]:
    """Substrings shaded or bypassed: of the module, of the string, or of some strings alike."""
    rows: list[tuple[tuple[int, ...], str, float]]
    rows = _strings(scenario, whole=False) if place.string is None else [((place.string,), SUBSTRINGS, 1.0)]
    of_strings = len(array_index(scenario).strings) if place.string is None else 0
    found: list[Variant] = []
    for strings, told_of, likely in rows:
        everything = _substrings(scenario, Place(strings[0], place.module))
        if name == "bypassed":
            everything = [one for one in everything if _has_diode(scenario, one)]
        for chosen, told, count in _choices(everything, scenario, Place(strings[0], place.module), name):
            if place.string is None:
                told = told_of
            where = Where(
                level="substring",
                count=count,
                of=len(_substrings(scenario, Place(strings[0], place.module))),
                told=told,
                strings=len(strings) if of_strings else 0,
                of_strings=of_strings,
                place=_place_told(told, chosen, strings),
            )
            weight = likely * float(count) ** -2.0
            everywhere = [replace(one, string=string) for string in strings for one in chosen]
            everywhere = [one for one in everywhere if _is_there(scenario, one)]
            if name == "bypassed":
                found.append(Variant(where=where, change=_shorted(everywhere), weight=weight))
                continue
            found.append(Variant(where=where, change=_darkened(everywhere, cells=True), weight=weight))
            whole = place.module is not None or count % _per_module(scenario, chosen[0]) == 0
            if whole and count < where.of:
                found.append(Variant(where=where, change=_darkened(everywhere, cells=False), weight=weight))
    return tuple(sorted(found, key=lambda one: -one.weight))


def _place_told(told: str, chosen: list[Place], strings: tuple[int, ...]) -> Place | None:
    if told == SUBSTRINGS_HERE:
        return chosen[0]
    return Place(strings[0]) if told == IN_STRING_HERE else None


def _choices(
    everything: list[Place], scenario: Scenario, part: Place, name: str
) -> list[tuple[list[Place], str, int]]:
    """Which substrings of a module or a string: one of each kind, then more and more of them."""
    if not everything:
        return []
    if part.module is None:
        modules = [Place(one.string, one.module) for one in everything]
        kinds = [
            [one for one in everything if Place(one.string, one.module) == kind[0]]
            for kind in alike(list(dict.fromkeys(modules)), scenario)
        ]
        alone = [len(kind) == 1 for kind in alike(list(dict.fromkeys(modules)), scenario)]
    else:
        kinds = alike(everything, scenario)
        alone = [len(kind) == 1 for kind in kinds]
    several = len(kinds) > 1
    found = [
        ([kind[0]], SUBSTRINGS_HERE if several and single and part.module is not None else SUBSTRINGS, 1)
        for kind, single in list(zip(kinds, alone, strict=True))[:_MOST_KINDS]
    ]
    each = _per_module(scenario, everything[0])
    # All of them bypassed leave no curve; as many as whole modules have are the family of missing modules.
    short = name == "bypassed"
    most = len(everything) - short
    counts = set(range(2, min(_MOST_COUNTED, most) + 1))
    if part.module is None:
        counts |= set(range(2 * each, max(most // 2, 2 * each) + 1, each)) & set(range(2, most + 1))
    return found + [(everything[:count], SUBSTRINGS, count) for count in sorted(counts)]


def _shorted(places: list[Place]) -> Change:
    def short(scenario: Scenario, _size: float) -> Scenario:
        for one in places:
            there = Place(one.string, one.module, diode=one.substring)
            scenario = add_fault(scenario, Fault("diode-short", there))
        return scenario

    return short


def _darkened(places: list[Place], *, cells: bool) -> Change:
    def darken(scenario: Scenario, size: float) -> Scenario:
        chosen = [_first_cell(scenario, one) for one in places] if cells else places
        before = painted_transmission(scenario, chosen[0])
        return paint(scenario, chosen, before * (1.0 - size))

    return darken


def _first_cell(scenario: Scenario, substring: Place) -> Place:
    kind = _kind(scenario, substring)
    before = sum(
        len(chain) for one in kind.substrings[: (substring.substring or 1) - 1] for chain in one.chains
    )
    return Place(substring.string, substring.module, before + 1)


def _kind(scenario: Scenario, place: Place) -> ModuleType:
    module = array_index(scenario).strings[(place.string or 1) - 1].modules[(place.module or 1) - 1]
    return module_type(scenario, module.type)


def _has_diode(scenario: Scenario, substring: Place) -> bool:
    return _kind(scenario, substring).substrings[(substring.substring or 1) - 1].diode is not None


def _per_module(scenario: Scenario, place: Place) -> int:
    return len(_kind(scenario, place).substrings)


def _is_there(scenario: Scenario, substring: Place) -> bool:
    modules = array_index(scenario).strings[(substring.string or 1) - 1].modules
    if (substring.module or 1) > len(modules):
        return False
    return (substring.substring or 1) <= _per_module(scenario, substring)


def _substrings(scenario: Scenario, part: Place) -> list[Place]:
    string = part.string or 1
    count = len(array_index(scenario).strings[string - 1].modules)
    modules = range(1, count + 1) if part.module is None else (part.module,)
    return [
        Place(string, module, substring=number)
        for module in modules
        for number in range(1, _per_module(scenario, Place(string, module)) + 1)
    ]


def alike(places: list[Place], scenario: Scenario) -> list[list[Place]]:
    """Parts in groups of those whose own curves cannot be told apart; the first of many stand for all."""
    groups: list[tuple[tuple[float, float, float], list[Place]]] = []
    for place in places[:_MOST_COMPARED]:
        curve = level_curve(scenario, place, points=60)
        key = (curve.isc_A, curve.voc_V, curve.mpp.power_W)
        for other, members in groups:
            if all(abs(a - b) <= ALIKE * max(abs(a), abs(b)) for a, b in zip(key, other, strict=True)):
                members.append(place)
                break
        else:
            groups.append((key, [place]))
    groups[0][1].extend(places[_MOST_COMPARED:])
    return [members for _key, members in groups]
