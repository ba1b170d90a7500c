"""Numbers drawn from a seed: as published, as wide as promised, and the same for ever."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from pvsim.array.draw import evenly, mixed, normal, word_of
from tests.spread import chance_of_spread

COUNT = 100_000


def test_words_are_mixed_as_published() -> None:
    # The first numbers of the generator by G. L. Steele, D. Lea, C. H. Flood (OOPSLA 2014) for the seed
    # 1234567, as its authors' program gives them; from memory.
    golden, state = 0x9E3779B97F4A7C15, 1234567
    starts = np.array([(state + k * golden) % 2**64 for k in range(3)], dtype=np.uint64)
    assert mixed(starts).tolist() == [6457827717110365317, 3203168211198807973, 9817491932198370423]


def test_a_text_has_the_word_that_its_digest_begins_with() -> None:
    # SHA-256 of "abc", FIPS 180-4, begins with ba7816bf 8f01cfea.
    assert int(word_of("abc")) == 0xBA7816BF8F01CFEA


def test_numbers_are_spread_as_they_say() -> None:
    places = np.arange(COUNT, dtype=np.uint64)
    even = (evenly(5, 3, places) + 1.0) / 2.0
    assert 0.0 <= even.min() < 1e-3
    assert 1.0 - 1e-3 < even.max() <= 1.0
    assert chance_of_spread(even, lambda share: share) > 1e-4
    assert chance_of_spread(normal(5, 3, places), ndtr) > 1e-4


def test_many_seeds_draw_what_each_would_alone() -> None:
    seeds = np.array([1, 2, 999_999], dtype=np.uint64)
    place = np.array([word_of("here")], dtype=np.uint64)
    for draw in (evenly, normal):
        together = draw(seeds, 7, place)
        assert together.tolist() == [draw(int(seed), 7, place)[0] for seed in seeds]
        assert len(set(together.tolist())) == 3


def test_seeds_streams_and_places_have_nothing_to_do_with_one_another() -> None:
    places = np.arange(COUNT, dtype=np.uint64)
    first = normal(1, 0, places)
    for other in (normal(2, 0, places), normal(1, 1, places), normal(1, 0, places + np.uint64(1))):
        assert abs(np.corrcoef(first, other)[0, 1]) < 4.0 / np.sqrt(COUNT)


def test_what_was_drawn_once_is_drawn_for_ever() -> None:
    drawn = normal(7, 2, np.array([0, 1, 2], dtype=np.uint64))
    assert drawn == pytest.approx(FOR_EVER, abs=1e-12)


FOR_EVER = [-1.287398619432333, -0.6166467086902514, 1.2257915657725813]  # before this file was its own
