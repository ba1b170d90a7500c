"""Running a study: the same table whatever does the work, in the order of the cases."""

from __future__ import annotations

import multiprocessing
import os
import signal
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import USUAL_SCATTER, Place, paint, solve_array
from pvsim.errors import ConvergenceError, StudyError
from pvsim.study import Axis, Column, StudyInterrupted, StudyLost, run_study, work
from pvsim.study.case import cases_of
from pvsim.study.run import chunks_of
from tests.array.samples import scenario
from tests.study.samples import CELLS, LOST, SHADE, SMALL, study

CELL_W = Column("cell_W", "now[cell].power_W")
SAME = {"rtol": 1e-9, "atol": 1e-9}  # stated solver tolerance


def test_every_row_is_what_solving_its_case_alone_gives():
    table = run_study(study(columns=(LOST, CELL_W)), workers=1)
    whole = solve_array(SMALL).characteristic.mpp.power_W
    assert len(table) == table.planned == 72
    assert table.failed == 0
    for case, (lost_W, cell_W) in list(zip(table.cases, table.values, strict=True))[::17]:
        place, transmission = case
        alone = solve_array(paint(SMALL, [place], transmission))
        np.testing.assert_allclose(lost_W, whole - alone.characteristic.mpp.power_W, **SAME)
        np.testing.assert_allclose(cell_W, alone.cells.power_W[alone.cell_index(place)], **SAME)


def test_all_cores_give_what_one_process_gives():
    one = study(columns=(LOST, CELL_W))
    alone, together = run_study(one, workers=1), run_study(one, workers=2)
    assert together.cases == alone.cases == cases_of(one)
    np.testing.assert_allclose(together.values, alone.values, **SAME)


class Backwards(Executor):
    """Does the work that came last first, when it is asked for results."""

    def __init__(self):
        self.todo = []

    def submit(self, function, /, *arguments):
        future = Future()
        self.todo.append((future, function, arguments))
        if len(self.todo) == 8:  # all chunks of the study below
            for future_, function_, arguments_ in reversed(self.todo):
                future_.set_result(function_(*arguments_))
        return future


def test_rows_stand_in_the_order_of_the_cases_whatever_ends_first(monkeypatch):
    monkeypatch.setattr("pvsim.study.run.CHUNK_CASES", 9)
    one = study(columns=(LOST, CELL_W))
    told = []
    table = run_study(one, executor=Backwards(), progress=lambda *counts: told.append(counts))
    assert table.cases == cases_of(one)
    np.testing.assert_allclose(table.values, run_study(one, workers=1).values, **SAME)
    assert told == [(done, 72) for done in range(0, 73, 9)]


def test_any_executor_does_and_is_left_open():
    with ThreadPoolExecutor(2) as threads:
        table = run_study(study(), executor=threads)
        assert threads.submit(int).result() == 0
    np.testing.assert_allclose(table["lost_W"], run_study(study(), workers=1)["lost_W"], **SAME)


def test_neighbours_share_a_chunk_and_every_worker_gets_some():
    one = study()
    cases = cases_of(one)
    chunks = chunks_of(one, cases, 4)
    assert tuple(case for chunk in chunks for case in chunk) == cases
    assert len(chunks) >= 4
    assert len(chunks_of(one, cases, 1)) == 1
    large = study(base=scenario(*[20] * 80))  # 96,000 cells: each case is a piece of work of its own
    assert {len(chunk) for chunk in chunks_of(large, cases, 1)} == {1}


def test_a_case_that_does_not_settle_says_so_in_its_row_and_ends_nothing(monkeypatch):
    def stubborn(scenario):
        if scenario.light.irradiance_W_m2 == 500.0:
            raise ConvergenceError("it does not settle", expected="a solution", mend="Look closer")
        return solve_array(scenario)

    monkeypatch.setattr(work, "solve_array", stubborn)
    light = Axis(vary="irradiance_W_m2", values=(1000.0, 500.0, 250.0))
    table = run_study(study(light, columns=(Column("p_W", "now[array].p_mp_W"),)), workers=1)
    assert np.isnan(table["p_W"]).tolist() == [False, True, False]
    assert table["problem"].tolist() == ["", "it does not settle; expected a solution. Look closer.", ""]
    assert table.failed == 1


def test_a_case_that_cannot_be_says_so_in_its_row():
    faults = Axis(vary="fault", at=Place(1), values=("cable-open", "fuse-blown", "diode-open"))
    table = run_study(study(faults), workers=1)
    assert ["no fuse" in problem for problem in table.problems] == [False, True, False]
    assert np.isnan(table["lost_W"]).tolist() == [False, True, False]


def test_what_can_be_read_of_a_case_is_kept_when_another_column_cannot():
    types = Axis(vary="module_type", values=("full-36", "full-72"))
    far = Column("far_W", "now[1/1/70].power_W")
    table = run_study(study(types, columns=(Column("p_W", "now[array].p_mp_W"), far)), workers=1)
    assert np.isfinite(table["p_W"]).all()
    assert np.isnan(table["far_W"]).tolist() == [True, False]
    assert "a cell from 1 to 36" in table.problems[0]


def test_each_set_up_is_compared_with_itself():
    types = Axis(vary="module_type", values=("full-36", "full-72"), setup=True)
    shade = Axis(vary="transmission", at=Place(1, 1, cell=1), values=(1.0, 0.0))
    lost = run_study(study(types, shade), workers=1)["lost_W"]
    np.testing.assert_allclose(lost[::2], 0.0, atol=1e-6)  # shaded to 100 % is not shaded
    assert (lost[1::2] > 1.0).all()
    mixed = Axis(vary="module_type", values=("full-36", "full-72"))
    assert run_study(study(mixed, shade), workers=1)["lost_W"][2] < -100.0  # other modules, more power


def test_an_interrupted_study_gives_what_was_done():
    def stop(done, planned):
        if done:
            raise KeyboardInterrupt

    one = study(CELLS, SHADE, Axis(vary="wind_m_s", values=(1.0, 2.0, 3.0)))
    for workers in (1, 2):
        with pytest.raises(StudyInterrupted) as caught:
            run_study(one, workers=workers, progress=stop)
        table = caught.value.table
        assert 0 < len(table) < table.planned == 216
        assert list(table.cases) == [case for case in cases_of(one) if case in table.cases]
        assert np.isfinite(table["lost_W"]).all()


def test_a_worker_that_dies_is_told_with_what_was_done():
    def kill(done, planned):
        for child in multiprocessing.active_children():
            os.kill(child.pid, signal.SIGKILL)

    with pytest.raises(StudyLost, match="run it with fewer workers") as caught:
        run_study(study(), workers=2, progress=kill)
    assert len(caught.value.table) < caught.value.table.planned == 72


def test_a_mistake_in_the_program_is_not_taken_for_a_lost_worker(monkeypatch):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(work, "solve_array", broken)
    with pytest.raises(ZeroDivisionError):
        run_study(study(), workers=1)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"workers": 0}, "from 1 to 512"),
        ({"workers": 2.0}, "from 1 to 512"),
        ({"workers": 2, "executor": 3}, "one of them"),
        ({"executor": 3}, "an executor of concurrent.futures"),
    ],
)
def test_what_cannot_do_the_work_is_refused(options, says):
    with pytest.raises(StudyError, match=says):
        run_study(study(), **options)


def test_roofs_are_drawn_from_one_number_after_the_other():
    drawn = Axis(vary="scatter_seed", values=(1.0, 2.0, 3.0))
    table = run_study(study(drawn, columns=(Column("power_W", "now[array].power_W"),)), workers=1)
    assert len(set(table["power_W"].round(3).tolist())) == 3
    alone = solve_array(replace(SMALL, scatter=replace(USUAL_SCATTER, seed=2)))
    np.testing.assert_allclose(table["power_W"][1], alone.power_W, **SAME)


def test_a_roof_is_drawn_from_a_whole_number_alone():
    with pytest.raises(StudyError, match="whole number"):
        study(Axis(vary="scatter_seed", values=(1.5,)))
