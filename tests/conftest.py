"""What tests share: how long hypothesis searches, and the command line run in this process."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from pvsim.cli import main
from tests.postgres import Postgres, find_postgres

gc.disable()  # until all is imported and collected, which makes no garbage to speak of

# A shared two-core machine stalls at times, so no search is failed for the time one example takes.
settings.register_profile(
    "usual", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow], max_examples=60
)
settings.register_profile("long", settings.get_profile("usual"), derandomize=False, max_examples=2000)
settings.load_profile(os.environ.get("PVSIM_HYPOTHESIS", "usual"))


def pytest_collection_finish() -> None:
    """Let what has been imported be: each look for garbage, the first too, takes half a second for it."""
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL server of this run's own."""
    pytest.importorskip("psycopg", reason="a store in PostgreSQL needs the extra pvsim[class]")
    programs = find_postgres()
    assert programs is not None  # whoever asks has looked
    server = Postgres(programs)
    yield server
    server.stop()


@pytest.fixture
def postgres_url(request: pytest.FixtureRequest) -> str:
    """The URL of an empty store in PostgreSQL; skipped by name where there is none."""
    if find_postgres() is None:
        pytest.skip(f"{request.node.name}: no PostgreSQL (initdb, pg_ctl); install the package postgresql")
    url: str = request.getfixturevalue("postgres").new_url()
    return url


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of a store of this test's own; without PostgreSQL its half is skipped by name."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'classes.sqlite'}"
    url: str = request.getfixturevalue("postgres_url")
    return url


@pytest.fixture
def run(capsys):
    """Call the command line: exit code, standard output, error output."""

    def call(*arguments):
        code = main([str(one) for one in arguments])
        out, err = capsys.readouterr()
        return code, out, err

    return call
