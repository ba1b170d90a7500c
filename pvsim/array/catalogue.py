"""Module types to start from. All data are invented; they resemble no maker's product.

What the parameters were chosen for, at standard test conditions (the solver computes it, tests
hold it; usual values of data sheets, common practice, no single source):

    cells             Voc a cell   fill factor   alpha   beta    gamma (%/K)
    multi              0.635 V        78 %        0.06   -0.33   -0.39
    mono               0.67-0.69 V    79-80 %     0.05   -0.29   -0.35
    back-contact       0.725 V        80 %        0.05   -0.24   -0.29
    heterojunction     0.74 V         80 %        0.05   -0.23   -0.27

`band_gap_eV` is the slope of the saturation current and not silicon's own gap of 1.121 eV. With
that gap and T^3 the current rises as the square of the carriers silicon makes; in cells it rises
less, for carriers live longer in warm silicon and the gap is narrower under the contacts. Data
sheets' beta gives the slope.
"""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.cell_layout import full_module, half_module
from pvsim.array.module import ModuleType, Substring
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.words import mark

INVENTED = "Invented data for teaching; no product of any maker."

# An axial Schottky type of 45 V: at most 0.55 V at 20 A and 25 degrees C, at most 1 mA and
# 100 mA at 45 V and 25 and 100 degrees C (a public data sheet of 2013). Here 0.55 V at 20 A,
# 0.40 V at 8 A; 0.08 mA, and 13 mA at 100 degrees C, at the 12 V of a substring at work. As
# leakage at that voltage 0.01 to 0.5 mA are usual (common practice, no source).
BYPASS_DIODE = Diode(
    saturation_current_A=4.64e-5, ideality=1.05, series_resistance_ohm=0.010, leakage_resistance_ohm=3e5
)

_MULTI = CellType(
    photocurrent_A=9.2,
    saturation_current_A=5.48e-10,
    ideality=1.05,
    series_resistance_ohm=0.0033,
    shunt_resistance_ohm=15.0,
    breakdown_fraction=0.1,
    breakdown_voltage_V=-14.0,
    breakdown_exponent=3.0,
    photocurrent_coefficient_per_K=0.0006,
    band_gap_eV=1.041,
)
_MONO = CellType(
    photocurrent_A=10.9,
    saturation_current_A=1.02e-10,
    ideality=1.05,
    series_resistance_ohm=0.0034,
    shunt_resistance_ohm=40.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-20.0,
    breakdown_exponent=3.5,
    band_gap_eV=1.047,
)
_MONO_SMALL = CellType(
    photocurrent_A=9.4,
    saturation_current_A=1.54e-10,
    ideality=1.05,
    series_resistance_ohm=0.0039,
    shunt_resistance_ohm=30.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-18.0,
    breakdown_exponent=3.5,
    band_gap_eV=1.032,
)
_BACK_CONTACT = CellType(
    photocurrent_A=10.5,
    saturation_current_A=5.83e-12,
    ideality=1.0,
    series_resistance_ohm=0.0037,
    shunt_resistance_ohm=50.0,
    breakdown_fraction=0.5,
    breakdown_voltage_V=-4.2,  # back-contact cells break above -5 V: IEA-PVPS T13-30:2025, 2.4.1
    breakdown_exponent=3.0,
    band_gap_eV=1.081,
)
# gamma is a little steeper than the -0.25 of data sheets: contacts that conduct better when warm
# are not in the equation.
_HETERO = CellType(
    photocurrent_A=5.4,
    saturation_current_A=1.55e-12,
    ideality=1.0,
    series_resistance_ohm=0.0070,
    shunt_resistance_ohm=100.0,
    breakdown_fraction=0.02,
    breakdown_voltage_V=-25.0,
    breakdown_exponent=3.5,
    band_gap_eV=1.09,
)
_STRIP = CellType(
    photocurrent_A=2.17,
    saturation_current_A=2.03e-11,
    ideality=1.05,
    series_resistance_ohm=0.013,  # no ribbons: strips overlap and are glued
    shunt_resistance_ohm=200.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-20.0,
    breakdown_exponent=3.5,
    band_gap_eV=1.047,
)

RIBBON_SHARE = 0.45  # of a full cell's series resistance, in the ribbons; a reckoned value, no source


def of_area(cell: CellType, times: float) -> CellType:
    """The same material on another area: currents rise with it, resistances fall."""
    return replace(
        cell,
        photocurrent_A=round(cell.photocurrent_A * times, 6),
        saturation_current_A=float(f"{cell.saturation_current_A * times:.6g}"),
        series_resistance_ohm=round(cell.series_resistance_ohm / times, 7),
        shunt_resistance_ohm=round(cell.shunt_resistance_ohm / times, 3),
    )


def half_of(cell: CellType, ribbon_share: float = RIBBON_SHARE) -> CellType:
    """One half of a cell that is cut across its ribbons.

    Notes
    -----
    Fingers and contacts lie on half the area: twice their resistance, for half the current. Each
    ribbon is half as long and carries half the current: half the resistance, a quarter of the
    voltage. What the cut itself costs at its edge is left out.
    """
    half = of_area(cell, 0.5)
    contacts, ribbons = (1.0 - ribbon_share) * 2.0, ribbon_share * 0.5
    return replace(half, series_resistance_ohm=round(cell.series_resistance_ohm * (contacts + ribbons), 7))


_MONO_HALF = half_of(_MONO)
_MONO_HALF_LARGE = of_area(_MONO_HALF, (0.182 / 0.166) ** 2)  # a larger wafer has more ribbons


def _full(name: str, title: str, cell: CellType, rows: int, columns: int, side_m: float) -> ModuleType:
    """A module of square cells, two columns for each diode."""
    return full_module(
        name=name,
        title=title,
        note=INVENTED,
        cell=cell,
        rows=rows,
        columns=columns,
        cell_width_m=side_m,
        cell_height_m=side_m,
        diodes=columns // 2,
        diode=BYPASS_DIODE,
    )


def _half(
    name: str, title: str, cell: CellType, rows: int, width_m: float, height_m: float, bifaciality: float
) -> ModuleType:
    """A module of half-cells in six columns, two for each diode."""
    return half_module(
        name=name,
        title=title,
        note=INVENTED,
        cell=cell,
        rows=rows,
        columns=6,
        cell_width_m=width_m,
        cell_height_m=height_m,
        diodes=3,
        diode=BYPASS_DIODE,
        bifaciality=bifaciality,
    )


def _shingled() -> ModuleType:
    """Narrow strips: each diode spans six chains of twenty strips side by side."""
    columns, block, blocks = 6, 20, 3
    return ModuleType(
        name="shingled-360",
        title=mark("360 shingled strips, 3 bypass diodes"),
        note=INVENTED,
        cell=_STRIP,
        rows=block * blocks,
        columns=columns,
        cell_width_m=0.182,
        cell_height_m=0.0295,
        substrings=tuple(
            Substring(
                chains=tuple(
                    tuple(row * columns + column for row in range(k * block, (k + 1) * block))
                    for column in range(columns)
                ),
                diode=BYPASS_DIODE,
            )
            for k in range(blocks)
        ),
        junction_boxes=((0.5685, 0.05),),
        gap_m=0.001,
        margin_m=0.02,
    )


def _without_diodes(kind: ModuleType, name: str, title: str) -> ModuleType:
    bare = tuple(Substring(chains=part.chains) for part in kind.substrings)
    return replace(kind, name=name, title=title, substrings=bare)


_SIXTY = _full("full-60", mark("60 cells, 3 bypass diodes"), _MONO, 10, 6, 0.166)

CATALOGUE: dict[str, ModuleType] = {
    kind.name: kind
    for kind in (
        _full("full-36", mark("36 cells, 2 bypass diodes"), _MULTI, 9, 4, 0.15675),
        _SIXTY,
        _full("full-72", mark("72 cells, 3 bypass diodes"), _MONO, 12, 6, 0.166),
        _full("full-96", mark("96 cells, 4 bypass diodes"), _MONO_SMALL, 12, 8, 0.15675),
        _half("half-120", mark("120 half-cells, 3 bypass diodes"), _MONO_HALF, 20, 0.166, 0.083, 0.0),
        _half(
            "half-144",
            mark("144 half-cells, bifacial, 3 bypass diodes"),
            _MONO_HALF_LARGE,
            24,
            0.182,
            0.091,
            0.7,
        ),
        _full(
            "back-contact-72", mark("72 back-contact cells, 3 bypass diodes"), _BACK_CONTACT, 12, 6, 0.1617
        ),
        _half(
            "hetero-120",
            mark("120 heterojunction half-cells, bifacial, 3 bypass diodes"),
            _HETERO,
            20,
            0.166,
            0.083,
            0.9,
        ),
        _shingled(),
        _without_diodes(_SIXTY, "bare-60", mark("60 cells, no bypass diode")),
    )
}
