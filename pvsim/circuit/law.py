"""The current law of a junction, its parameters at temperature, and its inverse.

Cells and diodes are one law. In junction coordinates (v, x) = (Vd, Iph - I) of a cell,
or (forward voltage, forward current) of a diode,

    x = f(v) = I01 (exp(v/a1) - 1) + I02 (exp(v/a2) - 1) + v G + v H (1 - v/Vbr)^(-m)

with a = n k T / q, G the shunt conductance and H = a_Bishop / Rsh. f rises strictly, so
v = g(x) exists; it depends on the cell type and temperature alone and serves every
cell of an array, whatever its light. Sources: W. Shockley, Bell Syst. Tech. J. 28 (1949)
435; J. W. Bishop, Solar Cells 25 (1988) 73-89; W. De Soto, S. A. Klein, W. A. Beckman,
Solar Energy 80 (2006) 78-88.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.cell import REFERENCE_IRRADIANCE_W_m2, REFERENCE_TEMPERATURE_K, Cell, CellType
from pvsim.circuit.diode import Diode
from pvsim.circuit.network import OPEN_RESISTANCE_ohm, SHORT_RESISTANCE_ohm, Resistor
from pvsim.circuit.solution import Floats

# Exact in the SI of 2019; a test holds them to scipy.constants, whose import costs 0.1 s.
BOLTZMANN_J_per_K = 1.380649e-23
ELEMENTARY_CHARGE_C = 1.602176634e-19

LEAST_RESISTANCE_ohm = 1e-9  # keeps a branch of zero ohms solvable beside another one
LEAST_SHUNT_IRRADIANCE_W_m2 = 1.0  # bounds Rsh where it follows the irradiance

TABLE_SIZE = 1024
TABLE_REACH_A = 1e4
_LARGEST_EXPONENT = 500.0
_LEAST_HEADROOM = 1e-5  # of 1 - v/Vbr: beyond any current a table reaches


class Junction(NamedTuple):
    """Parameters of f at one temperature; equal junctions share one table."""

    saturation_current_A: float
    thermal_V: float
    second_saturation_current_A: float
    second_thermal_V: float
    conductance_S: float
    breakdown_conductance_S: float
    breakdown_voltage_V: float
    breakdown_exponent: float


class Leaf(NamedTuple):
    """A cell, diode or resistor as the solvers see it.

    With a junction: x = sign (source_A - I), v = sign (V + I resistance_ohm).
    Without one: V = -I resistance_ohm.
    """

    junction: Junction | None
    sign: float
    source_A: float
    resistance_ohm: float


def thermal_voltage(temperature_K: float) -> float:
    """The thermal voltage k T / q, in V."""
    return BOLTZMANN_J_per_K * temperature_K / ELEMENTARY_CHARGE_C


def band_gap(type: CellType, temperature_K: float) -> float:
    """The band gap at a temperature, in eV (De Soto et al. 2006)."""
    rise = temperature_K - REFERENCE_TEMPERATURE_K
    return type.band_gap_eV * (1.0 - type.band_gap_coefficient_per_K * rise)


def saturation_ratio(type: CellType, temperature_K: float) -> float:
    """I0 at a temperature over I0 at 25 degrees C (De Soto et al. 2006)."""
    arrhenius = type.band_gap_eV / thermal_voltage(REFERENCE_TEMPERATURE_K) - band_gap(
        type, temperature_K
    ) / thermal_voltage(temperature_K)
    return (temperature_K / REFERENCE_TEMPERATURE_K) ** 3 * exp(arrhenius)


@lru_cache(maxsize=4096)
def cell_junction(
    type: CellType, temperature_K: float, active_fraction: float, parallel_resistance_ohm: float, shunt_scale: float
) -> Junction:
    """The junction of a cell; `shunt_scale` multiplies its own shunt resistance."""
    Vt = thermal_voltage(temperature_K)
    ratio = saturation_ratio(type, temperature_K)
    own = active_fraction / (type.shunt_resistance_ohm * shunt_scale)
    return Junction(
        active_fraction * type.saturation_current_A * ratio,
        type.ideality * Vt,
        # Recombination in the depletion region goes with n_i, the square root of n_i^2.
        active_fraction * type.second_saturation_current_A * ratio**0.5,
        type.second_ideality * Vt,
        own + 1.0 / parallel_resistance_ohm,
        own * type.breakdown_fraction,
        type.breakdown_voltage_V,
        type.breakdown_exponent,
    )


def photocurrent(cell: Cell) -> float:
    """Iph of a cell at its light and temperature, in A."""
    rise = cell.temperature_K - REFERENCE_TEMPERATURE_K
    factor = 1.0 + cell.type.photocurrent_coefficient_per_K * rise
    light = cell.irradiance_W_m2 / REFERENCE_IRRADIANCE_W_m2
    return cell.active_fraction * cell.type.photocurrent_A * light * max(factor, 0.0)


@lru_cache(maxsize=1024)
def diode_junction(diode: Diode) -> Junction:
    """The junction of a diode; Is rises with temperature over its barrier (A T^2 law)."""
    T = diode.temperature_K
    climb = diode.barrier_eV * (
        1.0 / thermal_voltage(REFERENCE_TEMPERATURE_K) - 1.0 / thermal_voltage(T)
    )
    scale = (T / REFERENCE_TEMPERATURE_K) ** 2 * exp(climb / diode.ideality)
    Vt = thermal_voltage(T)
    return Junction(
        diode.saturation_current_A * scale,
        diode.ideality * Vt,
        0.0,
        2.0 * Vt,
        1.0 / diode.leakage_resistance_ohm,
        0.0,
        -1.0,
        1.0,
    )


def leaf_of(element: Cell | Diode | Resistor) -> Leaf:
    """The junction, source and resistance of a cell, diode or resistor."""
    if isinstance(element, Cell):
        if element.condition != "good":
            return _wire(element.condition)
        scale = 1.0
        if element.type.shunt_follows_irradiance:
            scale = REFERENCE_IRRADIANCE_W_m2 / max(element.irradiance_W_m2, LEAST_SHUNT_IRRADIANCE_W_m2)
        junction = cell_junction(
            element.type, element.temperature_K, element.active_fraction, element.parallel_resistance_ohm, scale
        )
        Rs = element.type.series_resistance_ohm / element.active_fraction
        return Leaf(junction, 1.0, photocurrent(element), Rs + element.extra_series_resistance_ohm)
    if isinstance(element, Diode):
        if element.condition in ("open", "short"):
            return _wire(element.condition)
        extra = element.contact_resistance_ohm if element.condition == "resistive" else 0.0
        sign = 1.0 if element.condition == "reversed" else -1.0
        return Leaf(diode_junction(element), sign, 0.0, element.series_resistance_ohm + extra)
    return Leaf(None, 1.0, 0.0, max(element.resistance_ohm, LEAST_RESISTANCE_ohm))


def _wire(condition: str) -> Leaf:
    return Leaf(None, 1.0, 0.0, OPEN_RESISTANCE_ohm if condition == "open" else SHORT_RESISTANCE_ohm)


def diode_from_forward_drop(
    forward_drop_V: float, at_current_A: float, *, ideality: float = 1.05, series_resistance_ohm: float = 0.0
) -> Diode:
    """A diode whose forward drop is known at one current, at 25 degrees C.

    Parameters
    ----------
    forward_drop_V, at_current_A : float
        The point of the data sheet.
    ideality : float
        n.
    series_resistance_ohm : float
        Rd; the drop over it is taken off first.

    Returns
    -------
    Diode

    Raises
    ------
    CircuitError
        If the series resistance alone drops more than the point allows.

    Notes
    -----
    Is = IF / (exp((VF - IF Rd) / (n Vt)) - 1).
    """
    from pvsim.errors import CircuitError

    inner = forward_drop_V - at_current_A * series_resistance_ohm
    if not inner > 0.0 or not at_current_A > 0.0:
        raise CircuitError(
            f"a forward drop of {forward_drop_V:g} V at {at_current_A:g} A leaves {inner:g} V for the junction",
            expected="a junction voltage above 0 V at a current above 0 A",
            mend="Lower series_resistance_ohm",
        )
    Vt = thermal_voltage(REFERENCE_TEMPERATURE_K)
    Is = at_current_A / (exp(inner / (ideality * Vt)) - 1.0)
    return Diode(saturation_current_A=Is, ideality=ideality, series_resistance_ohm=series_resistance_ohm)


class Laws:
    """Junction laws of several leaves, one row a leaf, evaluated together.

    Parameters
    ----------
    junctions : list of Junction
        One a row; equal ones share a table.
    """

    __slots__ = ("H", "I01", "I02", "Vbr", "_a1", "_a2", "_inverse", "_rows", "a1", "G", "any_breakdown", "any_second", "m")

    def __init__(self, junctions: list[Junction]) -> None:
        columns = np.array(junctions, dtype=float).reshape(len(junctions), 8).T[:, :, None]
        self.I01, self.a1, self.I02, a2, self.G, self.H, self.Vbr, self.m = columns
        self._a1, self._a2 = 1.0 / self.a1, 1.0 / a2
        self.any_second = bool(self.I02.any())
        self.any_breakdown = bool(self.H.any())
        distinct = list(dict.fromkeys(junctions))
        place = {junction: k for k, junction in enumerate(distinct)}
        self._rows = np.array([place[junction] for junction in junctions], dtype=np.intp)[:, None]
        self._inverse = inverse_tables(distinct) if distinct else None

    def pick(self, rows: NDArray[np.intp]) -> Laws:
        """The laws of some rows, one row for each number given."""
        some = object.__new__(Laws)
        for name in Laws.__slots__:
            value = getattr(self, name)
            setattr(some, name, value[rows] if isinstance(value, np.ndarray) else value)
        return some

    def evaluate(self, v: Floats) -> tuple[Floats, Floats]:
        """f(v) and f'(v) for v of shape (rows, points)."""
        z = v * self._a1
        np.minimum(z, _LARGEST_EXPONENT, out=z)
        rise = np.expm1(z)
        rise *= self.I01
        slope = rise + self.I01
        slope *= self._a1
        slope += self.G
        rise += v * self.G
        if self.any_second:
            second = self.I02 * np.expm1(np.minimum(v * self._a2, _LARGEST_EXPONENT))
            rise += second
            slope += (second + self.I02) * self._a2
        if self.any_breakdown:
            q = np.maximum(1.0 - v / self.Vbr, _LEAST_HEADROOM)
            term = self.H * q**-self.m
            rise += v * term
            # d/dv [v H q^-m] = H q^-m (1 + m (v/Vbr) / q)
            slope += term * (1.0 + self.m * (1.0 - q) / q)
        return rise, slope

    def invert(self, x: Floats) -> Floats:
        """g(x) for x of shape (rows, points), to about 1e-7 V: a start, not the answer."""
        assert self._inverse is not None
        scale, step, value, slope = self._inverse
        u = np.arcsinh(x / scale[self._rows])
        u /= step[self._rows]
        u += TABLE_SIZE // 2
        np.clip(u, 0.0, TABLE_SIZE - 1.000001, out=u)
        k = u.astype(np.intp)
        u -= k
        k += self._rows * TABLE_SIZE
        y0, d0 = value.take(k), slope.take(k)
        k += 1
        y1, d1 = value.take(k), slope.take(k)
        # Cubic Hermite on a unit step.
        rise = y1 - y0
        return y0 + u * (d0 + u * ((3.0 * rise - 2.0 * d0 - d1) + u * (d0 + d1 - 2.0 * rise)))


_tables: dict[Junction, tuple[float, float, Floats, Floats]] = {}
_TABLES_KEPT = 3000


def inverse_tables(junctions: list[Junction]) -> tuple[Floats, Floats, Floats, Floats]:
    """Tables of g on uniform steps of asinh(x / scale), one row a junction.

    Returns
    -------
    scale, step : (rows,)
        x = scale sinh(step (k - TABLE_SIZE // 2)) at knot k.
    value, slope : (rows, TABLE_SIZE)
        g at the knots, and its derivative times the step.
    """
    missing = [junction for junction in junctions if junction not in _tables]
    if missing:
        if len(_tables) + len(missing) > _TABLES_KEPT:
            _tables.clear()
            missing = junctions
        built = _build_tables(np.array(missing, dtype=float))
        _tables.update({j: row for j, row in zip(missing, zip(*built, strict=True), strict=True)})
    rows = [_tables[junction] for junction in junctions]
    if len(rows) == 1:
        scale, step, value, slope = rows[0]
        return np.array([scale]), np.array([step]), value[None], slope[None]
    return (
        np.array([row[0] for row in rows]),
        np.array([row[1] for row in rows]),
        np.stack([row[2] for row in rows]),
        np.stack([row[3] for row in rows]),
    )


def _build_tables(rows: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    I01, a1, I02, a2, G, H, Vbr, m = rows.T[:, :, None]
    # The knee between ohmic and exponential current sets the scale of the coordinate.
    scale = np.clip(a1 * (I01 / a1 + I02 / a2 + G + H), 1e-9, 1.0)
    half = TABLE_SIZE // 2
    step = np.arcsinh(TABLE_REACH_A / scale) / (half - 1)
    u = step * (np.arange(TABLE_SIZE) - half)
    x = scale * np.sinh(u)

    # Forward: f is convex, and this start lies at or above the root, so Newton falls onto it.
    y = np.maximum(x, 0.0)
    v = np.minimum(a1 * np.log1p(y / I01), y / (G + I01 / a1))
    for _ in range(14):
        e1, e2 = np.exp(v / a1), np.exp(v / a2)
        q = (1.0 - v / Vbr) ** -m
        f = I01 * (e1 - 1.0) + I02 * (e2 - 1.0) + v * (G + H * q)
        df = I01 * e1 / a1 + I02 * e2 / a2 + G + H * q * (1.0 + m * v / Vbr / (1.0 - v / Vbr))
        v = np.maximum(v - (f - y) / df, 0.0)

    # Reverse: in s with v = Vbr (1 - exp(-s)) the law is convex; again from above.
    y = np.maximum(-x, 0.0)
    b = -Vbr
    # Without breakdown the same coordinate serves, with b far beyond every voltage.
    b = np.where(H > 0.0, b, 4.0 * TABLE_REACH_A / np.maximum(G, 1e-12))
    with np.errstate(divide="ignore", invalid="ignore"):  # logarithms of what np.where leaves out
        ohmic = np.where(y < 0.999 * G * b, -np.log1p(-np.minimum(y / (G * b), 0.999)), np.inf)
        steep = np.where(H > 0.0, np.maximum(1.0, np.log(y / (0.63 * b * H)) / m), np.inf)
    s = np.minimum(ohmic, steep)
    s = np.where(np.isfinite(s), s, 1.0)
    for _ in range(18):
        w = -b * np.expm1(-s)
        dw = b * np.exp(-s)
        lift = H * np.exp(np.minimum(m * s, _LARGEST_EXPONENT))
        e1, e2 = np.exp(-w / a1), np.exp(-w / a2)
        f = I01 * (1.0 - e1) + I02 * (1.0 - e2) + w * (G + lift)
        df = (I01 * e1 / a1 + I02 * e2 / a2 + G + lift) * dw + w * m * lift
        s = np.maximum(s - (f - y) / df, 0.0)
    value = np.where(x > 0.0, v, b * np.expm1(-s))

    laws_q = np.maximum(1.0 - value / Vbr, _LEAST_HEADROOM)
    df = (
        I01 / a1 * np.exp(np.minimum(value / a1, _LARGEST_EXPONENT))
        + I02 / a2 * np.exp(np.minimum(value / a2, _LARGEST_EXPONENT))
        + G
        + np.where(H > 0.0, H * laws_q**-m * (1.0 + m * (1.0 - laws_q) / laws_q), 0.0)
    )
    slope = scale * np.cosh(u) * step / df
    return scale[:, 0], step[:, 0], value, slope
