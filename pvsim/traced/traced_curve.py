"""A curve as it was measured: read by a mapping that a person has agreed to."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.files.curve_file import LARGEST, MAX_POINTS
from pvsim.files.source import shown
from pvsim.prompt import summary
from pvsim.traced.columns import read_columns
from pvsim.traced.layout import lines_of
from pvsim.traced.mapping import Mapping, Use, check_mapping
from pvsim.words import _, ngettext

LEAST_POINTS = 5
LIGHT_W_m2 = (0.0, 2000.0)  # beyond it no sensor on the ground has been
WARMTH_C = (-60.0, 150.0)  # as of any cell: pvsim/array/weather.py


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TracedCurve:
    """A measured I-V curve, in generator convention.

    Parameters
    ----------
    voltage_V, current_A : (n,)
        At least LEAST_POINTS points, voltage strictly rising, all finite.
    irradiance_W_m2, temperature_C : float or None
        At which it was measured; None if that is not known.

    Raises
    ------
    FileError
        If the points are too few, too many, not finite, too large or not in order.
    """

    voltage_V: Floats
    current_A: Floats
    irradiance_W_m2: float | None = None
    temperature_C: float | None = None

    __repr__ = summary

    def __post_init__(self) -> None:
        V, I = self.voltage_V, self.current_A
        if V.ndim != 1 or V.shape != I.shape:
            raise FileError(
                _("a measured curve has {voltages} voltages and {currents} currents").format(
                    voltages=V.size, currents=I.size
                ),
                expected=_("as many of each"),
                mend=_("Check that the file was saved whole and the columns are the right ones"),
            )
        if not LEAST_POINTS <= V.size <= MAX_POINTS:
            raise FileError(
                ngettext(
                    "a measured curve has points at {n} voltage",
                    "a measured curve has points at {n} voltages",
                    V.size,
                ).format(n=V.size),
                expected=_("{least} to {most} different voltages").format(
                    least=LEAST_POINTS, most=MAX_POINTS
                ),
                mend=_("Check that the file was saved whole and the columns are the right ones"),
            )
        if not (np.abs(V) <= LARGEST).all() or not (np.abs(I) <= LARGEST).all():  # nor is nan
            raise FileError(
                _("a measured curve holds a number that cannot have been measured"),
                expected=_("finite numbers, at most {most:g} either way").format(most=LARGEST),
                mend=_("Check units and decimal mark"),
            )
        if not (np.diff(V) > 0.0).all():
            raise FileError(
                _("the voltages of a measured curve do not rise"),
                expected=_("each greater than the one before"),
                mend=_("Sort the points, and average those of one voltage"),
            )
        for value, unit, (least, most) in (
            (self.irradiance_W_m2, "W/m2", LIGHT_W_m2),
            (self.temperature_C, "degC", WARMTH_C),
        ):
            if value is not None and not least <= value <= most:
                raise FileError(
                    _("a curve was measured at {value:g} {unit}").format(value=value, unit=unit),
                    expected=_("from {least:g} to {most:g}").format(least=least, most=most),
                    mend=_("Check the number and its unit, or leave it out"),
                )


def read_traced(text: str, mapping: Mapping, name: str = "the curve file") -> TracedCurve:
    """Read a curve as a mapping says.

    Parameters
    ----------
    text : str
        Untrusted.
    mapping : Mapping
        Of `propose`, as it is or changed by hand.
    name : str
        What messages call the text.

    Returns
    -------
    TracedCurve
        Points sorted by voltage, those of one voltage averaged; light and temperature are the medians of
        their columns.

    Raises
    ------
    FileError
        If the mapping does not fit the text, or a row has no finite voltage or current and the mapping
        does not say to leave it out.
    """
    lines = lines_of(text, name)
    check_mapping(mapping, len(lines), name)
    assert mapping.voltage is not None
    assert mapping.current is not None
    more = [use for use in (mapping.irradiance, mapping.temperature) if use is not None]
    table = read_columns(lines, mapping.layout, (mapping.voltage, mapping.current, *more))
    good = np.isfinite(table[1:3]).all(axis=0)
    if not good.all() and not mapping.leave_out_broken:
        _refuse_broken(lines, table, int(np.flatnonzero(~good)[0]), (mapping.voltage, mapping.current), name)
    table = table[:, good]
    V, inverse = np.unique(table[1], return_inverse=True)
    counts = np.bincount(inverse, minlength=V.size)
    sums = np.bincount(inverse, weights=mapping.current_sign * table[2], minlength=V.size)
    rest = iter(table[3:])
    return TracedCurve(
        voltage_V=V,
        current_A=sums / np.maximum(counts, 1),
        irradiance_W_m2=_of_all(mapping.irradiance_W_m2, next(rest) if mapping.irradiance else None),
        temperature_C=_of_all(mapping.temperature_C, next(rest) if mapping.temperature else None),
    )


def _of_all(given: float | None, column: Floats | None) -> float | None:
    """What holds for the whole curve: as it was given, else the median of a column."""
    if given is not None or column is None:
        return given if given is None or isfinite(given) else float("nan")
    known = column[np.isfinite(column)]
    return float(np.median(known)) if known.size else None


def _refuse_broken(lines: list[str], table: Floats, row: int, uses: tuple[Use, Use], name: str) -> None:
    line = int(table[0, row])
    broken = next(use for use, value in zip(uses, table[1:3, row], strict=True) if not np.isfinite(value))
    raise FileError(
        _("{name}, line {line} holds no usable number in column {number} (in all {count} such rows)").format(
            name=shown(name),
            line=line,
            number=broken.column,
            count=int((~np.isfinite(table[1:3]).all(axis=0)).sum()),
        ),
        expected=_("a voltage and a current in each row"),
        mend=_("Mend the row, or let such rows be left out"),
    )
