"""What tests share: how long hypothesis searches, and the command line run in this process."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

from pvsim.cli import main

# A shared two-core machine stalls at times, so no search is failed for the time one example takes.
settings.register_profile(
    "usual", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow], max_examples=60
)
settings.register_profile("long", settings.get_profile("usual"), derandomize=False, max_examples=2000)
settings.load_profile(os.environ.get("PVSIM_HYPOTHESIS", "usual"))


@pytest.fixture
def run(capsys):
    """Call the command line: exit code, standard output, error output."""

    def call(*arguments):
        code = main([str(one) for one in arguments])
        out, err = capsys.readouterr()
        return code, out, err

    return call
