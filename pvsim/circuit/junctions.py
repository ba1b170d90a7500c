"""Many junction laws at once: x = f(v) exactly, and v = g(x) as a start, from a table (see inverse.py) or
in closed form (see forward.py)."""

from __future__ import annotations

from collections import OrderedDict
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.floats import RUN, Floats, slices
from pvsim.circuit.forward import Forward
from pvsim.circuit.inverse import TABLE_REACH_A, TABLE_SIZE, headroom, inverse_tables
from pvsim.circuit.kernel import KernelLaws, is_compiled
from pvsim.circuit.kindred import kinships
from pvsim.circuit.leaf import Junction

_LAWS_KEPT = 200
_MEETING_STEPS = 60
_BEYOND_V = 1.0  # on the straight end of a law in breakdown: a million amperes


class Laws:
    """Junction laws in rows, evaluated together; rows broadcast against points.

    Parameters
    ----------
    junctions : list of Junction
        One a row; equal ones share a table, and so do those that are akin (see kindred.py).
    """

    __slots__ = (
        "G",
        "H",
        "I01",
        "I02",
        "Vbr",
        "_a1",
        "_a2",
        "_akin",
        "_all_akin",
        "_backward_current",
        "_backward_voltage",
        "_breakdown",
        "_forward",
        "_headroom",
        "_inverse",
        "_kernel",
        "_negative_m",
        "_rows",
        "_scale",
        "_steps",
        "_straight_V",
        "a1",
        "any_breakdown",
        "any_second",
        "least_v",
        "m",
        "most_v",
    )

    def __init__(self, junctions: list[Junction]) -> None:
        numbers = np.fromiter(chain.from_iterable(junctions), float, 8 * len(junctions))
        columns = numbers.reshape(-1, 8).T[:, :, None].copy()
        self.I01, self.a1, self.I02, a2, self.G, self.H, self.Vbr, self.m = columns
        self._a1, self._a2 = 1.0 / self.a1, 1.0 / a2
        breaks = self.H > 0.0
        # Without breakdown 1 - v/Vbr stays 1.
        self._breakdown, self._negative_m = np.where(breaks, -1.0 / self.Vbr, 0.0), -self.m
        self._headroom = headroom(self.H, self.m)
        self.any_second = bool(self.I02.any())
        self.any_breakdown = bool(self.H.any())
        distinct: dict[Junction, int] = {}
        which = [distinct.setdefault(junction, len(distinct)) for junction in junctions]
        kin = kinships(list(distinct))
        mine = [kin[k] for k in which]
        # Looked up by what they are and not by their value: equal ones are one object here.
        eldests = {id(eldest): eldest for eldest, _, _ in mine}
        place = {eldest: k for k, eldest in enumerate(eldests)}
        rows = np.array([place[id(eldest)] for eldest, _, _ in mine], dtype=np.intp)
        self._rows = (rows * TABLE_SIZE)[:, None]
        self._inverse = inverse_tables(list(eldests.values()))
        self._backward_current: Floats | None = None
        self._backward_voltage: Floats | None = None
        self._akin: NDArray[np.bool_] | None = None
        self._forward: Forward | None = None
        self._all_akin = False
        served = {id(eldest) for eldest, current, voltage in mine if current != 1.0 or voltage != 1.0}
        if served:
            self._backward_current = np.array([current for _, current, _ in mine])[:, None]
            self._backward_voltage = np.array([voltage for _, _, voltage in mine])[:, None]
            family = np.zeros(len(eldests), dtype=bool)
            family[[place[eldest] for eldest in served]] = True
            self._akin = family[rows][:, None]
            self._all_akin = bool(self._akin.all())
            if not self.I02[self._akin].any():
                law = (self.I01, self.a1, self.G, self.H, self.Vbr, self.m)
                some = (1e-9, 0.025, 1.0, 0.0, -1.0, 1.0)  # of rows that are not akin, and not read
                pairs = zip(law, some, strict=True)
                self._forward = Forward(*(np.where(self._akin, its, any_) for its, any_ in pairs))
        # The voltages at either end of the table; beyond breakdown far enough for any current.
        self.least_v = self._inverse.value[rows, :1]
        if self._backward_voltage is not None:
            self.least_v = self.least_v * self._backward_voltage
        straight_v = self.Vbr * (1.0 - self._headroom)
        self._straight_V = float(straight_v.max(where=breaks, initial=-np.inf))  # no law goes straight above
        self.least_v = np.where(breaks, np.maximum(self.least_v, straight_v - _BEYOND_V), self.least_v)
        self.most_v = self._inverse.value[rows, -1:]
        self._scale = 1.0 / self._inverse.scale[rows][:, None]
        self._steps = 1.0 / self._inverse.step[rows][:, None]
        self._kernel: KernelLaws | None = None

    def pick(self, rows: NDArray[np.intp] | slice) -> Laws:
        """The laws of some rows, one row for each number given."""
        some = object.__new__(Laws)
        for name in Laws.__slots__:
            value = getattr(self, name)
            setattr(some, name, value[rows] if isinstance(value, np.ndarray) else value)
        if some._akin is not None:
            some._all_akin = self._all_akin or bool(some._akin.all())
            some._forward = self._forward and self._forward.pick(rows)
        some._kernel = self._kernel and self._kernel.pick(rows)
        return some

    def kernel(self) -> KernelLaws | None:
        """The same laws for the compiled kernel; None without one."""
        if not is_compiled():
            return None
        if self._kernel is None:
            one = np.ones_like(self.I01)
            backward = (self._backward_current, self._backward_voltage)
            numbers = [  # in the order of kernel.c
                *(self.I01, self._a1, self.I02, self._a2, self.G, self.H, self._breakdown, self.m, self.Vbr),
                *(self._headroom, self.least_v, self.most_v, self._scale, self._steps, self._rows),
                *(one if column is None else column for column in backward),
                0.0 * one if self._akin is None else self._akin,
                *(self._forward.columns() if self._forward else ()),
            ]
            flags = (self.any_second, self.any_breakdown, self._akin is not None, self._forward is not None)
            together = np.array(numbers, dtype=float)[:, :, 0]
            self._kernel = KernelLaws(together, self._inverse.value, self._inverse.slope, *flags)
        return self._kernel

    def evaluate(self, v: Floats) -> tuple[Floats, Floats]:
        """f(v) and f'(v), both (rows, points), for v from least_v to most_v."""
        kernel = self.kernel()
        if kernel and _lies_together(v):
            return kernel.evaluate(v)
        f, df = np.empty_like(v), np.empty_like(v)
        rows, points = v.shape
        if v.size <= 2 * RUN:
            self._evaluate(v, f, df)
        elif v.flags.c_contiguous:
            for run in slices(0, rows, max(RUN // points, 1)):
                self.pick(run)._evaluate(v[run], f[run], df[run])
        else:
            for run in slices(0, points, max(RUN // rows, 1)):
                self._evaluate(v[:, run], f[:, run], df[:, run])
        return f, df

    def _evaluate(self, v: Floats, rise: Floats, slope: Floats) -> None:
        """f(v) into rise, f'(v) into slope."""
        np.multiply(v, self._a1, out=rise)
        # Not `expm1`, which takes twice as long: what is lost beside 1 is nothing beside the largest current.
        np.exp(rise, out=rise)
        rise *= self.I01
        np.multiply(rise, self._a1, out=slope)
        rise -= self.I01
        if self.any_second:
            second = v * self._a2
            np.exp(second, out=second)
            second *= self.I02
            slope += second * self._a2
            second -= self.I02
            rise += second
        if not self.any_breakdown:
            slope += self.G
            rise += v * self.G
            return
        q = v * self._breakdown
        q += 1.0
        beyond = None
        if v.min() < self._straight_V and (q.min(axis=-1, keepdims=True) < self._headroom).any():
            beyond = np.minimum(q - self._headroom, 0.0) * -self.Vbr  # of v, in V
            np.maximum(q, self._headroom, out=q)
        # A power by its logarithm: numpy's own `power` takes longer.
        ohmic = np.log(q)
        ohmic *= self._negative_m
        np.exp(ohmic, out=ohmic)
        ohmic *= self.H
        # d/dv [v H q^-m] = H q^-m (1 + m (1 - q) / q)
        np.reciprocal(q, out=q)
        q -= 1.0
        q *= self.m
        q *= ohmic
        slope += q
        if beyond is not None:  # on the tangent
            beyond *= q
            rise += beyond
        ohmic += self.G
        slope += ohmic
        ohmic *= v
        rise += ohmic

    def bend_per_V(self, step: float, share: float) -> Floats:
        """How far laws leave their tangents, (rows, 1): within a step d by no more than this f' d^2.

        Parameters
        ----------
        step : float
            The longest that d may be, in units of the thermal voltage of the first diode.
        share : float
            Of the breakdown voltage, beyond which no step may end.
        """
        # Half of f''/f'. An exponential bends by 1/a, and by e^step more at the far end of the step.
        bend = 0.5 * np.exp(step) / np.minimum(self.a1, np.where(self.I02 > 0.0, 1.0 / self._a2, np.inf))
        # With q = 1 - v/Vbr Bishop's term has |f''| <= f' max(2 m, m + 1) / (q |Vbr|) backward, and forward
        # |f''| <= 2 m^2 H / |Vbr| beside a slope of G at least; a quarter more for the far end of the step.
        least_q = 1.0 - share
        backward = np.maximum(2.0 * self.m, self.m + 1.0) / least_q
        forward = 2.0 * self.m * self.m * self.H / self.G
        breakdown = 0.625 * np.maximum(backward, forward) / -self.Vbr
        found: Floats = np.maximum(bend, np.where(self.H > 0.0, breakdown, 0.0))
        return found

    def share_of_breakdown(self, share: float) -> Floats:
        """A share of each law's breakdown voltage, (rows, 1); below all voltages where there is none."""
        found: Floats = np.where(self.H > 0.0, share * self.Vbr, -np.inf)
        return found

    def invert(self, x: Floats) -> Floats:
        """g(x), (rows, points), to about 1e-6 V, of those akin to about 1e-4 V: a start, not the answer."""
        kernel = self.kernel()
        if kernel and _lies_together(x):
            return kernel.invert(x)
        if self._forward is None or self._akin is None:
            v = self._read(x)[0]
            return v if self._akin is None else self._nearer(v, x, 1)[0]
        v = self._forward.voltage(np.clip(x, 0.0, TABLE_REACH_A))
        others = x < 0.0
        if not self._all_akin:
            others |= ~self._akin
        # One by one: they are few, and each reads from a table.
        at, row = _places(others)
        if at.size:
            _flat(v)[at] = self._read(_flat(x)[at], row)[0]
        return v

    def invert_with_slope(self, x: Floats) -> tuple[Floats, Floats]:
        """g(x) and g'(x), as `invert`, of those akin after one more of Newton's steps."""
        if self._forward is not None and self._all_akin:
            return self._stepped(self.invert(x), x)
        v, t, d0, d1, rise, z = self._read(x)
        # Hermite derivative by step, then by x: du/dx = 1 / (scale step sqrt(1 + z^2)).
        slope = d0 + t * (2.0 * (3.0 * rise - 2.0 * d0 - d1) + 3.0 * t * (d0 + d1 - 2.0 * rise))
        slope *= self._scale * self._steps / np.sqrt(1.0 + z * z)
        if self._forward is not None and self._akin is not None:
            near, near_slope = self._stepped(self.invert(x), x)
            v, slope = np.where(self._akin, near, v), np.where(self._akin, near_slope, slope)
        elif self._akin is not None:
            v, slope = self._nearer(v, x, 2)
        return v, slope

    def _stepped(self, v: Floats, x: Floats) -> tuple[Floats, Floats]:
        """v after one of Newton's steps towards f(v) = x, and g' before it."""
        np.maximum(v, self.least_v, out=v)
        f, slope = self.evaluate(v)
        np.reciprocal(slope, out=slope)
        f -= x
        f *= slope
        v -= f
        np.maximum(v, self.least_v, out=v)
        return np.minimum(v, self.most_v, out=v), slope

    def _nearer(self, v: Floats, x: Floats, steps: int) -> tuple[Floats, Floats]:
        """v after some of Newton's steps towards f(v) = x, and g' before the last."""
        # Forward no more than exponential or shunt alone would take: from below the root a step leads far
        # beyond it.
        ahead = np.maximum(x, 0.0)
        most = np.minimum(self.a1 * np.log1p(ahead / self.I01), ahead / self.G)
        np.minimum(most, self.most_v, out=most)
        v = np.minimum(v, most, out=v, where=x > 0.0)
        for _ in range(steps):
            f, df = self.evaluate(v)
            np.reciprocal(df, out=df)
            f -= x
            f *= df
            v = np.minimum(np.maximum(v - f, self.least_v), most)
        return v, df

    def meet(self, s: Floats, r_ohm: float) -> Floats:
        """v with v + r f(v) = s, (rows, points), to rounding."""
        # From beyond the root, where Newton's steps fall onto it from one side.
        v = self.invert(s / r_ohm)
        v = np.where(s > 0.0, np.minimum(v, s), np.maximum(v, s))
        for _ in range(_MEETING_STEPS):
            budget.check()
            f, df = self.evaluate(v)
            step = (v + r_ohm * f - s) / (1.0 + r_ohm * df)
            v = v - step
            v = np.where(s > 0.0, np.clip(v, 0.0, self.most_v), np.clip(v, self.least_v, 0.0))
            if np.all(np.abs(step) <= 1e-12 * np.abs(v) + 1e-15):
                break
        return v

    def _read(
        self, x: Floats, row: NDArray[np.intp] | None = None
    ) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """v from the tables and what it is made of, at x (rows, points), or x (n,) of one row each."""
        scale, steps, first = self._scale, self._steps, self._rows
        current, voltage = self._backward_current, self._backward_voltage
        if row is not None:
            scale, steps, first = scale[row, 0], steps[row, 0], first[row, 0]
            current = None if current is None else current[row, 0]
            voltage = None if voltage is None else voltage[row, 0]
        z = x * scale
        if current is not None and voltage is not None:
            # Those akin are scaled backward. Forward, where their closed form leads, it does not matter.
            if self._forward is None or not self._all_akin:
                backward = x < 0.0
                current, voltage = np.where(backward, current, 1.0), np.where(backward, voltage, 1.0)
            z *= current
        t = np.arcsinh(z)
        t *= steps
        t += TABLE_SIZE // 2
        np.maximum(t, 0.0, out=t)
        np.minimum(t, TABLE_SIZE - 1.000001, out=t)
        below = np.floor(t)
        t -= below
        k = below.astype(np.intp)
        k += first
        across = not k.flags.c_contiguous
        if across:  # what is taken lies as its places do
            k = k.T
        value, slope = self._inverse.value, self._inverse.slope
        y0, d0 = value.take(k), slope.take(k)
        k += 1
        rise, d1 = value.take(k), slope.take(k)
        if across:
            y0, d0, rise, d1 = y0.T, d0.T, rise.T, d1.T
        rise -= y0
        v = t * (d0 + d1 - 2.0 * rise)
        v += 3.0 * rise - 2.0 * d0 - d1
        v *= t
        v += d0
        v *= t
        v += y0
        if voltage is not None:
            v *= voltage
        return v, t, d0, d1, rise, z


def _lies_together(x: Floats) -> bool:
    return x.flags.c_contiguous or x.flags.f_contiguous


def _flat(x: NDArray[Any]) -> NDArray[Any]:
    """The numbers of (rows, points) one after the other, as they lie in memory: not a copy."""
    return x.ravel() if x.flags.c_contiguous else x.T.ravel()


def _places(chosen: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Where those chosen of (rows, points) lie in `_flat`, and the row of each."""
    at = _flat(chosen).nonzero()[0]
    rows, points = chosen.shape
    return at, at // points if chosen.flags.c_contiguous else at - rows * (at // rows)


_laws: OrderedDict[tuple[Junction, ...], Laws] = OrderedDict()


def laws_of(junctions: list[Junction]) -> Laws:
    """Laws in rows, kept for the next time; a single row where all are equal."""
    first = junctions[0]
    # The same object nearly always: comparing identities spares hashing them all.
    alike = all(junction is first for junction in junctions)
    distinct = (first,) if alike else tuple(dict.fromkeys(junctions))
    laws = _laws.get(distinct)
    if laws is None:
        laws = _laws[distinct] = Laws(list(distinct))
        while len(_laws) > _LAWS_KEPT:
            _laws.popitem(last=False)
    if len(distinct) == 1:
        return laws
    place = {junction: k for k, junction in enumerate(distinct)}
    return laws.pick(np.array([place[junction] for junction in junctions], dtype=np.intp))
