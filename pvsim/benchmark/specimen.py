"""The circuits the benchmark measures on: invented data."""

from __future__ import annotations

import numpy as np

from pvsim.circuit import (
    Cell,
    CellType,
    Diode,
    Element,
    Parallel,
    Resistor,
    Series,
    diode_from_forward_drop,
)

CELL_TYPE = CellType(
    photocurrent_A=9.5,
    saturation_current_A=2e-10,
    ideality=1.05,
    series_resistance_ohm=0.005,
    shunt_resistance_ohm=30.0,
    breakdown_fraction=0.02,
    breakdown_voltage_V=-15.0,
    breakdown_exponent=3.7,
)
DIODE = diode_from_forward_drop(0.5, 9.0, series_resistance_ohm=0.002)
CABLE = Resistor(resistance_ohm=0.1)
MODULES, STRINGS, CELLS, SUBSTRINGS = 8, 2, 60, 3


def cells(light_W_m2: np.ndarray) -> tuple[Cell, ...]:
    """One cell for each irradiance; equal ones are one object."""
    lights = light_W_m2.tolist()
    known = {G: Cell(type=CELL_TYPE, irradiance_W_m2=G) for G in dict.fromkeys(lights)}
    return tuple([known[G] for G in lights])


def module(light_W_m2: np.ndarray, diode: Diode = DIODE) -> Element:
    """A module of 60 cells with three bypass diodes, from the light on each cell (60,)."""
    return Series(
        tuple(Parallel((Series(cells(part)), diode)) for part in np.split(light_W_m2, SUBSTRINGS))
    )


def shaded_module(light_W_m2: float) -> Element:
    """A module of 60 cells with one cell in less light."""
    light = np.full(CELLS, 1000.0)
    light[16] = light_W_m2
    return module(light)


def shaded_module_text(light_W_m2: float) -> str:
    """The same module as the text of a circuit file."""
    kind, diode = CELL_TYPE, DIODE
    return f"""\
format = 1

[cell_types.plain]
photocurrent_A = {kind.photocurrent_A}
saturation_current_A = {kind.saturation_current_A}
ideality = {kind.ideality}
series_resistance_ohm = {kind.series_resistance_ohm}
shunt_resistance_ohm = {kind.shunt_resistance_ohm}
breakdown_fraction = {kind.breakdown_fraction}
breakdown_voltage_V = {kind.breakdown_voltage_V}
breakdown_exponent = {kind.breakdown_exponent}

[diode_types.bypass]
saturation_current_A = {diode.saturation_current_A}
ideality = {diode.ideality}
series_resistance_ohm = {diode.series_resistance_ohm}

[parts.good]
series = [{{ cell = "plain", count = 20 }}]

[parts.shaded]
series = [
    {{ cell = "plain", count = 16 }},
    {{ cell = "plain", irradiance_W_m2 = {light_W_m2} }},
    {{ cell = "plain", count = 3 }},
]

[circuit]
series = [
    {{ parallel = [{{ part = "shaded" }}, {{ diode = "bypass" }}] }},
    {{ parallel = [{{ part = "good" }}, {{ diode = "bypass" }}], count = 2 }},
]
"""


def array(modules: list[Element]) -> Element:
    """Two strings of eight modules in parallel, each with its cable."""
    strings = [modules[k : k + MODULES] for k in range(0, len(modules), MODULES)]
    return Parallel(tuple(Series((*string, CABLE)) for string in strings))


def array_with_one_shaded(light_W_m2: float) -> Element:
    """960 cells, all in full light but one."""
    return array([shaded_module(light_W_m2)] + [_good] * (MODULES * STRINGS - 1))


def array_all_different(seed: int) -> Element:
    """960 cells, no two in the same light."""
    light = np.random.default_rng(seed).uniform(100.0, 1000.0, (MODULES * STRINGS, CELLS))
    return array([module(row) for row in light])


def array_scattered(seed: int) -> Element:
    """960 cells, no two with the same photocurrent, shunt or breakdown voltage."""
    rng = np.random.default_rng(seed)
    factors = np.stack(
        (
            rng.normal(1.0, 0.01, MODULES * STRINGS * CELLS),
            np.exp(0.5 * rng.normal(size=MODULES * STRINGS * CELLS).clip(-3.0, 3.0)),
            rng.normal(1.0, 0.05, MODULES * STRINGS * CELLS),
        ),
        axis=1,
    ).tolist()
    made = [
        Cell(type=CELL_TYPE, photocurrent_factor=light, shunt_factor=shunt, breakdown_factor=breakdown)
        for light, shunt, breakdown in factors
    ]
    size = CELLS // SUBSTRINGS
    parts = [Parallel((Series(tuple(made[k : k + size])), DIODE)) for k in range(0, len(made), size)]
    return array([Series(tuple(parts[k : k + SUBSTRINGS])) for k in range(0, len(parts), SUBSTRINGS)])


_good = module(np.full(CELLS, 1000.0))
