"""Module types to start from. All data are invented; they resemble no maker's product.

Parameters were chosen so that an open-circuit voltage of 0.63 to 0.74 V a cell, a fill factor
of 0.74 to 0.80 and about -2 mV/K a cell come out, as crystalline silicon has them.
"""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.module import ModuleType, Substring
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.words import mark

INVENTED = "Invented data for teaching; no product of any maker."

# 0.55 V at 20 A and 0.46 V at 8 A: a common axial Schottky type, rounded
BYPASS_DIODE = Diode(saturation_current_A=1.14e-6, ideality=1.05, series_resistance_ohm=0.005)

_MULTI = CellType(
    photocurrent_A=9.2,
    saturation_current_A=4.2e-10,
    ideality=1.03,
    series_resistance_ohm=0.0055,
    shunt_resistance_ohm=15.0,
    breakdown_fraction=0.1,
    breakdown_voltage_V=-14.0,
    breakdown_exponent=3.0,
    photocurrent_coefficient_per_K=0.0006,
)
_MONO = CellType(
    photocurrent_A=10.9,
    saturation_current_A=1.24e-10,
    ideality=1.05,
    series_resistance_ohm=0.0045,
    shunt_resistance_ohm=40.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-20.0,
    breakdown_exponent=3.5,
)
_MONO_SMALL = CellType(
    photocurrent_A=9.4,
    saturation_current_A=1.76e-10,
    ideality=1.04,
    series_resistance_ohm=0.005,
    shunt_resistance_ohm=30.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-18.0,
    breakdown_exponent=3.5,
)
_HALF = CellType(
    photocurrent_A=6.7,
    saturation_current_A=5.2e-11,
    ideality=1.05,
    series_resistance_ohm=0.0085,
    shunt_resistance_ohm=90.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-22.0,
    breakdown_exponent=3.5,
)
_BACK_CONTACT = CellType(
    photocurrent_A=10.5,
    saturation_current_A=7.1e-12,
    ideality=1.0,
    series_resistance_ohm=0.005,
    shunt_resistance_ohm=50.0,
    breakdown_fraction=0.5,
    breakdown_voltage_V=-4.2,  # back-contact cells break above -5 V: IEA-PVPS T13-30:2025, 2.4.1
    breakdown_exponent=3.0,
)
_HETERO = CellType(
    photocurrent_A=5.4,
    saturation_current_A=1.56e-12,
    ideality=1.0,
    series_resistance_ohm=0.0105,
    shunt_resistance_ohm=100.0,
    breakdown_fraction=0.02,
    breakdown_voltage_V=-25.0,
    breakdown_exponent=3.5,
    photocurrent_coefficient_per_K=0.0004,
)
_STRIP = CellType(
    photocurrent_A=2.17,
    saturation_current_A=1.5e-11,
    ideality=1.04,
    series_resistance_ohm=0.025,
    shunt_resistance_ohm=200.0,
    breakdown_fraction=0.05,
    breakdown_voltage_V=-20.0,
    breakdown_exponent=3.5,
)


def column_pair(rows: range, columns: int, first: int) -> tuple[int, ...]:
    """Positions along column `first` and back along the next one.

    Parameters
    ----------
    rows : range
        From the junction box outwards.
    columns, first : int
        Columns of the module, and the pair's left one from 0.
    """
    out = tuple(row * columns + first for row in rows)
    back = tuple(row * columns + first + 1 for row in reversed(rows))
    return out + back


def _full(name: str, title: str, cell: CellType, rows: int, columns: int, side_m: float) -> ModuleType:
    """A module of full cells: each substring is two columns, down one and up the next."""
    gap, margin = 0.002, 0.02
    width = columns * side_m + (columns - 1) * gap + 2 * margin
    return ModuleType(
        name=name,
        title=title,
        note=INVENTED,
        cell=cell,
        rows=rows,
        columns=columns,
        cell_width_m=side_m,
        cell_height_m=side_m,
        substrings=tuple(
            Substring(chains=(column_pair(range(rows), columns, first),), diode=BYPASS_DIODE)
            for first in range(0, columns, 2)
        ),
        junction_boxes=((round(width / 2, 4), 0.08),),
        gap_m=gap,
        margin_m=margin,
    )


def _half(
    name: str, title: str, cell: CellType, rows: int, width_m: float, height_m: float, bifaciality: float
) -> ModuleType:
    """A module of half-cells: a substring is two chains, one in each half, on one diode."""
    columns, gap, margin = 6, 0.002, 0.02
    middle = margin + rows / 2 * (height_m + gap) - gap / 2
    upper, lower = range(rows // 2 - 1, -1, -1), range(rows // 2, rows)
    pairs = range(0, columns, 2)
    return ModuleType(
        name=name,
        title=title,
        note=INVENTED,
        cell=cell,
        rows=rows,
        columns=columns,
        cell_width_m=width_m,
        cell_height_m=height_m,
        substrings=tuple(
            Substring(
                chains=(column_pair(upper, columns, first), column_pair(lower, columns, first)),
                diode=BYPASS_DIODE,
            )
            for first in pairs
        ),
        junction_boxes=tuple(
            (round(margin + (first + 1) * (width_m + gap) - gap / 2, 4), round(middle, 4)) for first in pairs
        ),
        bifaciality=bifaciality,
        gap_m=gap,
        margin_m=margin,
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
        _half("half-120", mark("120 half-cells, 3 bypass diodes"), _HALF, 20, 0.182, 0.091, 0.0),
        _half("half-144", mark("144 half-cells, bifacial, 3 bypass diodes"), _HALF, 24, 0.182, 0.091, 0.7),
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
