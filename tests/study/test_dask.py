"""A real dask cluster on this machine does the work of a study."""

from __future__ import annotations

import sys

import numpy as np
import pytest

import pvsim
from pvsim.cli import main
from pvsim.errors import StudyError
from pvsim.study import dask_client, engine, run_study, write_study
from pvsim.study.case import cases_of
from tests.study.samples import study


def start(workers):
    distributed = pytest.importorskip("distributed")
    return distributed.LocalCluster(
        n_workers=workers,
        threads_per_worker=1,
        host="127.0.0.1",
        dashboard_address="127.0.0.1:0",
        silence_logs=50,
    )


@pytest.fixture(scope="module")
def cluster():
    with start(2) as made:
        yield made


def test_a_cluster_gives_what_one_process_gives(cluster):
    one = study()
    told = []
    with dask_client(cluster.scheduler_address) as client:
        assert engine.hands(client) == 2
        table = run_study(one, executor=client, progress=lambda *counts: told.append(counts))
        again = run_study(one, executor=client.get_executor(pure=False))
    alone = run_study(one, workers=1)
    for found in (table, again):
        assert found.cases == cases_of(one)
        np.testing.assert_allclose(found.values, alone.values, rtol=1e-9, atol=1e-9)  # solver tolerance
    assert told[-1] == (72, 72)
    assert len(told) > 2


def test_the_command_line_hands_a_study_to_a_cluster(cluster, tmp_path, capsys):
    path, out = tmp_path / "small.toml", tmp_path / "table.csv"
    path.write_text(write_study(study()), encoding="utf-8")
    assert main(["study", str(path), "--dask", cluster.scheduler_address, "-o", str(out)]) == 0
    assert out.read_text(encoding="utf-8").count("\n1/1/") == 72
    assert capsys.readouterr().err == ""


def test_workers_with_another_pvsim_are_refused(cluster, monkeypatch):
    monkeypatch.setattr(pvsim, "__version__", "99.0")
    with pytest.raises(StudyError, match=r"workers with pvsim 99\.0"), dask_client(cluster.scheduler_address):
        pass


def test_a_cluster_without_workers_is_refused():
    refusal = pytest.raises(StudyError, match="no workers")
    with start(0) as empty, refusal, dask_client(empty.scheduler_address):
        pass


@pytest.mark.parametrize(
    "address", ["foo bar", "tcp://127.0.0.1", "http://127.0.0.1:1", "127.0.0.1:99999999"]
)
def test_what_is_no_address_is_refused_before_anything_is_sent(address):
    with pytest.raises(StudyError, match="such as tcp"), dask_client(address):
        pass


def test_a_scheduler_that_is_not_there_is_refused_in_one_sentence(capsys, monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr(engine, "ANSWER_s", 1.0)
    assert main(["study", "light-on-one-cell", "--dask", "tcp://127.0.0.1:1"]) == 2
    err = capsys.readouterr().err
    assert err.startswith("pvsim: no dask scheduler answers at 'tcp://127.0.0.1:1'")
    assert err.count("\n") == 1


def test_without_dask_the_extra_is_named(capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert main(["study", "light-on-one-cell", "--dask", "tcp://127.0.0.1:1"]) == 2
    assert "pip install 'pvsim[dask]'" in capsys.readouterr().err
