"""What the lessons say of cells that differ, reckoned with numpy alone: own draws, own curves, own sums."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array.catalogue import BYPASS_DIODE, CATALOGUE
from pvsim.circuit.cell import CellType
from tests.course.by_hand import KELVIN_25, VOLT_PER_KELVIN, Floats, forward_voltage

CELL: CellType = CATALOGUE["full-60"].cell
MODULES, SUBSTRINGS, CELLS = 8, 3, 20
LEAF = 0.2
ROOFS = 40
AMPS: Floats = np.linspace(0.6 * CELL.photocurrent_A, 1.05 * CELL.photocurrent_A, 600)


def drawn(rng: np.random.Generator, *shape: int) -> Floats:
    return np.clip(rng.standard_normal(shape), -3.0, 3.0)


def substrings(rng: np.random.Generator) -> list[tuple[Floats, Floats, Floats, float]]:
    """Photocurrent share, shunt, breakdown voltage and warmth of the cells of a string, 20 by 20."""
    found = []
    for _ in range(MODULES):
        light, warmer_K = 1.0 + 0.01 * drawn(rng, 1)[0], 1.5 * drawn(rng, 1)[0]
        for _ in range(SUBSTRINGS):
            photo = light * (1.0 + 0.01 * drawn(rng, CELLS))
            shunt = CELL.shunt_resistance_ohm * np.exp(0.5 * drawn(rng, CELLS))
            breakdown = CELL.breakdown_voltage_V * (1.0 + 0.05 * drawn(rng, CELLS))
            found.append((photo, shunt, breakdown, warmer_K))
    return found


def voltage(photo: Floats, shunt: Floats, breakdown: Floats, warmer_K: float) -> Floats:
    """Voltage over AMPS of some cells in series with a bypass diode: Bishop's law, tabulated and read."""
    kelvin = KELVIN_25 + warmer_K
    gap_eV = CELL.band_gap_eV * (1 - CELL.band_gap_coefficient_per_K * warmer_K)
    cold, warm = CELL.band_gap_eV / (VOLT_PER_KELVIN * KELVIN_25), gap_eV / (VOLT_PER_KELVIN * kelvin)
    saturation_A = CELL.saturation_current_A * (kelvin / KELVIN_25) ** 3 * np.exp(cold - warm)
    scale = CELL.ideality * VOLT_PER_KELVIN * kelvin
    hotter = 1 + CELL.photocurrent_coefficient_per_K * warmer_K
    whole = np.zeros_like(AMPS)
    for share, ohm, vbr in zip(photo, shunt, breakdown, strict=True):
        v = np.concatenate([vbr * (1 - np.geomspace(1e-4, 0.99, 250)), np.linspace(0.01 * vbr, 0.8, 500)])
        lift = 1 + CELL.breakdown_fraction * (1 - v / vbr) ** -CELL.breakdown_exponent
        i = CELL.photocurrent_A * share * hotter - saturation_A * np.expm1(v / scale) - v / ohm * lift
        order = np.argsort(i)
        whole += np.interp(AMPS, i[order], (v - i * CELL.series_resistance_ohm)[order])
    return np.maximum(whole, -forward_voltage(BYPASS_DIODE, AMPS))


def string(parts: list[tuple[Floats, Floats, Floats, float]]) -> Floats:
    return sum((voltage(*one) for one in parts), np.zeros_like(AMPS))


def apart(one: Floats, two: Floats) -> float:
    """How much more the second string carries where the pair gives most."""
    volts = np.linspace(0.6 * one[0], one[0], 3_000)
    amps = [np.interp(-volts, -curve, AMPS) for curve in (one, two)]
    best = int(np.argmax(volts * (amps[0] + amps[1])))
    return float(amps[1][best] - amps[0][best])


@pytest.fixture(scope="module")
def roofs() -> tuple[Floats, Floats]:
    """How far apart the strings of forty roofs are, healthy and with the leaf."""
    rng = np.random.default_rng(11)
    healthy, leaf = [], []
    for _ in range(ROOFS):
        parts, other = substrings(rng), string(substrings(rng))
        sound = [voltage(*one) for one in parts]
        whole = sum(sound, np.zeros_like(AMPS))
        photo = parts[9][0].copy()
        photo[13] *= LEAF
        healthy.append(apart(whole, other))
        leaf.append(apart(whole - sound[9] + voltage(photo, *parts[9][1:]), other))
    return np.array(healthy), np.array(leaf)


def test_no_healthy_roof_of_forty_looks_like_one_with_a_leaf(roofs: tuple[Floats, Floats]) -> None:
    healthy, leaf = roofs
    assert np.abs(healthy).max() < leaf.min()
    assert 0.02 < healthy.std() < 0.12, "some hundredths of an ampere"


def test_a_leaf_moves_the_strings_of_every_roof_by_nearly_the_same(roofs: tuple[Floats, Floats]) -> None:
    healthy, leaf = roofs
    moved = leaf - healthy
    assert moved.min() > 0.4
    assert moved.max() < 0.55
    assert moved.std() < healthy.std()


def test_a_cracked_cell_can_move_the_strings_by_less_than_they_differ(roofs: tuple[Floats, Floats]) -> None:
    """A crack that cuts off a twentieth of one cell, area and junction both."""
    healthy, _leaf = roofs
    rng = np.random.default_rng(12)
    parts, other = substrings(rng), string(substrings(rng))
    sound = [voltage(*one) for one in parts]
    whole = sum(sound, np.zeros_like(AMPS))
    photo = parts[9][0].copy()
    photo[13] *= 0.95  # the light it has lost is what counts; its smaller junction is left out
    moved = apart(whole - sound[9] + voltage(photo, *parts[9][1:]), other) - apart(whole, other)
    assert abs(moved) < healthy.std()
