"""Tables of parts in series and side by side: sums of their children, the same in any company."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from pvsim.circuit import Cell, Diode, Parallel, Resistor, Series, solve
from pvsim.circuit import register as registers
from pvsim.circuit.chains import Chain, chain_tables
from pvsim.circuit.composition import MOST_KNOTS, Part, parallel_tables, series_tables
from pvsim.circuit.leaf import leaf_of
from pvsim.circuit.table import Table
from tests.circuit.samples import BYPASS, PLAIN

REACH_A = 64.0


def table(*elements: Cell | Diode | Resistor, floor_V: float = -inf) -> Table:
    return chain_tables([Chain([leaf_of(one) for one in elements], [1] * len(elements), floor_V)], REACH_A)[0]


def cell(irradiance_W_m2: float) -> Cell:
    return Cell(type=PLAIN, irradiance_W_m2=irradiance_W_m2)


# Of a floor, as beside a diode.
CHAINS = [table(cell(300.0), cell(G), floor_V=-2.0) for G in (310.0, 500.0, 1000.0, 40.0)]
DIODE = table(BYPASS)
# Of unlike lengths, of children that stand more than once, and one beside a wire.
BESIDE: list[Part] = [
    *([(chain, 1), (DIODE, 1)] for chain in CHAINS),
    [(CHAINS[0], 3), (CHAINS[1], 2)],
    [(CHAINS[2], 1), (table(Resistor(resistance_ohm=0.02)), 1)],
]
IN_SERIES: list[Part] = [
    [(CHAINS[0], 1), (CHAINS[1], 1)],
    [(CHAINS[2], 4), (CHAINS[3], 1)],
    [(DIODE, 1), (CHAINS[1], 2)],
]


def fresh(parts: list[Part]) -> list[Part]:
    """The same tables, of which nobody has read one yet."""
    return [[(Table(one.I, one.V, one.slope), count) for one, count in part] for part in parts]


def test_a_table_in_series_is_the_sum_of_voltages() -> None:
    for part, made in zip(IN_SERIES, series_tables(IN_SERIES), strict=True):
        V = sum(count * one.voltage(made.I) for one, count in part)
        np.testing.assert_allclose(made.V, V, rtol=1e-9, atol=1e-9)  # knots are moved by rounding
        assert set(np.round(part[0][0].I, 6)) <= set(np.round(made.I, 6))


def test_a_table_side_by_side_is_the_sum_of_currents() -> None:
    for part, made in zip(BESIDE, parallel_tables(BESIDE, REACH_A), strict=True):
        I = sum(count * one.current(made.V) for one, count in part)
        np.testing.assert_allclose(made.I, I, rtol=1e-9, atol=1e-9)  # knots are moved by rounding
        assert made.V[0] <= min(one.V[0] for one, _ in part) + 1e-9
        assert np.abs(made.I).max() <= 1.5 * REACH_A


@pytest.mark.parametrize("first", [0, 2])
def test_a_part_is_the_same_in_any_company(first: int) -> None:
    pairs = [
        (series_tables(fresh(IN_SERIES)), [series_tables([part])[0] for part in fresh(IN_SERIES)]),
        (
            parallel_tables(fresh(BESIDE)[first:], REACH_A),
            [parallel_tables([part], REACH_A)[0] for part in fresh(BESIDE)[first:]],
        ),
    ]
    for together, alone in pairs:
        for one, other in zip(together, alone, strict=True):
            I = np.linspace(-REACH_A, REACH_A, 3001)
            V = other.voltage(I)
            np.testing.assert_allclose(
                one.voltage(I), V, rtol=1e-6, atol=1e-6
            )  # far below a start's millivolt
            np.testing.assert_allclose(one.current(V), other.current(V), rtol=1e-9, atol=1e-9)


def test_more_knots_than_are_wanted_are_thinned_and_the_ends_stay() -> None:
    many = [[(table(cell(float(G))), 1) for G in np.linspace(100.0 + k, 900.0, 15)] for k in range(2)]
    for part, made in zip(many, series_tables(many), strict=True):
        assert len(made.I) <= MOST_KNOTS < sum(len(one.I) for one, _ in part)
        assert (made.I[0], made.I[-1]) == pytest.approx((-REACH_A, REACH_A))


def test_an_open_diode_among_many_parts_spoils_none(monkeypatch: pytest.MonkeyPatch) -> None:
    # Alone its voltages go to thousands of millions, beside which the others' millivolts would be rounding.
    def substring(seed: int, diode: Diode) -> Parallel:
        light = np.random.default_rng(seed).uniform(600.0, 1000.0, 10).tolist()
        return Parallel((Series(tuple(cell(G) for G in light)), diode))

    open_ = Diode(saturation_current_A=BYPASS.saturation_current_A, condition="open")
    array = Series(tuple(substring(seed, open_ if seed == 3 else BYPASS) for seed in range(20)))
    shown = solve(array, points=50)
    monkeypatch.setattr(registers, "_register", registers.Register())
    monkeypatch.setattr("pvsim.circuit.tree._WORTH_GATHERING", 10**9)
    alone = solve(Series(tuple(array.children)), points=50)
    np.testing.assert_allclose(shown.voltage_V, alone.voltage_V, rtol=1e-6)
    np.testing.assert_allclose(shown.isc_A, alone.isc_A, rtol=1e-9)
    assert shown.iterations == alone.iterations
