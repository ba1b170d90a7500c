"""A module type from a sheet: every number reproduced by the whole module, wired as inferred."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from pvsim.array import CATALOGUE, Fault, Place, Substring, add_fault, level_curve, set_weather, solve_array
from pvsim.array.catalogue import BYPASS_DIODE
from pvsim.circuit.leaf import saturation_ratio
from pvsim.errors import SheetError
from pvsim.files import pack, read_scenario, unpack, write_scenario
from pvsim.sheet import (
    REVERSES,
    SHUNTS,
    Assumptions,
    Coefficient,
    DataSheet,
    all_findings,
    infer,
    module_from_sheet,
    own_sheets,
    read_own_sheet,
    relative_residual,
    sentence,
    sheet_scenario,
)
from tests.sheet.samples import HALVES, VT, PlainCell, current, points, random_sheets, sheet

FOUR = ("isc", "voc", "imp", "vmp")


def residuals(made) -> dict[str, float]:
    return {one.name: abs(relative_residual(one)) for one in made.reproduced}


def test_five_hundred_sheets_of_random_cells_are_reproduced_by_the_whole_module() -> None:
    worst = dict.fromkeys((*FOUR, "pmp", "alpha", "beta"), 0.0)
    for made_sheet, assumed, cell in random_sheets(500, seed=20):
        made = module_from_sheet(made_sheet, assumed)
        found = residuals(made)
        worst = {name: max(most, found[name]) for name, most in worst.items()}
        # Numbers rounded to 0.01 A and 0.01 V still tell the cell's ideality to some per cent.
        assert made.module_type.cell.ideality == pytest.approx(cell.n, rel=0.06)
    for name in (*FOUR, "pmp"):
        assert worst[name] < 1e-3, name  # the promise is 0.1 %; what is found is about 1e-8
    assert worst["alpha"] < 1e-3
    assert worst["beta"] < 1e-3  # a slope at 25 degrees C, read as a mean over 30 K


@pytest.mark.parametrize("shunt", SHUNTS)
@pytest.mark.parametrize("reverse", REVERSES)
@pytest.mark.parametrize("changes", [{}, HALVES, {"bypass_diodes": 0}], ids=["whole", "halves", "bare"])
def test_every_assumption_leaves_the_four_points_as_they_are(shunt, reverse, changes) -> None:
    made = module_from_sheet(sheet(**changes), Assumptions(shunt=shunt, reverse=reverse))
    found = residuals(made)
    assert all(found[name] < 1e-6 for name in FOUR)
    cell = made.module_type.cell
    assert cell.shunt_resistance_ohm == pytest.approx(
        SHUNTS[shunt][1].usual / (changes.get("cell_height_mm", 156.75) * 15.675 / 10.0), rel=1e-6
    )
    assert cell.breakdown_voltage_V == REVERSES[reverse].breakdown_voltage_V.usual


def test_the_residual_is_read_from_the_module_and_not_from_the_formula() -> None:
    made = module_from_sheet(sheet())
    curve = level_curve(sheet_scenario(made), Place(1, 1))
    found = {one.name: one.found for one in made.reproduced}
    assert found["isc"] == pytest.approx(curve.isc_A, rel=1e-9)  # stated solver tolerance
    assert found["voc"] == pytest.approx(curve.voc_V, rel=1e-9)
    assert found["pmp"] == pytest.approx(curve.mpp.power_W, rel=1e-9)


def test_the_leakage_of_the_bypass_diodes_is_taken_into_account() -> None:
    made = module_from_sheet(sheet())
    scenario = sheet_scenario(made)
    bare = replace(
        scenario.module_types[0],
        substrings=tuple(Substring(chains=part.chains) for part in made.module_type.substrings),
    )
    without = level_curve(replace(scenario, module_types=(bare,)), Place(1, 1))
    # At the MPP each diode lets some 0.1 mA of 9 A back: without them the module is that much better.
    assert 5e-6 < without.mpp.power_W / made.reproduced[4].given - 1.0 < 1e-4
    assert residuals(made)["pmp"] < 1e-7


def test_villalvas_module_is_reproduced_and_its_gamma_stands_beside() -> None:
    # The data sheet in M. G. Villalva et al., IEEE Trans. Power Electron. 24 (2009) 1198; gamma -0.45 %/K,
    # rows, diodes and cell size from memory.
    villalva = sheet(
        isc_A=8.21, voc_V=32.9, imp_A=7.61, vmp_V=26.3, cells=54, rows=9,
        alpha=Coefficient(value=3.2, unit="mA/K"), beta=Coefficient(value=-0.123, unit="V/K"),
        gamma=Coefficient(value=-0.45, unit="%/K"), cell_width_mm=156.0, cell_height_mm=156.0,
    )  # fmt: skip
    made = module_from_sheet(villalva, Assumptions(shunt="low", reverse="none"))
    assert all(residuals(made)[name] < 1e-6 for name in FOUR)
    assert residuals(made)["alpha"] < 1e-4
    assert residuals(made)["beta"] < 1e-3
    gamma = made.reproduced[-1]
    assert (gamma.name, gamma.fitted, gamma.given) == ("gamma", False, -0.45)
    assert gamma.found == pytest.approx(-0.49, abs=0.02)  # the equation's own; the paper says 0.04 less
    assert made.doubts == ()


# De Soto, Klein and Beckman, Solar Energy 80 (2006) 78-88: Eg 1.121 eV, 0.0002677 /K.
RATIOS = {50.0: 48.737, 65.0: 384.06, 0.0: 0.0103084}


def test_a_sheet_whose_beta_is_silicons_own_gap_gives_de_sotos_ratios() -> None:
    """Voc at two temperatures by plain numpy and their equation; the fit must find the gap again."""
    n, Iph, Rs, Rsh, I0 = 1.1, 9.3, 0.004, 40.0, 1e-9

    def voc(T: float) -> float:
        gap = 1.121 * (1.0 - 0.0002677 * (T - 298.15))
        k = VT / 298.15
        ratio = (T / 298.15) ** 3 * np.exp(1.121 / VT - gap / (k * T))
        light = Iph * (1.0 + 0.0005 * (T - 298.15))
        return brentq(
            lambda V: light - I0 * ratio * np.expm1(V / (n * k * T)) - V / Rsh, 0.3, 0.9, xtol=1e-14
        )

    cell = PlainCell(Iph=Iph, I0=I0, n=n, Rs=Rs, Rsh=Rsh, a=0.0, Vbr=-20.0, m=3.0)
    Isc, Voc, Imp, Vmp = points(cell)
    assert Voc == pytest.approx(voc(298.15), rel=1e-9)
    beta = 60.0 * (voc(299.15) - voc(297.15)) / 2.0
    area = 156.75**2 / 100.0
    made = module_from_sheet(
        sheet(isc_A=Isc, voc_V=60 * Voc, imp_A=Imp, vmp_V=60 * Vmp, bypass_diodes=0,
              alpha=Coefficient(value=0.05, unit="%/K"), beta=Coefficient(value=beta, unit="V/K")),
        Assumptions(shunt_ohm_cm2=Rsh * area, reverse="none"),
    )  # fmt: skip
    assert made.module_type.cell.band_gap_eV == pytest.approx(1.121, rel=1e-4)
    assert made.module_type.cell.photocurrent_coefficient_per_K == pytest.approx(0.0005, rel=1e-4)
    for temperature_C, ratio in RATIOS.items():
        found = saturation_ratio(made.module_type.cell, temperature_C + 273.15)
        assert found == pytest.approx(ratio, rel=1e-2)  # 1e-4 of the gap is 5e-3 of 384


def test_voltage_falls_and_current_rises_over_the_whole_range_that_modules_were_measured_in() -> None:
    # B. Marion et al. (2014): 15 to 65 degrees C, dVoc/dT -2.00 to -2.08 mV/K a cell; the fit keeps the
    # slope of the paper there within some per cent.
    made = module_from_sheet(sheet(beta=Coefficient(value=-0.309, unit="%/K")))
    scenario = sheet_scenario(made)
    cold, warm = (level_curve(set_weather(scenario, cell_temperature_C=T), Place(1, 1)) for T in (15.0, 65.0))
    assert 1000.0 * (warm.voc_V - cold.voc_V) / 50.0 / 60.0 == pytest.approx(-2.04, rel=0.02)
    assert warm.isc_A > cold.isc_A


def test_whole_cells_are_joined_down_one_column_and_up_the_next() -> None:
    kind = module_from_sheet(sheet()).module_type
    assert [part.chains for part in kind.substrings] == [
        part.chains for part in CATALOGUE["full-60"].substrings
    ]
    assert all(part.diode == BYPASS_DIODE for part in kind.substrings)


def test_halves_are_two_chains_on_one_diode_with_boxes_in_the_middle() -> None:
    kind = module_from_sheet(sheet(**HALVES, bifaciality=0.7)).module_type
    like = CATALOGUE["half-120"]
    assert [part.chains for part in kind.substrings] == [part.chains for part in like.substrings]
    assert len(kind.junction_boxes) == 3
    middle = (kind.rows * kind.cell_height_m + (kind.rows - 1) * kind.gap_m) / 2 + kind.margin_m
    assert all(y == pytest.approx(middle, abs=1e-3) for _x, y in kind.junction_boxes)
    assert kind.bifaciality == 0.7


def test_four_columns_on_a_diode_end_where_they_began() -> None:
    kind = module_from_sheet(sheet(bypass_diodes=1)).module_type
    (chain,) = kind.substrings[0].chains
    rows = [place // 6 for place in chain]
    assert rows[0] == rows[-1] == 0
    steps = np.abs(np.diff([(place // 6, place % 6) for place in chain], axis=0)).sum(axis=1)
    assert (steps == 1).all()  # each cell lies beside the one before it


@pytest.mark.parametrize("name", own_sheets())
def test_what_comes_along_is_invented_says_so_and_leaves_no_doubt(name: str) -> None:
    file = read_own_sheet(name)
    made = module_from_sheet(file.sheet, file.assumed)
    assert "Invented" in file.sheet.note
    assert made.doubts == ()
    assert not [one for one in made.reasoning.findings if one.bearing == "doubt"]
    assert residuals(made)["gamma"] < 0.1
    assert "assumed" in made.module_type.note.lower()


@pytest.mark.parametrize("changes", [{}, HALVES, {"bypass_diodes": 0}], ids=["whole", "halves", "bare"])
def test_the_module_goes_into_a_scenario_a_file_and_a_link(changes) -> None:
    scenario = sheet_scenario(module_from_sheet(sheet(**changes)))
    assert read_scenario(write_scenario(scenario)) == scenario
    assert unpack(pack(scenario)) == scenario
    shaded = solve_array(add_fault(scenario, Fault("cell-open", Place(1, 1, cell=3))))
    assert shaded.power_W < solve_array(scenario).power_W


def test_the_name_is_one_for_files_and_the_note_says_what_is_assumed() -> None:
    made = module_from_sheet(sheet(title="Möwe 300 / zweiseitig", note="Typed from paper."))
    assert made.module_type.name == "sheet-mowe-300-zweiseitig"
    note = made.module_type.note
    assert note.startswith("Typed from paper. From a data sheet")
    assert "Ω cm²" in note
    assert "bypass diode is an invented one" in note
    assert module_from_sheet(sheet(title="光")).module_type.name == "sheet-module"
    assert len(module_from_sheet(sheet(title="long " * 39)).module_type.name) <= 60


def test_a_count_that_fits_no_band_is_refused_with_the_reasons() -> None:
    with pytest.raises(SheetError) as caught:
        module_from_sheet(sheet(voc_V=27.6, vmp_V=22.7))
    assert caught.value.wrong.startswith("cells of the data sheet is 60")
    assert "check the count" in caught.value.mend


def test_a_series_resistance_below_zero_is_refused_with_the_shunts_that_would_do() -> None:
    soft = sheet(imp_A=9.0, vmp_V=33.0)
    with pytest.raises(SheetError) as caught:
        module_from_sheet(soft, Assumptions(shunt="high"))
    assert "below zero" in caught.value.wrong
    words = caught.value.mend.split()
    assert words[:3] == ["A", "shunt", "of"]
    for ohm_cm2 in (float(words[3]), float(words[5])):  # both ends do what it says
        name = next(name for name, (_title, span) in SHUNTS.items() if span.least <= ohm_cm2 <= span.most)
        assert module_from_sheet(soft, Assumptions(shunt=name, shunt_ohm_cm2=ohm_cm2)).doubts == ()


def test_points_that_no_shunt_helps_are_refused_and_say_so() -> None:
    with pytest.raises(SheetError, match="No shunt helps"):
        module_from_sheet(sheet(imp_A=9.35, vmp_V=30.0))


def test_an_ideality_that_no_junction_has_is_doubted_and_says_which_shunt_would_help() -> None:
    made = module_from_sheet(sheet(vmp_V=31.0), Assumptions(shunt="low", shunt_ohm_cm2=1000.0))
    (doubt,) = [one for one in made.doubts if one.about == "ideality"]
    assert made.module_type.cell.ideality < 0.9
    assert "a shunt of 18" in sentence(doubt)  # from 1.8 kohm cm2 on
    assert doubt.bearing == "doubt"
    assert f"{made.module_type.cell.ideality:.3f}" in sentence(doubt)
    assert sentence(doubt) in [sentence(one) for one in all_findings(made)]
    assert residuals(made)["vmp"] < 1e-6  # it is doubted, and reproduced all the same


def test_a_beta_that_no_silicon_has_is_doubted() -> None:
    made = module_from_sheet(sheet(beta=Coefficient(value=-0.15, unit="%/K")))
    assert "band-gap" in [one.about for one in made.doubts]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"shunt": "none"}, "shunt"),
        ({"shunt_ohm_cm2": 100.0}, "shunt_ohm_cm2"),
        ({"reverse": "soft"}, "reverse"),
        ({"breakdown_voltage_V": 14.0}, "breakdown_voltage_V"),
        ({"reverse": "back-contact", "breakdown_voltage_V": -20.0}, "breakdown_voltage_V"),
        ({"breakdown_fraction": 0.9}, "breakdown_fraction"),
        ({"breakdown_exponent": 1.0}, "breakdown_exponent"),
    ],
)
def test_an_assumption_outside_its_range_is_refused(changes, field) -> None:
    with pytest.raises(SheetError) as caught:
        Assumptions(**changes)
    assert caught.value.wrong.startswith(f"{field} of the assumptions is ")


def test_ranges_hold_their_usual_values_and_literatures_voltages() -> None:
    # IEA-PVPS T13-30:2025, 2.4.1: mono PERC below -20 V, passivated more negative, back-contact above -5 V.
    for _title, span in SHUNTS.values():
        assert span.least <= span.usual <= span.most
    for one in REVERSES.values():
        for span in (one.breakdown_fraction, one.breakdown_voltage_V, one.breakdown_exponent):
            assert span.least <= span.usual <= span.most
    assert REVERSES["back-contact"].breakdown_voltage_V.least >= -5.0
    assert REVERSES["very-late"].breakdown_voltage_V.most <= -20.0


def test_whatever_a_sheet_says_it_is_fitted_or_refused() -> None:
    """Nothing but a SheetError comes out of it, and what is fitted has its points."""
    rng = np.random.default_rng(8)
    outcomes = {"fitted": 0, "refused": 0}
    for _k in range(300):
        rows, columns, diodes = [(9, 4, 2), (20, 6, 3), (1, 1, 0), (1, 2, 1), (10, 6, 0), (9, 6, 3)][
            rng.integers(6)
        ]
        each = rng.uniform(0.25, 0.40) if rng.integers(2) else rng.uniform(0.5, 0.8)
        Voc, Isc = rows * columns * each, rng.uniform(0.5, 20.0)
        try:
            random = DataSheet(
                title="x",
                isc_A=Isc,
                voc_V=Voc,
                imp_A=Isc * rng.uniform(0.8, 1.0),
                vmp_V=Voc * rng.uniform(0.7, 0.95),
                alpha=Coefficient(value=rng.uniform(1e-4, 0.2), unit="%/K"),
                beta=Coefficient(value=rng.uniform(-0.6, -0.1), unit="%/K"),
                gamma=Coefficient(value=rng.uniform(-0.9, -0.1), unit="%/K"),
                cells=rows * columns,
                rows=rows,
                columns=columns,
                bypass_diodes=diodes,
                cell_width_mm=rng.uniform(20.0, 210.0),
                cell_height_mm=rng.uniform(20.0, 210.0),
            )
            for one in infer(random).findings:
                assert "{" not in sentence(one)
            made = module_from_sheet(random, Assumptions(shunt=list(SHUNTS)[rng.integers(3)]))
        except SheetError:
            outcomes["refused"] += 1
            continue
        outcomes["fitted"] += 1
        assert all(residuals(made)[name] < 1e-6 for name in FOUR)
    assert min(outcomes.values()) > 20


def test_the_current_of_the_sample_cells_is_bishops() -> None:
    cell = PlainCell(Iph=0.0, I0=1e-30, n=1.0, Rs=0.0, Rsh=1.0, a=0.002, Vbr=-15.0, m=3.0)
    # 1 + a (1 - Vd/Vbr)^-m at -10 V is 1.054, exactly.
    assert current(cell, np.float64(-10.0)) == pytest.approx(10.54, rel=1e-12)
