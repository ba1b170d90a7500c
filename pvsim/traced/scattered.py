"""What the scatter of cells and modules may make of a part's curve, in a hundredth of the time of a solve.

Cells of one kind share one law in junction coordinates (pvsim/circuit/leaf.py), whatever their light: a cell
that turns 1 % less light into current is the same cell read 1 % of Isc higher. So voltages of all cells at
a row of currents are looked up in one table, and add up; a bypass diode holds what falls below its drop.
This is good enough for what scatter changes, which has to be known to a tenth; the curves themselves are the
solver's. How far the two lie apart is held in tests/traced/test_scattered.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pvsim.array.build import Built, circuits
from pvsim.array.cell_scatter import CellScatter, scatter_of
from pvsim.array.damage import Damage, damage_of
from pvsim.array.elements import ALIKE, SOUND, bypass_diode, cell_of
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import KindIndex, module_range
from pvsim.array.place import Place
from pvsim.array.route import lead_resistances_ohm
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import Scenario
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import Junction, Leaf, cell_junction, diode_junction, leaf_of
from pvsim.prompt import summary

_CURRENTS = 110
_VOLTAGES = 400
_LOWEST_V, _HIGHEST_V = -30.0, 1.2  # of one junction; cells in reverse go no further behind a diode
_SHUNTED_FROM_V = -16.0  # how far below a shunt of its own moves a cell in reverse
_OPEN_V = 1e6  # beyond any part
_MODULES_KEPT = 400

# Modules that a fault leaves alone are the same objects from scenario to scenario (pvsim/array/elements.py).
_modules: IdentityMemo[Floats] = IdentityMemo(_MODULES_KEPT)

_DIODE_SHARE = 0.1  # of the greatest current: what a diode carries while it begins to hold


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScatteredCurves:
    """A part's curve as its cells are, and as they might be.

    Parameters
    ----------
    voltage_V : (n,)
        Rising, from short circuit to beyond open circuit.
    plain_A : (n,)
        With cells that are alike.
    drawn_A : (draws, n)
        With cells that differ.
    """

    voltage_V: Floats
    plain_A: Floats
    drawn_A: Floats

    __repr__ = summary


def scattered_curves(scenario: Scenario, place: Place, scatters: tuple[Scatter, ...]) -> ScatteredCurves:
    """What a part would do were its cells to differ as each of some scatters says.

    Parameters
    ----------
    scenario : Scenario
        Its own scatter is left out. Wires between strings and earth faults are left out too, and modules
        that are tied across strings are taken for strings.
    place : Place
        A module, a string or the array.
    """
    built = circuits(scenario)
    index = built.index
    damage = damage_of(scenario.faults, index)
    first, end = module_range(index, place)
    drawn = [scatter_of(one, index) for one in scatters]
    I = _row_of_currents(_most_current(scenario, built, first, end))
    modules = {
        m: _modules.get(
            (built.modules[m], _name(int(index.module_string[m]), int(index.module_number[m])), scatters, I),
            lambda m=m: _module(built, damage, drawn, m, I),  # type: ignore[misc]
        )
        for m in range(first, end)
    }
    if place.module is not None:
        return _gathered([modules[first]], I)
    leads_ohm = lead_resistances_ohm(scenario)
    strings = []
    for s in range(len(index.strings)) if place.string is None else (place.string - 1,):
        V = np.zeros((1 + len(drawn), I.size))
        for m in range(int(index.string_start[s]), int(index.string_start[s + 1])):
            V += modules[m] * (-1.0 if m in damage.reversed_modules else 1.0)
            V -= damage.connectors.get(m, 0.0) * I
        if s in damage.open_cables or s in damage.blown_fuses:
            continue
        V -= leads_ohm[s] * I
        if index.strings[s].blocking_diode:
            V = np.where(I > 0.0, V - 0.8, V + _OPEN_V * (-I))
        strings.append(V)
    found = _gathered(strings, I)
    main_ohm = scenario.array.main_cable_resistance_ohm if place.string is None else 0.0
    return _behind(found, main_ohm)


def _most_current(scenario: Scenario, built: Built, first: int, end: int) -> float:
    """What the brightest module may deliver, whatever lies on it: one number for all faults of a part."""
    most = 1e-3
    for kind in {int(built.index.module_kind[m]) for m in range(first, end)}:
        one = built.index.kinds[kind].kind
        most = max(most, max(len(part.chains) for part in one.substrings) * one.cell.photocurrent_A)
    brightest = float(built.irradiance_W_m2.max()) if built.irradiance_W_m2.size else 0.0
    light = max(scenario.light.irradiance_W_m2, brightest)
    return most * max(light, 1e-3) / 1000.0


@lru_cache(maxsize=1024)
def _name(string: int, number: int) -> tuple[int, int]:
    """One object for each module's place, to be known again by it."""
    return string, number


@lru_cache(maxsize=64)
def _row_of_currents(most_A: float) -> Floats:
    """From well below zero, for strings that others feed, to above Isc; dense about it, where curves bend."""
    return most_A * np.concatenate(
        [
            np.linspace(-1.0, 0.0, _CURRENTS // 5, endpoint=False),
            np.linspace(0.0, 0.85, _CURRENTS * 2 // 5, endpoint=False),
            np.linspace(0.85, 1.12, _CURRENTS * 2 // 5),
        ]
    )


def _module(built: Built, damage: Damage, drawn: list[CellScatter | None], m: int, I: Floats) -> Floats:
    """Voltages of a module at some currents: as it is, then with each scatter; (1 + draws, currents)."""
    index = built.index
    kind = index.kinds[index.module_kind[m]]
    here = slice(int(index.cell_start[m]), int(index.cell_start[m + 1]))
    cells, diodes = damage.cells.get(m, {}), damage.diodes.get(m, {})
    G, T = built.irradiance_W_m2[here].tolist(), built.temperature_K[here].tolist()
    leaf = [
        leaf_of(cell_of((kind, g, t, cells.get(k, SOUND), ALIKE)))
        for k, (g, t) in enumerate(zip(G, T, strict=True))
    ]
    chains = np.concatenate(
        [np.full(_cells(kind, s), len(one.chains)) for s, one in enumerate(kind.kind.substrings)]
    )
    V = np.zeros((1 + len(drawn), kind.cells, I.size))
    for junction in dict.fromkeys(one.junction for one in leaf):
        mine = np.array(
            [k for k, one in enumerate(leaf) if one.junction is junction or one.junction == junction]
        )
        V[:, mine] = _cells_of(kind, leaf, mine, junction, T, drawn, here, chains[mine], I)
    out = np.zeros((1 + len(drawn), I.size))
    for s, substring in enumerate(kind.kind.substrings):
        at, past = int(kind.substring_start[s]), int(kind.substring_start[s + 1])
        total = V[:, at:past].sum(axis=1) / len(substring.chains)
        if substring.diode is not None:
            diode = bypass_diode(substring.diode, round(sum(T[at:past]) / (past - at)) * 1.0, diodes.get(s))
            total = _held(total, diode, I)
        out += total
    return out


def _cells(kind: KindIndex, s: int) -> int:
    return int(kind.substring_start[s + 1] - kind.substring_start[s])


def _cells_of(
    kind: KindIndex,
    leaf: list[Leaf],
    mine: np.ndarray,
    junction: Junction,
    T: list[float],
    drawn: list[CellScatter | None],
    here: slice,
    chains: np.ndarray,
    I: Floats,
) -> Floats:
    """Voltages of cells of one junction at their share of some currents; (1 + draws, cells, currents)."""
    one = leaf[mine[0]]
    source = np.array([leaf[k].source_A for k in mine])
    ohm = np.array([leaf[k].resistance_ohm for k in mine])
    share = I / chains[:, None]
    drop = share * ohm[:, None]
    if one.junction.conductance_S > 1e20:  # a wire, or a break
        return np.broadcast_to(-drop, (1 + len(drawn), *drop.shape))
    v = _spread_voltages()
    x = junction_current(junction, v)
    V = np.empty((1 + len(drawn), mine.size, I.size))
    V[0] = np.interp(source[:, None] - share, x, v) - drop
    t = T[int(mine[0])]
    warm = cell_junction(kind.kind.cell, t + 1.0, 1.0, np.inf, 1.0)
    cold = cell_junction(kind.kind.cell, t, 1.0, np.inf, 1.0)
    middle = max(float(source.max()), 1e-6)
    per_K = float(
        np.interp(middle, junction_current(warm, v), v) - np.interp(middle, junction_current(cold, v), v)
    )
    for n, scatter in enumerate(drawn, start=1):
        assert scatter is not None
        factor = scatter.photocurrent[here][mine] * scatter.light[here][mine]
        wanted = (source * factor)[:, None] - share
        # A shunt other than the table's takes another current at the cell's own voltage: looked up once more.
        more = (1.0 / scatter.shunt[here][mine] - 1.0)[:, None] * junction.conductance_S
        once = np.clip(np.interp(wanted, x, v), _SHUNTED_FROM_V, None)
        twice = np.interp(wanted - more * once, x, v)
        V[n] = np.interp(wanted - more * np.clip(0.5 * (once + twice), _SHUNTED_FROM_V, None), x, v) - drop
        V[n] += per_K * scatter.warmer_K[here][mine][:, None]
    return V


def _spread_voltages() -> Floats:
    """Junction voltages, dense where the current of any cell rises."""
    return np.concatenate(
        [
            np.linspace(_LOWEST_V, -0.5, _VOLTAGES // 4, endpoint=False),
            np.linspace(-0.5, _HIGHEST_V, _VOLTAGES),
        ]
    )


def junction_current(junction: Junction, voltage_V: Floats) -> Floats:
    """f(v) of a junction (pvsim/circuit/leaf.py), kept finite.

    Parameters
    ----------
    voltage_V : (n,)

    Returns
    -------
    (n,)
        In A; strictly rising.
    """
    v = voltage_V
    f = junction.saturation_current_A * np.expm1(np.minimum(v / junction.thermal_V, 80.0))
    f += junction.second_saturation_current_A * np.expm1(np.minimum(v / junction.second_thermal_V, 80.0))
    f += v * junction.conductance_S
    if junction.breakdown_conductance_S > 0.0:
        left = np.maximum(1.0 - v / junction.breakdown_voltage_V, 1e-3)
        f += v * junction.breakdown_conductance_S * left ** -min(junction.breakdown_exponent, 8.0)
    rising: Floats = np.maximum.accumulate(f) + 1e-12 * np.arange(v.size)
    return rising


def _held(V: Floats, diode: Diode, I: Floats) -> Floats:
    """A substring's voltage with its bypass diode, which carries what the cells do not."""
    if diode.condition == "open":
        return V
    if diode.condition in ("short", "reversed"):
        return np.zeros_like(V)
    junction = diode_junction(diode)
    extra = diode.contact_resistance_ohm if diode.condition == "resistive" else 0.0
    u = np.linspace(0.0, 1.0, 200)
    carried = _DIODE_SHARE * float(I[-1])
    drop = float(np.interp(carried, junction_current(junction, u), u))
    return np.maximum(V, -(drop + carried * (diode.series_resistance_ohm + extra)))


def _gathered(strings: list[Floats], I: Floats) -> ScatteredCurves:
    """Strings side by side: their currents at common voltages."""
    if not strings:
        V = np.linspace(0.0, 1.0, _CURRENTS)
        return ScatteredCurves(voltage_V=V, plain_A=0.0 * V, drawn_A=np.zeros((0, V.size)))
    order = [np.minimum.accumulate(V, axis=1) for V in strings]
    zero = int(np.searchsorted(I, 0.0))
    highest = max(float(V[0, zero]) for V in order)
    V = np.unique(np.concatenate([one[0] for one in order] + [np.linspace(0.0, 1.05 * highest, _CURRENTS)]))
    V = V[(V >= 0.0) & (V <= 1.05 * highest)]
    total = np.zeros((strings[0].shape[0], V.size))
    for one in order:
        for n, row in enumerate(one):
            falling = row[::-1] + 1e-9 * np.arange(row.size)  # plateaus of voltage: a diode that holds
            total[n] += np.interp(V, falling, I[::-1])
    return ScatteredCurves(voltage_V=V, plain_A=total[0], drawn_A=total[1:])


def _behind(found: ScatteredCurves, main_ohm: float) -> ScatteredCurves:
    """The curves behind a main cable, all at the voltages that the plain one then has."""
    if main_ohm == 0.0:
        return found
    V = found.voltage_V - main_ohm * found.plain_A
    drawn = [np.interp(V, found.voltage_V - main_ohm * one, one) for one in found.drawn_A]
    return ScatteredCurves(voltage_V=V, plain_A=found.plain_A, drawn_A=np.array(drawn).reshape(-1, V.size))
