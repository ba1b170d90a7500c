"""Curves of a module in good order and of a shaded one."""

from __future__ import annotations

import pytest

from pvsim.circuit import Characteristic, solve
from tests.reading.shaded_module import SHADED, SOUND


@pytest.fixture(scope="session")
def sound() -> Characteristic:
    return solve(SOUND)


@pytest.fixture(scope="session")
def shaded() -> Characteristic:
    return solve(SHADED)
