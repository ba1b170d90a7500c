"""Whatever a reader is given, it gives a value or one PvsimError, after work that somebody has counted.

`PVSIM_FUZZ=100000` tries so many inputs of the quickest reader and as many fewer of the slower ones;
`PVSIM_FUZZ_SEED` begins elsewhere. What fails is said with its seed, and
`tests.fuzz.test_readers.spoilt(name, seed)` gives the input again.
"""

from __future__ import annotations

import os
from pathlib import Path
from random import Random
from typing import Any

import pytest

pytest.importorskip("sqlalchemy", reason="the store needs the extra pvsim[class]")

from pvsim.errors import PvsimError
from tests.fuzz.readers import READERS
from tests.work import most_calls

INPUTS = int(os.environ.get("PVSIM_FUZZ", "400"))
FIRST_SEED = int(os.environ.get("PVSIM_FUZZ_SEED", "0"))
FEWEST = 20
MOST_CALLS = 20_000_000  # of functions, for one input of at most 60,000 characters
LONGEST_MESSAGE = 4_000  # characters


def spoilt(name: str, seed: int) -> tuple[Any, Random]:
    """The spoilt input of a seed, and what chance does next."""
    chance = Random(f"{name} {seed}")
    reader = READERS[name]
    return reader.spoil(chance.choice(reader.seeds()), chance), chance


@pytest.mark.parametrize("name", READERS)
def test_any_spoilt_input_is_read_or_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    for seed in range(FIRST_SEED, FIRST_SEED + max(FEWEST, INPUTS // READERS[name].cost)):
        given, chance = spoilt(name, seed)
        try:
            with most_calls(MOST_CALLS):
                READERS[name].read(given, chance, tmp_path)
        except PvsimError as error:
            assert 0 < len(str(error)) < LONGEST_MESSAGE, f"{name}, seed {seed}"
        except BaseException as error:
            error.add_note(f"{name}, seed {seed}: {str(given)[:300]!r}")
            raise


@pytest.mark.parametrize("name", READERS)
def test_what_is_spoilt_was_in_order(name: str, tmp_path: Path) -> None:
    for given in READERS[name].seeds():
        READERS[name].read(given, Random(1), tmp_path)
