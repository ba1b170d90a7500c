"""Faults planted in parts whose cells scatter, measured with noise, from a seed: what a ranking is judged by.

Each is planted in another way than the families of pvsim/traced make theirs: in cells, diodes and modules
drawn from the seed, resistance and shunts cell by cell. Every number is invented.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.catalogue import CATALOGUE
from pvsim.array.change import add_fault, paint, set_light, set_weather
from pvsim.array.fault import Fault
from pvsim.array.index import array_index
from pvsim.array.place import Place
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solve import level_curve
from pvsim.circuit.solution import Characteristic
from pvsim.files import read_demo
from pvsim.prompt import summary
from pvsim.sheet.residual import one_module
from pvsim.traced.traced_curve import TracedCurve

FAMILIES = {
    "module": ("healthy", "soiling", "shaded-cell", "bypassed", "series-resistance", "shunt"),
    "string": (
        "healthy",
        "soiling",
        "shaded-cell",
        "bypassed",
        "series-resistance",
        "shunt",
        "module-missing",
    ),
    "array": ("healthy", "soiling", "shaded-cell", "bypassed", "series-resistance", "shunt", "string-open"),
}
MODULES = ("full-60", "half-120", "full-72")
Lights = tuple[tuple[float, float], ...]
LIGHT: Lights = ((1000.0, 25.0), (800.0, 45.0), (600.0, 40.0))  # W/m2 and degrees C
POINTS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """One fault in one part.

    Parameters
    ----------
    family : str
        As in pvsim/traced; "other" for what is none of them.
    place : Place
        The part that is measured.
    scenario : Scenario
        As it is thought to be: without the fault, cells alike.
    faulty : Scenario
        With the fault and scatter.
    size : float
        In the terms of the family; 0 where it has none.
    count, strings : int
        How many substrings, modules or strings, and in how many strings of an array; 0 where that is
        no question.
    seed : int
    """

    family: str
    place: Place
    scenario: Scenario
    faulty: Scenario
    seed: int
    size: float = 0.0
    count: int = 0
    strings: int = 0

    __repr__ = summary


def planted_cases(count: int, *, first_seed: int = 1, lights: Lights = LIGHT) -> list[Planted]:
    """So many cases: every part and family in its turn, the rest drawn from the seeds."""
    turns = [(part, family) for part, families in FAMILIES.items() for family in families]
    return [plant(*turns[k % len(turns)], first_seed + k, lights=lights) for k in range(count)]


def plant(part: str, family: str, seed: int, *, lights: Lights = LIGHT) -> Planted:
    """One case of a family in a part: "module", "string" or "array"."""
    rng = np.random.default_rng((seed, 60891))
    scenario, place = _lit(part, seed, rng, lights)
    case = Planted(family=family, place=place, scenario=scenario, faulty=scenario, seed=seed)
    case = _MAKERS[family](case, rng)
    return replace(case, faulty=replace(case.faulty, scatter=Scatter(seed=100 + seed)))


def plant_other(part: str, kind: str, seed: int, *, lights: Lights = LIGHT) -> Planted:
    """None of the families: "two-shades", "two-faults", "poor-junctions" or "other-modules"."""
    rng = np.random.default_rng((seed, 60904))
    scenario, place = _lit(part, seed, rng, lights)
    case = Planted(family="other", place=place, scenario=scenario, faulty=scenario, seed=seed)
    case = _OTHERS[kind](case, rng)
    return replace(case, faulty=replace(case.faulty, scatter=Scatter(seed=100 + seed)))


def solved(case: Planted) -> Characteristic:
    """The faulty part's curve, before anyone measures it."""
    return level_curve(case.faulty, case.place, points=150)


def measured(curve: Characteristic, seed: int, noise: float) -> TracedCurve:
    """A curve as a tracer takes it, with noise on both axes as shares of Isc and Voc."""
    rng = np.random.default_rng((seed, 60904))
    V = np.linspace(0.0, 1.01 * curve.voc_V, POINTS)
    I = np.interp(V, curve.voltage_V, curve.current_A)
    I = I + noise * curve.isc_A * rng.standard_normal(POINTS)
    V, first = np.unique(V + noise * curve.voc_V * rng.standard_normal(POINTS), return_index=True)
    return TracedCurve(voltage_V=V, current_A=I[first])


def _lit(part: str, seed: int, rng: np.random.Generator, lights: Lights) -> tuple[Scenario, Place]:
    if part == "module":
        scenario = one_module(CATALOGUE[MODULES[seed % len(MODULES)]], "a module on the bench")
        place = Place(1, 1)
    else:
        scenario = read_demo("workshop")
        place = Place() if part == "array" else Place(1)
    light, warmth = lights[int(rng.integers(len(lights)))]
    scenario = set_light(scenario, irradiance_W_m2=light)
    return set_weather(scenario, heat="fixed", cell_temperature_C=warmth), place


def _strings(case: Planted, rng: np.random.Generator) -> list[int]:
    """Which strings have it."""
    if case.place.string is not None:
        return [case.place.string]
    every = len(array_index(case.scenario).strings)
    count = 1 + int(rng.integers(every))
    return sorted(int(one) + 1 for one in rng.choice(every, count, replace=False))


def _substrings(case: Planted, string: int, count: int, rng: np.random.Generator) -> list[Place]:
    """Some substrings of a string, or of the module, wherever they are."""
    row = array_index(case.scenario).strings[string - 1].modules
    modules = range(1, len(row) + 1) if case.place.module is None else (case.place.module,)
    every = [
        Place(string, m, substring=s + 1)
        for m in modules
        for s in range(len(module_type(case.scenario, row[m - 1].type).substrings))
    ]
    return [every[k] for k in sorted(rng.choice(len(every), count, replace=False).tolist())]


def _modules(case: Planted) -> list[Place]:
    if case.place.module is not None:
        return [case.place]
    strings = array_index(case.scenario).strings
    return [
        Place(s, m)
        for s, row in enumerate(strings, start=1)
        if case.place.string in (None, s)
        for m in range(1, len(row.modules) + 1)
    ]


def _cells(case: Planted) -> list[Place]:
    strings = array_index(case.scenario).strings
    return [
        Place(one.string, one.module, cell)
        for one in _modules(case)
        for cell in range(
            1, _cell_count(case, strings[(one.string or 1) - 1].modules[(one.module or 1) - 1].type) + 1
        )
    ]


def _cell_count(case: Planted, name: str) -> int:
    kind = module_type(case.scenario, name)
    return kind.rows * kind.columns


def _healthy(case: Planted, rng: np.random.Generator) -> Planted:
    return case


def _soiling(case: Planted, rng: np.random.Generator) -> Planted:
    size = float(rng.uniform(0.06, 0.35))
    faulty = case.scenario
    for module in _modules(case):
        faulty = add_fault(faulty, Fault("soiling", module, size))
    return replace(case, faulty=faulty, size=size)


def _shaded(case: Planted, rng: np.random.Generator) -> Planted:
    size = float(rng.uniform(0.2, 0.95))
    count = 1 + int(rng.integers(2 if case.place.module is not None else 4))
    strings = _strings(case, rng)
    faulty = case.scenario
    for string in strings:
        for one in _substrings(case, string, count, rng):
            faulty = paint(faulty, [_some_cell(case, one, rng)], 1.0 - size)
    return replace(case, faulty=faulty, size=size, count=count, strings=_told(case, strings))


def _some_cell(case: Planted, one: Place, rng: np.random.Generator) -> Place:
    kind = module_type(
        case.scenario,
        array_index(case.scenario).strings[(one.string or 1) - 1].modules[(one.module or 1) - 1].type,
    )
    sizes = [sum(map(len, part.chains)) for part in kind.substrings]
    before = sum(sizes[: (one.substring or 1) - 1])
    return Place(one.string, one.module, before + 1 + int(rng.integers(sizes[(one.substring or 1) - 1])))


def _bypassed(case: Planted, rng: np.random.Generator) -> Planted:
    # Never so many as a module has: that is the curve of a missing module.
    count = 1 + int(rng.integers(2))
    strings = _strings(case, rng)
    faulty = case.scenario
    for string in strings:
        for one in _substrings(case, string, count, rng):
            faulty = add_fault(
                faulty, Fault("diode-short", Place(one.string, one.module, diode=one.substring))
            )
    return replace(case, faulty=faulty, count=count, strings=_told(case, strings))


def _told(case: Planted, strings: list[int]) -> int:
    return len(strings) if case.place.string is None else 0


def _resistance(case: Planted, rng: np.random.Generator) -> Planted:
    size = float(rng.uniform(0.03, 0.12))
    plain = level_curve(case.scenario, _modules(case)[0])
    standard = level_curve(set_light(case.scenario, irradiance_W_m2=1000.0), _modules(case)[0])
    ohm = _each(case, size * plain.voc_V / standard.isc_A)
    # All at once, for each addition checks all.
    faults = tuple(Fault("cell-resistive", cell, ohm) for cell in _cells(case))
    return replace(case, faulty=replace(case.scenario, faults=faults), size=size)


def _each(case: Planted, module_ohm: float) -> float:
    """A cell's part of a module's resistance."""
    first = _modules(case)[0]
    kind = module_type(
        case.scenario, array_index(case.scenario).strings[(first.string or 1) - 1].modules[0].type
    )
    chains = len(kind.substrings[0].chains)
    in_series = sum(len(part.chains[0]) for part in kind.substrings)
    return module_ohm * chains / in_series


def _shunts(case: Planted, rng: np.random.Generator) -> Planted:
    size = float(rng.uniform(0.06, 0.25))
    standard = level_curve(
        set_weather(set_light(case.scenario, irradiance_W_m2=1000.0), cell_temperature_C=25.0),
        _modules(case)[0],
    )
    ohm = _each(case, standard.voc_V / (size * standard.isc_A))
    # All at once, for each addition checks all.
    faults = tuple(Fault("cell-shunt", cell, ohm) for cell in _cells(case))
    return replace(case, faulty=replace(case.scenario, faults=faults), size=size)


def _missing(case: Planted, rng: np.random.Generator) -> Planted:
    count = 1 + int(rng.integers(3))
    faulty = add_fault(case.scenario, Fault("modules-too-few", Place(case.place.string), float(count)))
    return replace(case, faulty=faulty, count=count)


def _open(case: Planted, rng: np.random.Generator) -> Planted:
    string = 1 + int(rng.integers(len(array_index(case.scenario).strings)))
    faulty = add_fault(case.scenario, Fault("cable-open", Place(string)))
    return replace(case, faulty=faulty, count=1, strings=1)


def _two_shades(case: Planted, rng: np.random.Generator) -> Planted:
    """Two substrings shaded, each by as much as the other is not."""
    one, two = _substrings(case, case.place.string or 1, 2, rng)
    deep, light = float(rng.uniform(0.55, 0.8)), float(rng.uniform(0.2, 0.4))
    faulty = paint(case.scenario, [_some_cell(case, one, rng)], 1.0 - deep)
    return replace(case, faulty=paint(faulty, [_some_cell(case, two, rng)], 1.0 - light))


def _two_faults(case: Planted, rng: np.random.Generator) -> Planted:
    """A diode shorted in one substring, and a cell shaded in another."""
    one, two = _substrings(case, case.place.string or 1, 2, rng)
    faulty = add_fault(
        case.scenario, Fault("diode-short", Place(one.string, one.module, diode=one.substring))
    )
    return replace(case, faulty=paint(faulty, [_some_cell(case, two, rng)], float(rng.uniform(0.3, 0.7))))


def _poor_junctions(case: Planted, rng: np.random.Generator) -> Planted:
    """All cells of another ideality, at the open-circuit voltage they had."""
    names = dict.fromkeys(m.type for row in array_index(case.scenario).strings for m in row.modules)
    kinds = {one.name: one for one in case.scenario.module_types}
    ideality = float(rng.uniform(1.7, 2.0))
    for name in names:
        kind = module_type(case.scenario, name)
        cell = kind.cell
        times = np.log(cell.photocurrent_A / cell.saturation_current_A) * cell.ideality / ideality
        poor = replace(
            cell, ideality=ideality, saturation_current_A=float(cell.photocurrent_A / np.exp(times))
        )
        kinds[name] = replace(kind, cell=poor)
    return replace(case, faulty=replace(case.scenario, module_types=tuple(kinds.values())))


def _other_modules(case: Planted, rng: np.random.Generator) -> Planted:
    """A string, of which a half are modules of less current than the others."""
    strings = list(case.scenario.array.strings)
    k = (case.place.string or 1) - 1
    half = len(strings[k].modules) // 2
    modules = tuple(
        replace(one, type="full-96" if m < half else one.type) for m, one in enumerate(strings[k].modules)
    )
    strings[k] = replace(strings[k], modules=modules)
    return replace(
        case, faulty=replace(case.scenario, array=replace(case.scenario.array, strings=tuple(strings)))
    )


_MAKERS = {
    "healthy": _healthy,
    "soiling": _soiling,
    "shaded-cell": _shaded,
    "bypassed": _bypassed,
    "series-resistance": _resistance,
    "shunt": _shunts,
    "module-missing": _missing,
    "string-open": _open,
}
_OTHERS = {
    "two-shades": _two_shades,
    "two-faults": _two_faults,
    "poor-junctions": _poor_junctions,
    "other-modules": _other_modules,
}
