"""What an act would read of each candidate, worked out on circuits: its value, and how well that is known.

Reckoned on the array that is seen: cells all alike. How far real ones lie apart from that is put into the
uncertainty of a reading, by figures drawn from the usual scatter and held to drawn cases in the tests.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.solve import part_curve, solve_array
from pvsim.circuit.floats import Floats
from pvsim.field.insulation import earth_resistance_Mohm
from pvsim.field.kit import INSULATION_TESTER, TRACER_CURRENT, TRACER_VOLTAGE
from pvsim.field.meter import Meter, range_of, zero_limit
from pvsim.field.probe import Probe, true_value
from pvsim.field.search.act import Act, meter_of_act
from pvsim.field.search.alike import moved_to_first
from pvsim.field.search.candidates import Candidate
from pvsim.field.search.case import with_faults
from pvsim.field.search.driven import Driven, driven_of, voltage_apart, warmest
from pvsim.field.search.picture import contrast_from, contrast_slope, contrast_uncertainties_K
from pvsim.field.search.plant import Plant, as_it_stands, is_built
from pvsim.field.search.stand import POINTS, Seen, Stand, Stands, settled

__all__ = ["WouldRead"]

# Standard deviations by the usual scatter, as shares: of a module's voltage at work and open, of currents and
# power. In kelvin, of how warm a module is. Cells that are driven lie further apart: driven.py.
_AT_WORK, _OPEN, _CURRENT, _POWER = 0.015, 0.006, 0.02, 0.02
_WARMTH_K = 1.6
_ZERO_A = 0.02  # of currents that should be none
_INSULATION = 0.3  # share, of sound modules; as pvsim.field.doubt has it


class WouldRead:
    """Works out readings; keeps each circuit that it has solved.

    Parameters
    ----------
    seen : Seen
    candidates : tuple of Candidate
    """

    def __init__(self, seen: Seen, candidates: tuple[Candidate, ...]) -> None:
        self._seen, self._candidates = seen, candidates
        self._solved: dict[tuple[tuple[Fault, ...], Plant], Stand] = {}
        self._stands: dict[Plant, Stands] = {}
        self._parts: dict[tuple[tuple[Fault, ...], Plant, Place], tuple[float, float, float]] = {}
        self._sound = solve_array(seen.scenario, points=POINTS)
        self._junction_V, self._module_V = settled(
            np.array([self._sound.cells.junction_V.mean(), np.abs(self._sound.modules.voltage_V).mean()])
        ).tolist()

    def read(self, numbers: np.ndarray, plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """What some candidates would have an act read, and how well that is known; (candidates, parts) each.

        Insulation is told as its logarithm, a contrast as `contrast_told` has it.
        """
        if act.kind == "read" and act.what == "insulation":
            return self._insulation(numbers, act.place)
        if act.kind == "trace" or act.what == "open-voltage":
            return self._taken_out(numbers, plant, act)
        if plant not in self._stands:
            self._stands[plant] = Stands(self._seen, self._candidates, plant, self._solved)
        stands = self._stands[plant]
        stands.solve(numbers)
        share = _AT_WORK if plant.running else _OPEN
        s, m = (act.place.string or 1) - 1, (act.place.module or 1) - 1
        if act.kind == "read-run":
            run = stands.modules("run_V", numbers, s, slice(m, act.last))
            mu = run.sum(axis=1)
            apart = share * np.linalg.norm(run, axis=1)
            if plant.running:
                driven = self._driven(numbers, stands, s)
                apart = np.hypot(apart, voltage_apart(driven, slice(m, act.last), run, self._module_V))
            return _column(mu, _known(act, mu), apart)
        if act.kind == "picture":
            return self._picture(numbers, stands, act.place)
        mu, apart = self._plain(numbers, stands, act, plant)
        return _column(mu, _known(act, mu), apart)

    def _picture(self, numbers: np.ndarray, stands: Stands, at: Place) -> tuple[Floats, Floats]:
        s = (at.string or 1) - 1
        which = slice(0, self._seen.modules) if at.module is None else slice(at.module - 1, at.module)
        seen_K = stands.modules("contrast_K", numbers, s, which)
        driven = self._driven(numbers, stands, s)
        share, alone = driven.share[:, which], driven.alone[:, which]
        if at.module is None:
            seen_K, share = seen_K.max(axis=2), share.min(axis=2)
        else:
            seen_K, share, alone = seen_K[:, 0], share[:, 0], np.repeat(alone, share.shape[2], axis=1)
        mu, apart = warmest(seen_K, share, alone, substrings=at.module is not None)
        values_K = contrast_from(mu)
        return mu, np.hypot(contrast_uncertainties_K(values_K) * contrast_slope(values_K), apart)

    def _driven(self, numbers: np.ndarray, stands: Stands, string: int) -> Driven:
        junction_V = stands.modules("junction_V", numbers, string, slice(0, self._seen.modules))
        return driven_of(junction_V, self._junction_V)

    def _plain(
        self, numbers: np.ndarray, stands: Stands, act: Act, plant: Plant
    ) -> tuple[Floats, Floats]:
        """Of an instrument put on a place, and how far real arrays lie apart in it."""
        at, modules = act.place, self._seen.modules
        s, m = (at.string or 1) - 1, (at.module or 1) - 1
        if act.what == "irradiance":
            mu = np.full(len(numbers), self._seen.scenario.light.irradiance_W_m2)
            return mu, 0.01 * mu
        if act.what == "back":
            strings = range(self._seen.strings) if at.string is None else [s]
            which = slice(0, modules) if at.module is None else slice(m, m + 1)
            part = np.hstack([stands.modules("back_C", numbers, one, which) for one in strings])
            mu = part.mean(axis=1)
            return mu, np.full_like(mu, _WARMTH_K / np.sqrt(part.shape[1]))
        if act.what in ("voltage", "display-voltage"):
            mu = stands.array(numbers, 0)
            if act.what == "voltage" and at.string is not None:
                mu = self._at(numbers, stands, "string_V", "own_V", at)
            apart = (_AT_WORK if plant.running else _OPEN) * np.abs(mu)
            if at.module is None:
                return mu, apart / np.sqrt(modules)
            if plant.running:
                driven = self._driven(numbers, stands, s)
                apart = np.hypot(
                    apart, voltage_apart(driven, slice(m, m + 1), mu[:, None], self._module_V)
                )
            return mu, apart
        if act.what == "power":
            mu = stands.array(numbers, 2)
            return mu, _POWER * np.abs(mu)
        mu = stands.array(numbers, 1)
        if act.what == "current" and at.string is not None:
            mu = self._at(numbers, stands, "string_A", "own_A", at)
        return mu, np.hypot(_CURRENT * mu, _ZERO_A)

    def _at(self, numbers: np.ndarray, stands: Stands, string: str, module: str, at: Place) -> Floats:
        """A field of strings at a string, a field of modules at a module."""
        s = (at.string or 1) - 1
        if at.module is None:
            return stands.string(string, numbers, s)
        return stands.modules(module, numbers, s, slice(at.module - 1, at.module))[:, 0]

    def _insulation(self, numbers: np.ndarray, place: Place) -> tuple[Floats, Floats]:
        sound = earth_resistance_Mohm(self._sound, place)
        leaks_S = np.array(
            [
                sum(
                    1.0 / (one.size or 1.0)
                    for one in self._candidates[number].faults
                    if one.kind == "earth-fault" and place.string in (None, one.place.string)
                )
                for number in numbers.tolist()
            ]
        )
        mu = 1.0 / (1.0 / sound + leaks_S * 1e6)
        share = np.hypot(_combined(INSULATION_TESTER, mu) / mu, _INSULATION)
        return np.log(mu)[:, None], share[:, None]

    def _taken_out(self, numbers: np.ndarray, plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """Of a module or string by itself: short-circuit current and open voltage, or what a meter reads."""
        faults = [self._candidates[number].faults for number in numbers.tolist()]
        rows = np.array([self._part(one, plant, act.place) for one in faults])
        apart = _OPEN / (np.sqrt(self._seen.modules) if act.place.module is None else 1.0)
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
        moved = moved_to_first(
            mine, apart, self._seen.strings, self._seen.modules, self._seen.made
        )
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
        scenario = as_it_stands(with_faults(self._seen.scenario, faults), plant)
        if not is_built(scenario, place):
            return 0.0, 0.0, 0.0
        solution = solve_array(scenario, points=POINTS)
        curve = part_curve(solution, place, points=POINTS)
        open_V = true_value(solution, Probe(what="open-voltage", place=place))
        short, voc_V, open_V = settled(np.array([curve.isc_A, curve.voc_V, open_V])).tolist()
        return short, voc_V, open_V


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
