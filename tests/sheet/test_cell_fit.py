"""The fit: points reproduced, parameters found again, recomputed by scipy without pvsim's equation."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from pvsim.sheet.cell_fit import CellPoints, Shunt, fit_cell, shunt_current, shunt_slope
from tests.sheet.samples import VT, PlainCell, current, points


def target(cell: PlainCell) -> CellPoints:
    Isc, Voc, Imp, Vmp = points(cell)
    return CellPoints(isc_A=Isc, voc_V=Voc, voc_A=0.0, vmp_V=Vmp, imp_A=Imp, slope_A_per_V=Imp / Vmp)


def shunt_of(cell: PlainCell) -> Shunt:
    return Shunt(
        resistance_ohm=cell.Rsh,
        breakdown_fraction=cell.a,
        breakdown_voltage_V=cell.Vbr,
        breakdown_exponent=cell.m,
    )


def random_cell(rng: np.random.Generator) -> PlainCell:
    Iph, n, Voc = rng.uniform(1.0, 18.0), rng.uniform(0.95, 1.9), rng.uniform(0.58, 0.75)
    return PlainCell(
        Iph=Iph, I0=Iph / np.expm1(Voc / (n * VT)), n=n, Rs=rng.uniform(0.005, 0.08) * Voc / Iph,
        Rsh=np.exp(rng.uniform(np.log(20.0), np.log(3000.0))) * Voc / Iph,
        a=rng.uniform(0.0, 0.5), Vbr=rng.uniform(-40.0, -3.0), m=rng.uniform(1.5, 6.0),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_the_cell_that_made_the_points_is_found_again(seed: int) -> None:
    cell = random_cell(np.random.default_rng(seed))
    found = fit_cell(target(cell), shunt_of(cell))
    # The MPP is known to some 1e-8 of its voltage, which Rs and n carry on.
    assert found.ideality == pytest.approx(cell.n, rel=1e-4)
    assert found.series_resistance_ohm == pytest.approx(cell.Rs, rel=1e-3)
    assert found.photocurrent_A == pytest.approx(cell.Iph, rel=1e-6)
    assert np.log(found.saturation_current_A) == pytest.approx(np.log(cell.I0), rel=1e-4)


def test_another_shunt_gives_another_cell_with_the_same_points() -> None:
    cell = random_cell(np.random.default_rng(4))
    wanted = target(cell)
    for Rsh in (0.7 * cell.Rsh, 3.0 * cell.Rsh):
        shunt = Shunt(resistance_ohm=Rsh, breakdown_fraction=0.1, breakdown_voltage_V=-14.0)
        found = fit_cell(wanted, shunt)
        made = PlainCell(Iph=found.photocurrent_A, I0=found.saturation_current_A, n=found.ideality,
                         Rs=found.series_resistance_ohm, Rsh=Rsh, a=0.1, Vbr=-14.0, m=3.0)  # fmt: skip
        assert points(made) == pytest.approx(points(cell), rel=1e-7)  # the maximum's own accuracy
        assert found.ideality != pytest.approx(cell.n, rel=1e-3)


# The module of Villalva, Gazoli and Filho, IEEE Trans. Power Electron. 24 (2009) 1198-1208: data sheet and
# the resistances, ideality and currents they give for it, 54 cells in series.
ISC, VOC, IMP, VMP, NS = 8.21, 32.9, 7.61, 26.3, 54
RS, RP, IDEALITY = 0.221, 415.405, 1.3
AVT = IDEALITY * NS * VT


def test_villalvas_own_numbers_are_reproduced() -> None:
    I0 = ISC / np.expm1(VOC / AVT)
    Ipv = ISC * (RP + RS) / RP
    assert I0 == pytest.approx(9.825e-8, rel=1e-4)  # four digits are printed
    assert Ipv == pytest.approx(8.214, abs=5e-4)
    cell = PlainCell(Iph=Ipv, I0=I0, n=IDEALITY * NS, Rs=RS, Rsh=RP, a=0.0, Vbr=-1e3, m=3.0)
    Isc, Voc, Imp, Vmp = points(cell)
    assert Isc == pytest.approx(8.21, abs=1e-4)
    assert Voc == pytest.approx(32.8835, abs=1e-4)  # not 32.9: their I0 leaves Rp out
    assert Imp * Vmp == pytest.approx(200.1447, abs=1e-3)


def test_a_cell_of_the_same_shunt_has_villalvas_four_points_exactly_and_nearly_their_ideality() -> None:
    # Theirs gives the MPP's power and not its place: 26.349 V, 7.596 A. So n and Rs differ a little.
    wanted = CellPoints(
        isc_A=ISC, voc_V=VOC / NS, voc_A=0.0, vmp_V=VMP / NS, imp_A=IMP, slope_A_per_V=IMP / VMP * NS
    )
    found = fit_cell(wanted, Shunt(resistance_ohm=RP / NS))
    assert 1.2 < found.ideality < 1.35
    assert found.series_resistance_ohm * NS == pytest.approx(RS, rel=0.15)
    made = PlainCell(Iph=found.photocurrent_A, I0=found.saturation_current_A, n=found.ideality,
                     Rs=found.series_resistance_ohm, Rsh=RP / NS, a=0.0, Vbr=-1e3, m=3.0)  # fmt: skip
    Isc, Voc, Imp, Vmp = points(made)
    assert (Isc, NS * Voc, Imp, NS * Vmp) == pytest.approx((ISC, VOC, IMP, VMP), rel=1e-6)


def test_their_model_is_found_again_from_its_own_points() -> None:
    I0, Ipv = ISC / np.expm1(VOC / AVT), ISC * (RP + RS) / RP
    cell = PlainCell(Iph=Ipv, I0=I0, n=IDEALITY, Rs=RS / NS, Rsh=RP / NS, a=0.0, Vbr=-1e3, m=3.0)
    found = fit_cell(target(cell), shunt_of(cell))
    assert found.ideality == pytest.approx(1.3, rel=1e-5)
    assert found.series_resistance_ohm * NS == pytest.approx(0.221, rel=1e-4)
    assert found.saturation_current_A == pytest.approx(9.825e-8, rel=1e-4)


@pytest.mark.parametrize("seed", range(5))
def test_scipy_comes_to_the_same_four_parameters(seed: int) -> None:
    """Four equations, four unknowns, by a general solver that knows nothing of the nested brackets."""
    cell = random_cell(np.random.default_rng(100 + seed))
    p = target(cell)
    shunt = {"Rsh": 1.4 * cell.Rsh, "a": 0.1, "Vbr": -15.0, "m": 3.0}

    def made(x: np.ndarray) -> PlainCell:
        return PlainCell(Iph=x[0], I0=float(np.exp(x[1])), n=x[2], Rs=x[3], **shunt)

    def miss(x: np.ndarray) -> list[float]:
        one = made(x)
        V = np.array([0.0, p.voc_V, p.vmp_V])
        I = np.array([p.isc_A, 0.0, p.imp_A])
        rest = current(one, V + I * one.Rs) - I
        h = 1e-6
        vm = p.vmp_V + p.imp_A * one.Rs
        g = -(current(one, np.float64(vm + h)) - current(one, np.float64(vm - h))) / (2.0 * h)
        slope = g / (1.0 + g * one.Rs)  # -dI/dV
        return [*rest, float(slope) * p.vmp_V - p.imp_A]

    start = [cell.Iph, np.log(cell.I0), cell.n, cell.Rs]
    other = least_squares(miss, start, xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=[1.0, 1.0, 0.1, 1e-3])
    assert np.abs(other.fun).max() < 1e-7
    found = fit_cell(p, Shunt(resistance_ohm=shunt["Rsh"], breakdown_fraction=0.1, breakdown_voltage_V=-15.0))
    assert found.photocurrent_A == pytest.approx(other.x[0], rel=1e-7)
    assert found.ideality == pytest.approx(other.x[2], rel=1e-5)
    assert found.series_resistance_ohm == pytest.approx(other.x[3], rel=1e-4, abs=1e-7)


def test_bishops_term_counts_forward_as_well() -> None:
    # a (1 + v/|Vbr|)^-m of the shunt's current on top, at +0.5 V: J. W. Bishop, Solar Cells 25 (1988) 73.
    shunt = Shunt(
        resistance_ohm=10.0, breakdown_fraction=0.1, breakdown_voltage_V=-15.0, breakdown_exponent=3.7
    )
    v = np.array([0.5])
    assert shunt_current(shunt, v)[0] == pytest.approx(
        0.05 * (1.0 + 0.1 * (1.0 + 0.5 / 15.0) ** -3.7), rel=1e-14
    )
    h = 1e-6
    for at in (-12.0, 0.0, 0.6):
        by_difference = (
            shunt_current(shunt, np.array([at + h])) - shunt_current(shunt, np.array([at - h]))
        ) / (2 * h)
        assert shunt_slope(shunt, np.array([at])) == pytest.approx(by_difference, rel=1e-7)


def test_points_that_no_cell_has_give_none_or_a_negative_series_resistance() -> None:
    sharp = CellPoints(isc_A=9.0, voc_V=0.62, voc_A=0.0, vmp_V=0.60, imp_A=8.9, slope_A_per_V=8.9 / 0.60)
    found = fit_cell(sharp, Shunt(resistance_ohm=10.0))
    assert found is None or found.series_resistance_ohm < 0.0 or found.ideality < 0.5
