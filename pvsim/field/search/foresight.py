"""What meters would read if a candidate were true, and how well that is known.

Reckoned on the array that is seen: cells all alike. How far real ones lie apart from that is put into the
uncertainty of a reading, by figures drawn from the usual scatter and held to drawn cases in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pvsim.array.fault import Fault
from pvsim.array.heat import ZERO_CELSIUS_K
from pvsim.array.place import Place
from pvsim.array.scenario import module_type
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import part_curve, solve_array
from pvsim.circuit.floats import Floats
from pvsim.field.insulation import earth_resistance_Mohm
from pvsim.field.kit import INSULATION_TESTER, TRACER_CURRENT, TRACER_VOLTAGE
from pvsim.field.meter import Meter, range_of, zero_limit
from pvsim.field.probe import Probe, true_value
from pvsim.field.search.act import Act, meter_of_act
from pvsim.field.search.alike import moved_to_first
from pvsim.field.search.candidates import Candidate, candidates_of
from pvsim.field.search.case import SearchCase, the_visible, with_faults
from pvsim.field.search.picture import contrast_uncertainty_K, true_contrasts_K
from pvsim.field.search.plant import Plant, as_it_stands, built_length, is_built, run_voltage_V
from pvsim.prompt import summary

__all__ = ["Foresight", "is_foreseen"]

_POINTS = 20
_DECIMALS = 5
# Standard deviations by the usual scatter, as shares: of a module's voltage at work and open, of currents and
# power. In kelvin: of how warm a module is; of how much warmer its warmest cell is, and by how much it always
# is.
_AT_WORK, _OPEN, _CURRENT, _POWER = 0.015, 0.006, 0.02, 0.02
_WARMTH_K, _CONTRAST_K, _WARMEST_K = 1.6, 0.15, 0.2
# Cells driven so near to their short-circuit current that the weakest of them turns round and heats: from
# which share of a sound junction's voltage down, how warm, and how unlike.
_DRIVEN, _DRIVEN_K, _DRIVEN_APART_K = 0.85, 8.0, 15.0
_FLOWING_A = 0.3
_ZERO_A = 0.02  # of currents that should be none
_INSULATION = 0.3  # share, of sound modules; as pvsim.field.doubt has it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stand:
    """What there is to be measured at every place; rows are candidates where there are several.

    Parameters
    ----------
    run_V, own_V, own_A, back_C : (..., strings, modules)
        Of modules with their connectors; at their own leads; how warm.
    contrast_K, junction_V : (..., strings, modules, substrings)
        Warmest cell less its module; mean of the cells that carry current, else infinite.
    string_V, string_A : (..., strings)
    array : (..., 3)
        Voltage, current and power at the inverter.
    """

    run_V: Floats
    own_V: Floats
    own_A: Floats
    back_C: Floats
    contrast_K: Floats
    junction_V: Floats
    string_V: Floats
    string_A: Floats
    array: Floats

    __repr__ = summary


_FIELDS = tuple(_Stand.__dataclass_fields__)


def is_foreseen(act: Act) -> bool:
    """Whether an act reads something that candidates differ in."""
    if act.kind == "read":
        return act.what != "irradiance"
    return act.kind in ("read-run", "trace", "picture")


class Foresight:
    """What each candidate would have a reading be; kept, since each costs a solved circuit.

    Parameters
    ----------
    case : SearchCase
        Of which only level, family and what is seen are looked at.
    """

    def __init__(self, case: SearchCase) -> None:
        self.candidates: tuple[Candidate, ...] = candidates_of(case)
        self.level, self.family = case.level, case.family
        self.seen = the_visible(case)
        self._strings = len(self.seen.array.strings)
        self._modules = len(self.seen.array.strings[0].modules)
        self._made = module_type(self.seen, self.seen.array.strings[0].modules[0].type)
        self._solved: dict[tuple[tuple[Fault, ...], Plant], _Stand] = {}
        self._stands: dict[Plant, tuple[np.ndarray, _Stand]] = {}
        self._parts: dict[tuple[tuple[Fault, ...], Plant, Place], tuple[float, float, float]] = {}
        self._kept: dict[tuple[Plant, Act], tuple[Floats, Floats]] = {}
        self._smaller, self._larger = _neighbours(self.candidates)
        self._sound = solve_array(self.seen, points=_POINTS)
        self._driven_V = _DRIVEN * float(self._sound.cells.junction_V.mean())

    def reading(self, number: int, plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """What candidate `number` would have an act read, and the standard uncertainty of that; (parts,)."""
        value, sure = self.readings([number], plant, act)
        return value[0], sure[0]

    def readings(self, numbers: list[int], plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """As `reading`, of several candidates; (candidates, parts) each.

        Parts are what a line of a transcript finds, in that order. Insulation is told as its logarithm.
        """
        same = replace(plant, proven=False)
        if not same.switch_closed:
            same = replace(same, separated=())  # strings are apart anyhow
        if act.kind == "read" and act.what == "insulation":
            same = replace(same, cloth=None, leak=0.0)
        key = same, act
        if key not in self._kept:
            parts = self._count(act)
            self._kept[key] = (
                np.full((len(self.candidates), parts), np.nan),
                np.full((len(self.candidates), parts), np.nan),
            )
        mu, sigma = self._kept[key]
        mine = np.array(numbers)
        smaller, larger = self._smaller[:, mine], self._larger[:, mine]
        asked = np.unique([*smaller.ravel(), *larger.ravel(), *numbers])
        missing = asked[np.isnan(mu[asked, 0])].tolist()
        if missing:
            mu[missing], sigma[missing] = self._foreseen(missing, same, act)
        # A size lies anywhere up to half way to the next one reckoned with.
        steps = np.maximum((smaller != mine).astype(int) + (larger != mine), 1)
        apart = (np.abs(mu[larger] - mu[smaller]) / steps[:, :, None]) ** 2 / 12.0
        return mu[mine], np.sqrt(sigma[mine] ** 2 + apart.sum(axis=0))

    def shown(self, act: Act, values: Floats) -> Floats:
        """What a meter showed, told as `readings` tells it."""
        if act.kind == "read" and act.what == "insulation":
            logs: Floats = np.log(np.maximum(values, 1e-6))
            return logs
        return values

    def most_shown(self, act: Act) -> float:
        """Beyond which the meter of an act shows no figure, told as `readings` tells it; else infinite."""
        meter = meter_of_act(act)
        return np.inf if meter is None or act.what == "insulation" else meter.ranges[-1].most

    def _count(self, act: Act) -> int:
        if act.kind == "picture":
            return self._modules if act.place.module is None else len(self._made.substrings)
        return 2 if act.kind == "trace" else 1

    def _foreseen(self, numbers: list[int], plant: Plant, act: Act) -> tuple[Floats, Floats]:
        if act.kind == "read" and act.what == "insulation":
            return self._insulation(numbers, act.place)
        if act.kind == "trace" or act.what == "open-voltage":
            return self._taken_out(numbers, plant, act)
        stand = self._all(numbers, plant)
        share = _AT_WORK if plant.running else _OPEN
        s, m = (act.place.string or 1) - 1, (act.place.module or 1) - 1
        if act.kind == "read-run":
            run = stand.run_V[:, s, m : act.last]
            mu = run.sum(axis=1)
            return _column(mu, _known(act, mu), share * np.linalg.norm(run, axis=1))
        if act.kind == "picture":
            seen_K, junction_V = stand.contrast_K[:, s, m], stand.junction_V[:, s, m]
            if act.place.module is None:
                seen_K = stand.contrast_K[:, s].max(axis=2)
                junction_V = stand.junction_V[:, s].min(axis=2)
            mu = np.where(seen_K > -_WARMEST_K, np.maximum(seen_K, _WARMEST_K), seen_K)
            driven = junction_V < self._driven_V
            mu = np.where(driven, np.maximum(mu, _DRIVEN_K), mu)
            known = np.vectorize(contrast_uncertainty_K)(mu)
            apart = np.where(driven, _DRIVEN_APART_K, np.hypot(_CONTRAST_K, 0.1 * mu))
            return mu, np.hypot(known, apart)
        mu, apart = self._plain(stand, plant, act, share)
        return _column(mu, _known(act, mu), apart)

    def _plain(self, stand: _Stand, plant: Plant, act: Act, share: float) -> tuple[Floats, Floats]:
        """Of an instrument put on a place, and how far real arrays lie apart in it."""
        at, root = act.place, np.sqrt(self._modules)
        s, m = (at.string or 1) - 1, (at.module or 1) - 1
        if act.what == "irradiance":
            mu = np.full(len(stand.array), self.seen.light.irradiance_W_m2)
            return mu, 0.01 * mu
        if act.what == "back":
            part = stand.back_C if at.string is None else stand.back_C[:, s : s + 1]
            part = part if at.module is None else part[:, :, m : m + 1]
            mu = part.mean(axis=(1, 2))
            return mu, np.full_like(mu, _WARMTH_K / np.sqrt(part[0].size))
        if act.what in ("voltage", "display-voltage"):
            mu = stand.array[:, 0]
            if act.what == "voltage" and at.string is not None:
                mu = stand.string_V[:, s] if at.module is None else stand.own_V[:, s, m]
            return mu, share * np.abs(mu) / (root if at.module is None else 1.0)
        if act.what == "power":
            mu = stand.array[:, 2]
            return mu, _POWER * np.abs(mu)
        mu = stand.array[:, 1]
        if act.what == "current" and at.string is not None:
            mu = stand.string_A[:, s] if at.module is None else stand.own_A[:, s, m]
        return mu, np.hypot(_CURRENT * mu, _ZERO_A)

    def _insulation(self, numbers: list[int], place: Place) -> tuple[Floats, Floats]:
        sound = earth_resistance_Mohm(self._sound, place)
        leaks_S = np.array(
            [
                sum(
                    1.0 / (one.size or 1.0)
                    for one in self.candidates[number].faults
                    if one.kind == "earth-fault" and place.string in (None, one.place.string)
                )
                for number in numbers
            ]
        )
        mu = 1.0 / (1.0 / sound + leaks_S * 1e6)
        share = np.hypot(_combined(INSULATION_TESTER, mu) / mu, _INSULATION)
        return np.log(mu)[:, None], share[:, None]

    def _taken_out(self, numbers: list[int], plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """Of a module or string by itself: short-circuit current and open voltage, or what a meter reads."""
        rows = np.array([self._part(self.candidates[number].faults, plant, act.place) for number in numbers])
        apart = _OPEN / (np.sqrt(self._modules) if act.place.module is None else 1.0)
        if act.kind == "read":
            return _column(rows[:, 2], _known(act, rows[:, 2]), apart * np.abs(rows[:, 2]))
        short, open_V = rows[:, 0], rows[:, 1]
        known = np.stack(
            [
                np.hypot(_combined(TRACER_CURRENT, short), np.hypot(_CURRENT * short, _ZERO_A)),
                np.hypot(_combined(TRACER_VOLTAGE, open_V), apart * np.abs(open_V)),
            ],
            axis=1,
        )
        return rows[:, :2], known

    def _part(self, faults: tuple[Fault, ...], plant: Plant, at: Place) -> tuple[float, float, float]:
        """Short-circuit current, open voltage, and that through the voltmeter's own resistance."""
        cloth = plant.cloth
        covered = cloth is not None and cloth.string == at.string and at.module in (None, cloth.module)
        apart = Plant(running=False, switch_closed=False)
        if covered:
            apart = replace(apart, cloth=cloth, leak=plant.leak)
        mine = tuple(
            one
            for one in faults
            if one.place.string == at.string and one.kind not in ("earth-fault", "string-bridge")
        )
        if at.module is not None:
            mine = tuple(
                one
                for one in mine
                if one.place.module in (None, at.module) and one.kind != "connector-resistive"
            )
        moved = moved_to_first(mine, apart, self._strings, self._modules, self._made)
        row = moved.strings.index((at.string or 1) - 1)
        place = Place(row + 1)
        if at.module is not None:
            place = Place(row + 1, moved.modules[row].index(at.module - 1) + 1)
        key = moved.faults, moved.plant, place
        if key not in self._parts:
            self._parts[key] = self._measured_apart(moved.faults, moved.plant, place)
        return self._parts[key]

    def _measured_apart(
        self, faults: tuple[Fault, ...], plant: Plant, place: Place
    ) -> tuple[float, float, float]:
        scenario = as_it_stands(with_faults(self.seen, faults), plant)
        if not is_built(scenario, place):
            return 0.0, 0.0, 0.0
        solution = solve_array(scenario, points=_POINTS)
        curve = part_curve(solution, place, points=_POINTS)
        open_V = true_value(solution, Probe(what="open-voltage", place=place))
        short, voc_V, open_V = _settled(np.array([curve.isc_A, curve.voc_V, open_V])).tolist()
        return short, voc_V, open_V

    def _all(self, numbers: list[int], plant: Plant) -> _Stand:
        """Of some candidates; those that are not there yet are solved."""
        if plant not in self._stands:
            count, at = len(self.candidates), (self._strings, self._modules)
            fine = (*at, len(self._made.substrings))
            shapes = (at, at, at, at, fine, fine, at[:1], at[:1], (3,))
            empty = {
                name: np.full((count, *shape), np.nan) for name, shape in zip(_FIELDS, shapes, strict=True)
            }
            self._stands[plant] = np.zeros(count, dtype=bool), _Stand(**empty)
        there, stands = self._stands[plant]
        for number in numbers:
            if there[number]:
                continue
            moved = moved_to_first(
                self.candidates[number].faults, plant, self._strings, self._modules, self._made
            )
            key = moved.faults, moved.plant
            if key not in self._solved:
                self._solved[key] = _stand(
                    solve_array(
                        as_it_stands(with_faults(self.seen, moved.faults), moved.plant), points=_POINTS
                    ),
                    (self._strings, self._modules, len(self._made.substrings)),
                )
            for name in _FIELDS:
                value = getattr(self._solved[key], name)
                getattr(stands, name)[number] = value if name == "array" else moved.back(value)
            there[number] = True
        return _Stand(**{name: getattr(stands, name)[numbers] for name in _FIELDS})


def _stand(solution: ArraySolution, shape: tuple[int, int, int]) -> _Stand:
    strings, modules, parts = shape
    run_V, own_V, own_A, back_C = (np.zeros((strings, modules)) for _ in range(4))
    contrast_K, junction_V = np.zeros(shape), np.full(shape, np.inf)
    start = solution.index.cell_start
    warmth_C = solution.cells.temperature_K - ZERO_CELSIUS_K
    for s in range(strings):
        for m in range(min(modules, built_length(solution.scenario, s + 1))):
            at = Place(s + 1, m + 1)
            number = solution.module_index(at)
            run_V[s, m] = run_voltage_V(solution, s + 1, m + 1, m + 1)
            own_V[s, m] = solution.modules.voltage_V[number]
            own_A[s, m] = solution.modules.current_A[number]
            back_C[s, m] = warmth_C[solution.cell_slice(at)].mean()
            contrast_K[s, m] = [value for _place, value in true_contrasts_K(solution, at)]
            edges = start[number] + solution.index.kinds[solution.index.module_kind[number]].substring_start
            for part in range(parts):
                mine = slice(int(edges[part]), int(edges[part + 1]))
                if solution.cells.current_A[mine].min() > _FLOWING_A:
                    junction_V[s, m, part] = np.median(solution.cells.junction_V[mine])
    array = np.full(3, np.nan)
    if len(solution.trackers) == 1:
        point = solution.trackers[0].point
        array = np.array([point.voltage_V, point.current_A, point.power_W])
    found = (
        run_V,
        own_V,
        own_A,
        back_C,
        contrast_K,
        junction_V,
        np.array(solution.strings.voltage_V),
        np.array(solution.strings.current_A),
        array,
    )
    return _Stand(**{name: _settled(one) for name, one in zip(_FIELDS, found, strict=True)})


def _settled(values: Floats) -> Floats:
    """Without the last digits, which depend on what a solver began with: the same case is searched alike."""
    return np.round(values, _DECIMALS) + 0.0


def _neighbours(candidates: tuple[Candidate, ...]) -> tuple[np.ndarray, np.ndarray]:
    """For each fault, the candidates that differ in its size alone: the next smaller, the next larger.

    (faults, candidates) each; the candidate's own number where there is none.
    """
    count = len(candidates[0].faults)
    smaller = np.tile(np.arange(len(candidates)), (count, 1))
    larger = smaller.copy()
    for which in range(count):
        groups: dict[tuple[object, ...], list[tuple[float, int]]] = {}
        for number, one in enumerate(candidates):
            mine = one.faults[which]
            key = (mine.kind, mine.place, mine.other, *one.faults[:which], None, *one.faults[which + 1 :])
            groups.setdefault(key, []).append((mine.size or 0.0, number))
        for group in groups.values():
            numbers = [number for _size, number in sorted(group)]
            for one_number, next_number in pairwise(numbers):
                larger[which, one_number], smaller[which, next_number] = next_number, one_number
    return smaller, larger


def _known(act: Act, values: Floats) -> Floats:
    """How far the meter that an act reads with may be off, on the range that it is set to; (n,)."""
    meter = meter_of_act(act)
    assert meter is not None
    return _combined(meter, values)


def _combined(meter: Meter, values: Floats) -> Floats:
    """As `budget_of`, of many readings at once; (n,)."""
    steps = np.array([one.step for one in meter.ranges])
    noises = np.array([one.noise for one in meter.ranges])
    zeros = np.array([zero_limit(meter, one) for one in meter.ranges])
    at = range_of(meter, values)
    limits = np.stack([meter.gain_percent / 100.0 * np.abs(values), zeros[at], 0.5 * steps[at]])
    combined: Floats = np.sqrt((limits**2).sum(axis=0) / 3.0 + noises[at] ** 2)
    return combined


def _column(mu: Floats, known: Floats, apart: Floats) -> tuple[Floats, Floats]:
    return mu[:, None], np.hypot(known, apart)[:, None]
