"""The studies that come with pvsim: they run, say what they promise, and are in order."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import FAULT_KINDS
from pvsim.errors import FileError
from pvsim.study import own_studies, read_own_study, read_study, run_study, write_study
from tests.study.own_tables import dearest_cell, faults_everywhere

# The map has half a minute of its own: tests/study/test_notice_map.py runs it without its scatter.


@pytest.mark.parametrize("name", own_studies())
def test_a_study_that_comes_along_says_that_it_is_invented_and_reads_back(name):
    one = read_own_study(name)
    assert one.note.startswith("Invented")
    assert read_study(write_study(one)) == one


def test_an_unknown_one_is_refused_with_the_nearest():
    with pytest.raises(FileError, match="Did you mean 'dearest-cell'"):
        read_own_study("dearest-sell")


def test_the_dearest_of_960_cells_lie_beside_the_open_diode(tmp_path_factory):
    _told, table = dearest_cell(tmp_path_factory)
    assert table.study == read_own_study("dearest-cell")
    assert len(table) == 960
    assert table.failed == 0
    dear = table["lost_W"] > 1.2 * np.median(table["lost_W"])
    assert set(table["cell"][dear]) == {f"1/4/{cell}" for cell in range(21, 41)}
    assert (table["diodes_conducting"] == ~dear).all()
    assert table["cell_W"][dear].max() < table["cell_W"][~dear].min()


def test_one_cell_eats_less_where_cells_break_down_early_or_share_the_current():
    table = run_study(read_own_study("light-on-one-cell"), workers=1)
    assert len(table) == 3 * 201
    assert table.failed == 0
    np.testing.assert_allclose(table["light_W_m2"], 1000.0 * table["transmission"], rtol=1e-12)
    kinds = table["module_type"]
    eaten = {kind: -table["hungriest_W"][kinds == kind].min() for kind in set(kinds)}
    assert eaten["back-contact-72"] < 0.9 * eaten["full-60"]
    assert eaten["half-120"] < 0.75 * eaten["full-60"]
    for kind in eaten:
        left = table["left_fraction"][kinds == kind]
        assert left[-1] == pytest.approx(1.0, abs=1e-9)  # full light is the state before
        assert (np.diff(left) > -1e-9).all()  # more light on the cell never costs power
        assert left[0] > 0.6  # the diodes keep the other substrings at work


def test_faults_everywhere_tell_what_cannot_be_and_change_less_the_larger_the_part(tmp_path_factory):
    _told, table = faults_everywhere(tmp_path_factory)
    assert table.study == read_own_study("faults-everywhere")
    assert len(table) == 16 * (len(FAULT_KINDS) - 1)
    told = {fault for fault, problem in zip(table["fault"], table["problem"], strict=True) if problem}
    assert told == {"fuse-blown", "modules-too-few"}
    healthy = table["problem"] == ""
    shunt = healthy & (table["fault"] == "cell-shunt")
    assert (table["cell_change_W"][shunt] < -0.1).all()
    opened = healthy & (table["fault"] == "diode-open")
    np.testing.assert_allclose(table["array_change_W"][opened], 0.0, atol=0.01)  # only the diodes' leakage
