"""The table of a study: columns by name, and what CSV and JSON say of them."""

from __future__ import annotations

import csv
import json

import numpy as np
import pytest

import pvsim
from pvsim.array import Place
from pvsim.errors import StudyError
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.study import Axis, Column, run_study, table_values, write_table
from tests.study.samples import LOST, place_axis, study

FAULTS = Axis(vary="fault", at="part", values=("fuse-blown", "cell-open"))
ONE = study(place_axis("1/1", "1/2/3"), FAULTS, Axis(vary="wind_m_s", values=(0.1, 7.0)), columns=(LOST,))


@pytest.fixture(scope="module")
def table():
    return run_study(ONE, workers=1)


def test_columns_are_arrays_under_their_names(table):
    assert table.names == ("part", "fault", "wind_m_s", "lost_W", "problem")
    assert table["part"].tolist() == ["1/1"] * 4 + ["1/2/3"] * 4
    assert table["wind_m_s"].dtype == np.float64
    assert table["lost_W"].shape == (8,)
    assert np.isnan(table["lost_W"]).tolist() == [True, True, False, False] * 2
    assert table.failed == 4


def test_a_column_it_does_not_have_is_refused_with_the_nearest(table):
    with pytest.raises(StudyError, match="Did you mean 'lost_W'"):
        table["lost_w"]


def test_csv_says_where_it_is_from_and_reads_back_to_the_same_numbers(table):
    lines = write_table(table).splitlines()
    comments = [line[2:] for line in lines if line.startswith("# ")]
    assert comments[0] == f"pvsim {pvsim.__version__}"
    assert "Scenario: sample" in comments
    assert set(MODEL_LIMITS) < set(comments)
    assert "Cases: 8 of 8, 4 with a problem" in comments
    assert "lost_W = -delta[array].p_mp_W" in comments
    assert "fault: fault at part" in comments
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert list(rows[0]) == list(table.names)
    assert [row["lost_W"] for row in rows[:2]] == ["", ""]
    read = [float(row["lost_W"]) for row in rows if row["lost_W"]]
    np.testing.assert_array_equal(read, table["lost_W"][np.isfinite(table["lost_W"])])
    assert [row["problem"] for row in rows] == list(table.problems)
    assert "," in table.problems[0]  # which the quotes of CSV keep together


def test_json_has_every_column_and_no_number_that_is_none(table):
    values = table_values(table)
    assert json.loads(json.dumps(values, allow_nan=False)) == values
    assert values["pvsim"] == pvsim.__version__
    assert values["limits"] == list(MODEL_LIMITS)
    assert (values["cases"], values["planned"], values["failed"]) == (8, 8, 4)
    assert list(values["columns"]) == list(table.names)
    assert values["columns"]["lost_W"][:2] == [None, None]
    assert values["meaning"]["part"] == "place"


def test_a_hostile_title_stays_on_its_line():
    from dataclasses import replace

    title = "a\nlost_W,1\t\u202e=cmd()"
    odd = replace(ONE, title=title, columns=(Column("lost_W", "-delta[array].p_mp_W\n + 0"),))
    text = write_table(run_study(replace(odd, axes=(Axis(vary="wind_m_s", values=(1.0,)),)), workers=1))
    assert sum(not line.startswith("#") for line in text.splitlines()) == 2
    assert "\u202e" not in text
    assert Place(1, 1) in ONE.axes[0].values
